"""Take away files that nothing names: photos chosen on a form that was never kept, pieces that never became whole."""

from typing import Any

from django.core.management.base import BaseCommand

from commissioning.sync.orphans import DAYS, sweep


class Command(BaseCommand):
    help = "Take away files in the media folder that no evidence names and that are older than some days."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--days", type=int, default=DAYS, help=f"how old a file must be; {DAYS} where not said")

    def handle(self, *args: Any, **options: Any) -> None:
        taken = sweep(days=options["days"])
        if options["verbosity"]:
            self.stdout.write(f"{len(taken)} files that nothing names were taken away.")
