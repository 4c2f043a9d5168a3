"""The handover sheet: a frozen record, its number, and how it stands today."""

from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel
from commissioning.models.people import User
from commissioning.models.site import Site
from commissioning.models.visit import Visit


class SheetState(models.TextChoices):
    ISSUED = "issued", "issued"
    SUPERSEDED = "superseded", "superseded"
    WITHDRAWN = "withdrawn", "withdrawn"


class Sheet(models.Model):
    """One issue of a sheet. `body` is canonical JSON and `hash` its SHA-256; neither is ever changed."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="sheets")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="sheets")
    year = models.PositiveIntegerField()
    sequence = models.PositiveIntegerField()
    revision = models.PositiveIntegerField(default=1)
    state = models.CharField(max_length=12, choices=SheetState, default=SheetState.ISSUED)
    body = models.TextField()
    hash = models.CharField(max_length=64)
    token_hash = models.CharField(max_length=64, unique=True)  # the token itself is only on the paper
    file_hash = models.CharField(max_length=64, blank=True)
    with_open_items = models.BooleanField(default=False)
    reason = models.TextField(blank=True)
    issued_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField()
    state_reason = models.TextField(blank=True)

    class Meta:
        ordering = ["-year", "-sequence", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["year", "sequence", "revision"], name="sheet_number_unique"),
            models.UniqueConstraint(
                fields=["year", "sequence"], condition=Q(state="issued"), name="sheet_one_current_revision"
            ),
            models.CheckConstraint(condition=Q(state__in=SheetState.values), name="sheet_state_known"),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        return f"{self.year}-{self.sequence:03d}"


class SheetFile(AppendOnlyModel):
    """A further file of a sheet, beside the one of its issue: the same record on other paper, or made later."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="files")
    paper = models.CharField(max_length=12)
    file_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["made_at"]
        constraints = [models.UniqueConstraint(fields=["sheet", "paper"], name="sheet_file_one_a_paper")]

    def __str__(self) -> str:
        return f"{self.sheet}, {self.paper}"
