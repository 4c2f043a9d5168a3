"""Walk the evidence: every chain, every hash, every daily head, every sheet; or examine one file."""

import re
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction
from django.utils import timezone

from commissioning.chain import OFFICE_CHAIN, close_past_days, present_heads, problems
from commissioning.handover.authenticity import examine
from commissioning.handover.register import problems_of_sheets
from commissioning.models import DailyHead, Event

HEAD = re.compile(
    r"^chain (office|[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}): (\d+) events, head ([0-9a-f]{64})$", re.MULTILINE
)
MOST_BYTES = 200 * 1024 * 1024


class Command(BaseCommand):
    help = (
        "Check that every piece of evidence and every sheet is as it was written; exit status 1 if any is not. "
        "With a file: say whether it is a sheet of ours; exit status 0 only if it is authentic and current."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="a PDF to examine")
        parser.add_argument(
            "--against", type=Path, metavar="FILE", help="what an earlier run of this command said, kept elsewhere"
        )
        parser.add_argument("--only-look", action="store_true", help="write no daily head, as on a copy")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["file"] is not None:
            return self._examine(options["file"])
        return self._walk(options["against"], writes=not options["only_look"])

    def _examine(self, file: Path) -> None:
        try:
            if file.stat().st_size > MOST_BYTES:
                raise CommandError(f"{file.name} is larger than any sheet.")
            found = examine(file.read_bytes())
        except OSError as problem:
            raise CommandError(f"{file} cannot be read: {problem.strerror}") from problem
        self.stdout.write(f"{found.answer}: {found.words}")
        if found.sheet:
            self.stdout.write(f"sheet {found.sheet.number}, revision {found.sheet.revision}, {found.sheet.state}")
        self.stdout.write(found.why)
        if not found.is_good:
            raise CommandError("not to be relied on as a current sheet")

    def _walk(self, against: Path | None, *, writes: bool) -> None:
        with transaction.atomic():  # nothing may be appended halfway through the walk
            found = problems() + problems_of_sheets() + (heads_gone(_text(against)) if against else [])
            if writes and not found:
                close_past_days(timezone.now().date())
            events, days, heads = Event.objects.count(), DailyHead.objects.count(), present_heads()
        for line in found:
            self.stdout.write(line)
        if found:
            raise CommandError(f"{len(found)} problems in {events} events")
        for chain, (sequence, head) in sorted(heads.items()):
            self.stdout.write(f"chain {chain}: {sequence} events, head {head}")
        self.stdout.write(f"{events} events in {len(heads)} chains and {days} daily heads are as they were written.")


def heads_gone(said: str) -> list[str]:
    """Return one line for each head of an earlier run that is not in its chain any more."""
    heads = HEAD.findall(said)
    if not heads:
        raise CommandError("The file to compare with names no head.")
    return [
        f"chain {chain}: event {number} is gone or another than the one written down elsewhere"
        for chain, number, head in heads
        if not _stands(chain, int(number), head)
    ]


def _stands(chain: str, number: int, head: str) -> bool:
    of_chain = Event.objects.filter(site=None) if chain == OFFICE_CHAIN else Event.objects.filter(site_id=chain)
    return of_chain.filter(sequence=number, hash=head).exists()


def _text(file: Path) -> str:
    try:
        return file.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise CommandError(f"{file} cannot be read as text.") from problem
