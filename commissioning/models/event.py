"""Evidence as it came in, chained per site, and the daily head of all chains."""

from typing import Any, ClassVar
from uuid import UUID, uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel, AppendOnlyQuerySet


class Origin(models.TextChoices):
    WEB = "web"
    PHONE = "phone"
    IMPORT = "import"
    SYSTEM = "system"


class EventQuerySet(AppendOnlyQuerySet["Event"]):
    def of_site(self, site_id: UUID | None) -> "EventQuerySet":
        """The chain of one site; with None, the office's own."""
        chain = self.filter(site_id=site_id) if site_id else self.filter(site=None)
        return chain.order_by("sequence")


class Event(AppendOnlyModel):
    """One piece of evidence. Written by `evidence.append` alone; what pages query is projected from it."""

    id = models.UUIDField(primary_key=True, default=uuid4)  # made where it happened, often a phone
    site = models.ForeignKey(
        "commissioning.Site", on_delete=models.PROTECT, null=True, blank=True, related_name="events"
    )  # none: it concerns the office as a whole
    sequence = models.PositiveIntegerField()  # in its chain, from 1, without gaps
    device = models.CharField(max_length=64, blank=True)
    device_sequence = models.PositiveIntegerField(null=True, blank=True)
    kind = models.CharField(max_length=64)
    actor = models.ForeignKey("commissioning.User", on_delete=models.PROTECT, related_name="events")
    origin = models.CharField(max_length=16, choices=Origin)
    recorded_at = models.DateTimeField()  # as the person's own device says
    received_at = models.DateTimeField(db_index=True)  # as this server says
    body = models.TextField()  # canonical JSON, the very text that was hashed
    clock = models.TextField(blank=True)  # canonical JSON: the phone's wall time, zone, and how far it was off
    shown = models.TextField(blank=True)  # canonical JSON: the verdict that the phone showed
    digest = models.CharField(max_length=64, blank=True)  # SHA-256 of the whole item, made on the phone
    previous_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)
    objects: ClassVar[EventQuerySet] = EventQuerySet.as_manager()  # type: ignore[assignment]

    projected: object = None  # what the kind's projection returned, on the event just appended
    is_given: bool = True  # whether the id was chosen by whoever appends: then it may be stored already
    known: dict[str, Any] = {}  # rows that whoever appends has at hand: the projection need not ask

    class Meta:
        ordering = ["received_at", "sequence"]
        constraints = [
            models.UniqueConstraint(fields=["site", "sequence"], name="event_sequence_unique_in_site"),
            models.UniqueConstraint(
                fields=["sequence"], condition=Q(site=None), name="event_sequence_unique_in_office"
            ),
            models.UniqueConstraint(
                fields=["device", "device_sequence"], condition=~Q(device=""), name="event_device_sequence_unique"
            ),
            models.CheckConstraint(
                condition=Q(device="", device_sequence=None) | (~Q(device="") & Q(device_sequence__isnull=False)),
                name="event_device_counts",
            ),
            models.CheckConstraint(condition=Q(sequence__gte=1), name="event_sequence_from_one"),
            models.CheckConstraint(condition=~Q(kind=""), name="event_kind_set"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.sequence}"


class DailyHead(AppendOnlyModel):
    """The last event of every chain when a day was over, itself chained: one line to note outside."""

    day = models.DateField(primary_key=True)
    heads = models.TextField()  # canonical JSON: chain → [sequence, hash]
    previous_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)

    class Meta:
        ordering = ["day"]

    def __str__(self) -> str:
        return f"{self.day} {self.hash[:16]}"
