"""What readings are taken with, and what each states about its own accuracy."""

from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel
from commissioning.models.people import User


class Instrument(models.Model):
    """An instrument of the firm. Its statement is kept as printed on it, in parts."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    tag = models.CharField(max_length=16, unique=True)
    name = models.CharField(max_length=80)
    quantity = models.CharField(max_length=40)
    unit = models.CharField(max_length=20)
    of_reading_percent = models.CharField("± % of reading", max_length=16, blank=True)
    counts = models.CharField("± counts", max_length=8, blank=True)
    resolution = models.CharField("one count is", max_length=16, blank=True)
    of_full_scale_percent = models.CharField("± % of full scale", max_length=16, blank=True)
    full_scale = models.CharField("full scale", max_length=16, blank=True)
    serial = models.CharField(max_length=80, blank=True)
    calibrated_on = models.DateField(null=True, blank=True)
    calibration_due = models.DateField(null=True, blank=True)
    calibration_reference = models.CharField(max_length=80, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    retired_words = models.TextField(blank=True)

    class Meta:
        ordering = ["tag"]

    def __str__(self) -> str:
        return f"{self.tag} {self.name}"


class Calibration(AppendOnlyModel):
    """One calibration of an instrument. All stay: a reading is held to the one in force on its day."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="calibrations")
    on = models.DateField()
    due = models.DateField(null=True, blank=True)
    reference = models.CharField(max_length=80, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["on", "at"]

    def __str__(self) -> str:
        return f"{self.instrument_id} {self.on}"


class FoundBad(AppendOnlyModel):
    """An instrument read wrong, from a day on: what was read with it since is in doubt."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="found_bad")
    since = models.DateField()
    words = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["since", "at"]
        constraints = [models.CheckConstraint(condition=~Q(words=""), name="found_bad_described")]

    def __str__(self) -> str:
        return f"{self.instrument_id} {self.since}"
