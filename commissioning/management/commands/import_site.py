"""A site back in from its file."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from commissioning.open_record import LoadError, load_site


class Command(BaseCommand):
    help = "Read an exported site into this logbook: all of it, exactly, or nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            site = load_site(options["file"].read_bytes())
        except (OSError, LoadError) as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{site.name}: {site.events.count()} events read")
