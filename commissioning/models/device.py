"""Phones that send, the server they send to, and what they sent that could not be taken in."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Exists, OuterRef, Q, Subquery

from commissioning.models.append_only import AppendOnlyModel, AppendOnlyQuerySet
from commissioning.models.people import User
from commissioning.models.site import Site


class Device(models.Model):
    """One browser's store on one phone. It belongs to whoever sent from it first; others may use it too."""

    id = models.UUIDField(primary_key=True)  # made on the phone, once for each store
    first_user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    people = models.ManyToManyField(User, related_name="devices", blank=True)
    first_seen_at = models.DateTimeField()
    shut_at = models.DateTimeField(null=True, blank=True)  # lost or stolen: what it sends is set apart
    shut_words = models.TextField(blank=True)

    class Meta:
        ordering = ["first_seen_at"]

    def __str__(self) -> str:
        return str(self.pk)


class Epoch(AppendOnlyModel):
    """Since when this server's record goes on without a break. A restore begins another epoch.

    Phones keep what they sent for a while; when they meet another epoch, they offer all of it again.
    """

    server = models.UUIDField(default=uuid4)  # stays through a restore; a copy that runs beside gets its own
    epoch = models.UUIDField(default=uuid4, unique=True)
    began_at = models.DateTimeField()
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return str(self.epoch)


class QuarantineQuerySet(AppendOnlyQuerySet["Quarantined"]):
    def unsettled(self) -> "QuarantineQuerySet":
        """Those that were not dropped with a reason, nor taken in later after all."""
        from commissioning.models.event import Event

        taken = Event.objects.filter(pk=OuterRef("event_id"), digest=OuterRef("digest"))
        return self.exclude(digest__in=ItemSettled.objects.values("digest")).exclude(Exists(taken))

    def with_standing(self) -> "QuarantineQuerySet":
        """Add `stands`: the kind of the event that has the same id, if there is one."""
        from commissioning.models.event import Event

        return self.annotate(stands=Subquery(Event.objects.filter(pk=OuterRef("event_id")).values("kind")[:1]))


class Quarantined(AppendOnlyModel):
    """An item that a phone sent whole and that could not be taken in, word for word. What stands is not touched."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="quarantined")
    event_id = models.UUIDField()
    device = models.CharField(max_length=64)
    device_sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=64)
    state = models.CharField(max_length=12, choices=[("conflict", "conflict"), ("refused", "refused")])
    faults = models.TextField()  # canonical JSON: place → reason
    text = models.TextField()  # canonical JSON of the whole item
    digest = models.CharField(max_length=64, unique=True)
    sent_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    received_at = models.DateTimeField()
    objects: ClassVar[QuarantineQuerySet] = QuarantineQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["received_at"]
        indexes = [models.Index(fields=["site", "received_at"], name="quarantined_of_site")]


class ItemSettled(AppendOnlyModel):
    """What became of an item that was not taken in: taken again, or dropped, with the reason."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="items_settled")
    digest = models.CharField(max_length=64)
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        indexes = [models.Index(fields=["digest"], name="item_settled_digest")]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="item_settled_has_reason")]
