"""Read everything that is stored once more, and say what has decayed."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from commissioning.backups.database_copy import faults_of_database
from commissioning.backups.files_copy import faults_of_files, stored_names
from commissioning.chain import problems
from commissioning.files import is_there
from commissioning.handover.register import problems_of_sheets
from commissioning.models import LaboratoryReport, Photo


class Command(BaseCommand):
    help = "Check the database file, every chain, every sheet and every stored file; exit status 1 if any has decayed."

    def handle(self, *args: Any, **options: Any) -> None:
        found = faults_of_database(Path(connection.settings_dict["NAME"])) if connection.vendor == "sqlite" else []
        found += faults_of_files() + missing_photos() + missing_reports()
        found += problems() + problems_of_sheets()
        for line in found:
            self.stdout.write(line)
        if found:
            raise CommandError(f"{len(found)} faults; put them right from a backup")
        self.stdout.write(f"{sum(1 for _ in stored_names())} files and the whole record are as they were written.")


def missing_photos() -> list[str]:
    """Return one line for each photo whose bytes are not here: lost, or still on the phone that took it."""
    names = sorted(set(Photo.objects.values_list("sha256", flat=True)))
    return [f"photo {name[:16]} is not here: lost, or still on a phone" for name in names if not is_there(name)]


def missing_reports() -> list[str]:
    """Return one line for each report of a laboratory whose file is not here. It came with the report: it is lost."""
    reports = LaboratoryReport.objects.select_related("sample__visit__site")
    return [
        f"the file of report {one.number} of {one.sample.laboratory} ({one.sample.visit.site}) is not here: lost"
        for one in reports
        if not is_there(one.sha256)
    ]
