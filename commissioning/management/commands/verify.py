"""Walk the evidence: every chain, every hash, every daily head."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from commissioning.chain import close_past_days, present_heads, problems
from commissioning.models import DailyHead, Event


class Command(BaseCommand):
    help = "Check that every piece of evidence is as it was written. Exit status 1 if any is not."

    def handle(self, *args: Any, **options: Any) -> None:
        with transaction.atomic():  # nothing may be appended halfway through the walk
            found = problems()
            if not found:
                close_past_days(timezone.now().date())
            events, days, heads = Event.objects.count(), DailyHead.objects.count(), present_heads()
        for line in found:
            self.stdout.write(line)
        if found:
            raise CommandError(f"{len(found)} problems in {events} events")
        for chain, (sequence, head) in sorted(heads.items()):
            self.stdout.write(f"chain {chain}: {sequence} events, head {head}")
        self.stdout.write(f"{events} events in {len(heads)} chains and {days} daily heads are as they were written.")
