"""A visit: before cover, start-up or service. It may span days and people."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Q
from django.urls import reverse

from commissioning.models.people import User
from commissioning.models.site import Site


class VisitKind(models.TextChoices):
    BEFORE_COVER = "before_cover", "before cover"
    START_UP = "start_up", "start-up"
    SERVICE = "service", "service"


class VisitQuerySet(models.QuerySet["Visit"]):
    def for_user(self, user: User) -> "VisitQuerySet":
        """The visits of the sites a person may see."""
        return self.filter(site__in=Site.objects.for_user(user))


class Visit(models.Model):
    """One visit to a site. Ended by its signatures; what was measured stays as it is."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="visits")
    kind = models.CharField(max_length=16, choices=VisitKind)
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    technicians = models.ManyToManyField(User, related_name="visits", blank=True)
    left_isolated = models.BooleanField(default=False)
    left_isolated_reason = models.TextField(blank=True)
    objects: ClassVar[VisitQuerySet] = VisitQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["-started_at"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=VisitKind.values), name="visit_kind_known"),
            models.CheckConstraint(
                condition=Q(left_isolated=False) | ~Q(left_isolated_reason=""), name="visit_left_isolated_with_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} visit, {self.started_at:%Y-%m-%d}"

    def get_absolute_url(self) -> str:
        return reverse("visit-detail", args=[self.pk])


class SetAside(models.TextChoices):
    PARKED = "parked", "parked"
    CANNOT_BE_TAKEN = "cannot_be_taken", "cannot be taken"
    DOES_NOT_APPLY = "does_not_apply", "does not apply here"
    TAKEN_UP = "taken_up", "taken up again"
    AS_BEFORE = "as_before", "read, as before"


class SettingAside(models.Model):
    """Why an owed check is not taken now, or not at all. The latest one of a check counts."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="settings_aside")
    check_key = models.CharField(max_length=64)
    subject = models.CharField(max_length=40)
    how = models.CharField(max_length=20, choices=SetAside)
    reason = models.TextField(blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(how__in=["parked", "taken_up"]) | ~Q(reason=""),
                name="setting_aside_has_reason",
                violation_error_message="Say why.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.check_key}:{self.subject} {self.how}"


class HoldRelease(models.Model):
    """A named person lets work go on behind a hold that is not settled, with a reason."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="hold_releases")
    hold = models.CharField(max_length=40)
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="hold_release_has_reason")]

    def __str__(self) -> str:
        return self.hold


class Signature(models.Model):
    """A person's name, role and meaning under exactly what was shown, by its hash."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="signatures")
    printed_name = models.CharField(max_length=120)
    role = models.CharField(max_length=60)
    meaning = models.CharField(max_length=200)
    strokes = models.TextField(blank=True)
    shown_hash = models.CharField(max_length=64)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        constraints = [models.CheckConstraint(condition=~Q(printed_name=""), name="signature_named")]

    def __str__(self) -> str:
        return f"{self.printed_name}, {self.role}"
