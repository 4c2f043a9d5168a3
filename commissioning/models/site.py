"""A site: one independent water system, and the people it belongs to."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.urls import reverse

from commissioning.models.fields import PlainJSONField
from commissioning.models.people import User


class UnitSystem(models.TextChoices):
    METRIC = "metric", "metric"
    US = "us", "US customary"


class SiteQuerySet(models.QuerySet["Site"]):
    def for_user(self, user: User) -> "SiteQuerySet":
        """The sites a person may see: everybody of the firm sees all, a stranger none."""
        return self if user.is_active else self.none()


class Site(models.Model):
    """One place with one water system. Its plate holds place and climate as typed: {field: {typed, unit}}."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    name = models.CharField(max_length=120)
    place = models.CharField(max_length=200, blank=True)
    unit_system = models.CharField(max_length=8, choices=UnitSystem, default=UnitSystem.METRIC)
    zone = models.CharField("time zone", max_length=64, default="UTC")
    plate = PlainJSONField(default=dict, blank=True)
    covered = models.TextField("what the work covers", blank=True)
    not_covered = models.TextField("what it does not cover", blank=True)
    opened_at = models.DateTimeField(auto_now_add=True)
    objects: ClassVar[SiteQuerySet] = SiteQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(condition=~models.Q(name=""), name="site_named"),
            models.CheckConstraint(
                condition=models.Q(unit_system__in=UnitSystem.values), name="site_unit_system_known"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("site-detail", args=[self.pk])


class Contact(models.Model):
    """Whom the site belongs to. Apart from the record, so that a person can be erased and the evidence stays."""

    site = models.OneToOneField(Site, on_delete=models.CASCADE, primary_key=True, related_name="contact")
    owner = models.CharField(max_length=120, blank=True)
    telephone = models.CharField(max_length=60, blank=True)
    address = models.TextField(blank=True)

    def __str__(self) -> str:
        return self.owner or "owner not recorded"
