"""Put a backup back where there is no record yet."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from commissioning.backups.manifest import BackupError
from commissioning.backups.putting_back import lost_since, put_back


class Command(BaseCommand):
    help = "Put back the backup that a .backup.json file describes, into an empty DATA_DIR, and begin another epoch."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("manifest", type=Path, help="the .backup.json file, beside its database and files")
        parser.add_argument(
            "--copy", action="store_true", help="the original goes on elsewhere: this becomes a server of its own"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            manifest = put_back(options["manifest"], is_copy=options["copy"])
        except (BackupError, OSError) as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(lost_since(manifest))
        self.stdout.write("Now run: python3 manage.py verify")
