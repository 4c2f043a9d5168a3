"""What the owner says on a service visit, before anything is touched. The latest of a visit counts."""

from uuid import uuid4

from django.db import models

from commissioning.models.append_only import AppendOnlyModel
from commissioning.models.fields import PlainJSONField
from commissioning.models.people import User
from commissioning.models.visit import Visit


class OwnerSaid(AppendOnlyModel):
    """Sayings from the list by their keys, and the owner's own words."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="owner_said")
    symptoms = PlainJSONField(default=list)
    words = models.TextField(blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]

    def __str__(self) -> str:
        return self.words or ", ".join(self.symptoms)
