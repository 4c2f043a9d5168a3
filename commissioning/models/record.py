"""The as-built record: components and the runs between them, and frozen snapshots of the whole."""

from typing import Any, ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel
from commissioning.models.fields import PlainJSONField
from commissioning.models.site import Site


class RecordQuerySet(models.QuerySet[Any]):
    def standing(self) -> "RecordQuerySet":
        """What is there today: not retired."""
        return self.filter(retired_at=None)


class RecordItem(models.Model):
    """What component and run share. The nameplate is kept as typed: {field: {typed, unit}}."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    kind = models.CharField(max_length=40)
    tag = models.CharField(max_length=16)
    name = models.CharField(max_length=80, blank=True)
    nameplate = PlainJSONField(default=dict, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    changed_at = models.DateTimeField(auto_now=True)
    objects: ClassVar[RecordQuerySet] = RecordQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.tag} {self.name}".strip()


class Component(RecordItem):
    """A node of the as-built graph: a well, a pump, a tank, a valve."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="components")
    host = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="hosted")
    host_run = models.ForeignKey("Run", on_delete=models.PROTECT, null=True, blank=True, related_name="hosted")
    maker = models.CharField(max_length=80, blank=True)
    model = models.CharField(max_length=80, blank=True)
    serial = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["tag"]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "tag"],
                condition=Q(retired_at=None),
                name="component_tag_unique_on_site",
                violation_error_message="This tag stands on another component of the site.",
            ),
            models.CheckConstraint(condition=~Q(tag=""), name="component_tagged"),
            models.CheckConstraint(
                condition=Q(host=None) | Q(host_run=None),
                name="component_sits_in_one",
                violation_error_message="A component sits in or on one thing.",
            ),
        ]

    @property
    def sits_on(self) -> "Component | Run | None":
        """The component or run that it sits in or on."""
        return self.host or self.host_run


class Run(RecordItem):
    """An edge of the as-built graph: a pipe, a cable or a control line between two components."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="runs")
    start = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="runs_from")
    start_port = models.CharField(max_length=24, blank=True)
    end = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="runs_to")
    end_port = models.CharField(max_length=24, blank=True)

    class Meta:
        ordering = ["tag"]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "tag"],
                condition=Q(retired_at=None),
                name="run_tag_unique_on_site",
                violation_error_message="This tag stands on another run of the site.",
            ),
            models.CheckConstraint(condition=~Q(tag=""), name="run_tagged"),
            models.CheckConstraint(
                condition=~Q(start=models.F("end")),
                name="run_joins_two",
                violation_error_message="A run joins two different components.",
            ),
        ]


class Snapshot(AppendOnlyModel):
    """The whole as-built record as canonical JSON, named by its SHA-256: what a judgement was made on."""

    hash = models.CharField(primary_key=True, max_length=64)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="snapshots")
    body = models.TextField()
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["made_at"]

    def __str__(self) -> str:
        return self.hash[:12]
