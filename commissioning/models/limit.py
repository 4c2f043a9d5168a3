"""Limits that a site has of its own, each with its owner and reason."""

from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.people import User
from commissioning.models.site import Site


class SiteLimitQuerySet(models.QuerySet["SiteLimit"]):
    def standing(self) -> "SiteLimitQuerySet":
        """Those that count today: not lifted."""
        return self.filter(lifted_at=None)


class SiteLimit(models.Model):
    """One limit in the place of a check's own, for one subject or, without a tag, for all of the site.

    It is kept as typed; the floats beside it are in the core unit. An empty side keeps the check's own limit.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="limits")
    check_key = models.CharField(max_length=64)
    judged = models.CharField(max_length=40)
    subject = models.CharField(max_length=40, blank=True)
    lower_typed = models.CharField(max_length=40, blank=True)
    upper_typed = models.CharField(max_length=40, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    lower = models.FloatField(null=True, blank=True)
    upper = models.FloatField(null=True, blank=True)
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    lifted_reason = models.TextField(blank=True)
    objects = SiteLimitQuerySet.as_manager()

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="site_limit_has_reason"),
            models.CheckConstraint(condition=~Q(lower=None) | ~Q(upper=None), name="site_limit_has_a_side"),
            models.CheckConstraint(
                condition=Q(lower=None) | Q(upper=None) | Q(lower__lte=models.F("upper")),
                name="site_limit_sides_in_order",
            ),
            models.UniqueConstraint(
                fields=["site", "check_key", "judged", "subject"],
                condition=Q(lifted_at=None),
                name="site_limit_one_standing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.check_key}:{self.subject or 'every'} {self.judged}"
