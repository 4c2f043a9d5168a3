"""What stands between a visit and its sheet: defects to put right, concessions of the office."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Q
from django.utils import timezone

from commissioning.models.people import User
from commissioning.models.site import Site
from commissioning.models.visit import Visit


class Defect(models.Model):
    """Something to put right."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="defects")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="defects")
    number = models.PositiveIntegerField()
    check_key = models.CharField(max_length=64, blank=True)
    subject = models.CharField(max_length=40, blank=True)
    words = models.TextField()
    is_unsafe = models.BooleanField(default=False)
    who = models.CharField(max_length=120, blank=True)
    due = models.DateField(null=True, blank=True)
    raised_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    raised_at = models.DateTimeField()
    put_right_at = models.DateTimeField(null=True, blank=True)
    put_right_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    put_right_words = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["site", "number"], name="defect_number_unique_on_site"),
            models.CheckConstraint(condition=~Q(words=""), name="defect_described"),
        ]

    def __str__(self) -> str:
        return f"Defect {self.number}"


class ConcessionQuerySet(models.QuerySet["Concession"]):
    def in_force(self) -> "ConcessionQuerySet":
        """Those without an end, or whose last day has not passed."""
        return self.filter(Q(expires_on=None) | Q(expires_on__gte=timezone.now().date()))


class Concession(models.Model):
    """A named office person accepts a departure, with a reason and an optional end."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="concessions")
    check_key = models.CharField(max_length=64)
    subject = models.CharField(max_length=40)
    reason = models.TextField()
    expires_on = models.DateField(null=True, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    objects: ClassVar[ConcessionQuerySet] = ConcessionQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["at"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="concession_has_reason")]

    def __str__(self) -> str:
        return f"{self.check_key}:{self.subject}"
