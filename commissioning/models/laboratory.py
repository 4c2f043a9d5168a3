"""Samples that went to a laboratory, and the reports that came back. The values stand in measurements, as all do."""

from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel
from commissioning.models.people import User
from commissioning.models.visit import Visit


class LaboratorySample(AppendOnlyModel):
    """Bottles of one visit that were handed to a laboratory."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="laboratory_samples")
    laboratory = models.CharField(max_length=120)
    sent_on = models.DateField()
    words = models.TextField(blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["sent_on", "at"]
        constraints = [models.CheckConstraint(condition=~Q(laboratory=""), name="laboratory_sample_somewhere")]

    def __str__(self) -> str:
        return f"{self.laboratory}, {self.sent_on}"


class LaboratoryReport(AppendOnlyModel):
    """A laboratory's report on a sample, by its own number; the file is named by its SHA-256."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    sample = models.ForeignKey(LaboratorySample, on_delete=models.PROTECT, related_name="reports")
    number = models.CharField(max_length=80)
    method = models.CharField(max_length=200, blank=True)
    received_on = models.DateField()
    sha256 = models.CharField(max_length=64)
    media_type = models.CharField(max_length=40)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["received_on", "at"]
        constraints = [models.CheckConstraint(condition=~Q(number=""), name="laboratory_report_numbered")]

    def __str__(self) -> str:
        return self.number
