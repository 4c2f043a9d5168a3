"""A whole site into one file."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError

from commissioning.models import Site
from commissioning.open_record import ExportError, export_site


class Command(BaseCommand):
    help = "Write a site with all its evidence and photographs to a zip file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("site", help="the site's id, or its name")
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        site = site_named(options["site"])
        try:
            data = export_site(site)
        except ExportError as error:
            raise CommandError(str(error)) from error
        options["file"].write_bytes(data)
        self.stdout.write(f"{site.name}: {len(data)} bytes in {options['file'].name}")


def site_named(text: str) -> Site:
    try:
        found = Site.objects.filter(pk=UUID(text))
    except ValueError:
        found = Site.objects.filter(name=text)
    if len(found) != 1:
        raise CommandError(f"{len(found)} sites are called {text}; give the id of one.")
    return found[0]
