"""The one private address under which an owner sees how things stand."""

from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.people import User
from commissioning.models.site import Site


class OwnerLinkQuerySet(models.QuerySet["OwnerLink"]):
    def standing(self) -> "OwnerLinkQuerySet":
        """Those that open today: not revoked."""
        return self.filter(revoked_at=None)


class OwnerLink(models.Model):
    """One link of a site. Its secret is kept as a hash alone: nobody here can read it again."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="owner_links")
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    objects = OwnerLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.UniqueConstraint(fields=["site"], condition=Q(revoked_at=None), name="owner_link_one_standing"),
        ]

    def __str__(self) -> str:
        return f"link of {self.site}"
