"""Make a verified copy of the record and its files, while people go on working."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from commissioning.backups.files_copy import FOLDER, copy_new_files
from commissioning.backups.making import back_up
from commissioning.backups.manifest import BackupError


class Command(BaseCommand):
    help = (
        "Copy the database and every file into a folder that may hold earlier backups; verify the copy. Keys and "
        "settings are not in it. Keep the folder on another machine."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", nargs="?", type=Path, default=settings.DATA_DIR / "backups")
        parser.add_argument("--files-only", action="store_true", help="where PostgreSQL's own tool copies the database")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if options["files_only"]:
                names = copy_new_files(Path(settings.MEDIA_ROOT), options["folder"] / FOLDER)
                self.stdout.write(f"{len(names)} files are there.")
                return
            made = back_up(options["folder"])
        except (BackupError, OSError) as problem:
            raise CommandError(str(problem)) from problem
        said = made.manifest
        self.stdout.write(f"{made.path}")
        self.stdout.write(f"{said.events} events in {len(said.heads)} chains, {len(said.files)} files; verified.")
        for chain, (sequence, head) in sorted(said.heads.items()):
            self.stdout.write(f"chain {chain}: {sequence} events, head {head}")
