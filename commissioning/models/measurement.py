"""Measurements, their readings, their judgements and their photographs: all written once."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel, AppendOnlyQuerySet
from commissioning.models.fields import PlainJSONField
from commissioning.models.instrument import Instrument
from commissioning.models.people import User
from commissioning.models.record import Component, Run, Snapshot
from commissioning.models.visit import Visit


class MeasurementQuerySet(AppendOnlyQuerySet["Measurement"]):
    def current(self) -> "MeasurementQuerySet":
        """What nothing supersedes, and what was not passed over for another value."""
        return self.filter(superseded_by=None, passed_over=None)

    def on_standing(self) -> "MeasurementQuerySet":
        """Those taken on what stands in the record today, or on the site as a whole."""
        return self.filter(component__retired_at=None, run__retired_at=None)

    def of(self, check_key: str, subject: str) -> "MeasurementQuerySet":
        """Those of one owed check; `subject` is the tag it had when taken."""
        return self.filter(check_key=check_key, subject=subject)


class Measurement(AppendOnlyModel):
    """One carrying-out of an owed check. A mistake gets a new row, never an edit."""

    id = models.UUIDField(primary_key=True, default=uuid4)  # made where it was taken, often a phone
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="measurements")
    check_key = models.CharField(max_length=64)
    subject = models.CharField(max_length=40)  # the tag, or `site`
    component = models.ForeignKey(
        Component, on_delete=models.PROTECT, null=True, blank=True, related_name="measurements"
    )
    run = models.ForeignKey(Run, on_delete=models.PROTECT, null=True, blank=True, related_name="measurements")
    way = models.CharField(max_length=24, blank=True)
    answer = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True)
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="measurements")
    supersedes = models.ForeignKey(  # two phones may each replace the same one: both replacements stay
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )
    supersedes_reason = models.TextField(blank=True)
    event = models.OneToOneField("commissioning.Event", on_delete=models.PROTECT, related_name="measurement")
    objects: ClassVar[MeasurementQuerySet] = MeasurementQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["taken_at", "pk"]
        indexes = [models.Index(fields=["visit", "check_key", "subject"], name="measurement_owed")]
        constraints = [
            models.CheckConstraint(name="measurement_check_set", condition=~Q(check_key="")),
            models.CheckConstraint(
                name="measurement_supersedes_with_reason", condition=Q(supersedes=None) | ~Q(supersedes_reason="")
            ),
        ]

    @property
    def owed_id(self) -> str:
        return f"{self.check_key}:{self.subject}"

    def judgement(self) -> "Judgement | None":
        """The latest judgement, which is the one that counts."""
        return max(self.judgements.all(), key=lambda j: j.made_at, default=None)


class Reading(AppendOnlyModel):
    """One value as typed, with its unit; the float beside it, in the core unit, is for calculating."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    measurement = models.ForeignKey(Measurement, on_delete=models.PROTECT, related_name="readings")
    input = models.CharField(max_length=40)
    label = models.CharField(max_length=24, blank=True)  # the repeat: string 1, row 2, settled
    typed = models.CharField(max_length=40)
    unit = models.CharField(max_length=20, blank=True)
    bound = models.CharField(max_length=2, blank=True)
    value = models.FloatField()
    u = models.FloatField(default=0.0)  # standard uncertainty, core unit
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, null=True, blank=True, related_name="readings")
    at = models.DateTimeField()
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["measurement", "position"]
        constraints = [
            models.UniqueConstraint(fields=["measurement", "input", "label"], name="reading_once_each"),
            models.CheckConstraint(condition=~Q(typed=""), name="reading_typed"),
        ]


class Judgement(AppendOnlyModel):
    """What was said of a measurement, on which record, with which conditions and which core. Never rewritten."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    measurement = models.ForeignKey(Measurement, on_delete=models.PROTECT, related_name="judgements")
    snapshot = models.ForeignKey(Snapshot, on_delete=models.PROTECT, related_name="judgements")
    check_revision = models.PositiveIntegerField()
    core_version = models.CharField(max_length=24)
    verdict = models.CharField(max_length=12, blank=True)  # empty: a condition, or an answer that does not apply
    findings = PlainJSONField(default=list)
    conditions = PlainJSONField(default=dict)
    because = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["made_at"]


class Choice(AppendOnlyModel):
    """Two phones brought values of one owed check, and a person chose one of them, with a reason. All stay."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    measurement = models.ForeignKey(Measurement, on_delete=models.PROTECT, related_name="choices")
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="choice_has_reason")]


class PassedOver(models.Model):
    """A value that stands back behind the chosen one, until somebody chooses otherwise."""

    measurement = models.OneToOneField(
        Measurement, on_delete=models.PROTECT, primary_key=True, related_name="passed_over"
    )
    choice = models.ForeignKey(Choice, on_delete=models.PROTECT, related_name="passed_over")

    def __str__(self) -> str:
        return f"{self.measurement_id}"


class Photo(AppendOnlyModel):
    """A picture tied to a measurement or, without one, to the visit; the file is named by its SHA-256."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="photos")
    measurement = models.ForeignKey(Measurement, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    sha256 = models.CharField(max_length=64)
    media_type = models.CharField(max_length=40)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(max_length=200, blank=True)
    taken_at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["taken_at"]


class PhotoLoss(AppendOnlyModel):
    """Why the file of a photo will never arrive: a broken phone, say. Its hash stays on record."""

    photo = models.OneToOneField(Photo, on_delete=models.PROTECT, primary_key=True, related_name="loss")
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="photo_loss_has_reason")]
