"""Forms of the as-built room, but for the nameplates: those are generated (`plate_form`)."""

import re
from datetime import date
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from commissioning.asbuilt.layouts import LAYOUTS
from commissioning.models import Component, Run, Site, UnitSystem, User
from commissioning.nameplates import NO_DAY, part_of
from sizing.parts import COMPONENT_KINDS, Part
from sizing.system import SITE

TAG = re.compile(r"[A-Za-z0-9][A-Za-z0-9.-]{0,15}", re.ASCII)
NO_AREA = "other"
RADIOS = "asbuilt/_radios.html"

# Which ports a kind of run can be joined to. A port in none of these is offered to every kind.
RUN_PORTS: dict[str, frozenset[str]] = {
    "pipe": frozenset({"suction", "discharge", "inlet", "outlet", "overflow", "any"}),
    "cable": frozenset({"motor", "strings", "output", "input", "line", "load", "array", "battery", "posts", "bond"}),
    "control": frozenset({"control"}),
}
_NAMED = frozenset().union(*RUN_PORTS.values())
ANY = "any"  # a part without named ports: nothing is stored


@cache
def zone_choices() -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the time zones of the standard data base, by part of the world."""
    by_area: dict[str, list[tuple[str, str]]] = {"": [("UTC", "UTC")]}
    for name in sorted(available_timezones()):
        area, _, city = name.partition("/")
        if city and area not in {"Etc", "SystemV", "US", "posix", "right"}:
            by_area.setdefault(area, []).append((name, city.replace("_", " ").replace("/", ", ")))
    return [(area or NO_AREA, cities) for area, cities in by_area.items()]


def readable(text: str) -> None:
    """Refuse what a page or a paper cannot show; line breaks may stand in longer texts."""
    if not "".join(text.split()).isprintable():
        raise ValidationError("There is an invisible character in it: type it again.")


class Words(forms.CharField):
    """A text that can be shown and hashed."""

    default_validators = [readable]


class Radios(forms.ChoiceField):
    """A choice of few, all in sight."""

    widget = forms.RadioSelect

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.template_name = RADIOS


class SiteForm(forms.Form):
    """What is known of a site before anybody has been there."""

    name = Words(label="Name", max_length=120)
    place = Words(label="Place", max_length=200, required=False, help_text="the nearest village, road or landmark")
    unit_system = Radios(
        label="Units", choices=[(UnitSystem.US, "US customary"), (UnitSystem.METRIC, "metric")],
        help_text="what the fields offer first; any single figure may be typed in another unit",
    )  # fmt: skip
    zone = forms.ChoiceField(label="Time zone", choices=zone_choices)

    @property
    def place_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("name", "place", "zone")]


class NewSiteForm(SiteForm):
    layout = Radios(
        label="Start from", choices=[(one.key, one.sentence) for one in LAYOUTS.values()],
        help_text="sets which components and runs there are; every figure stays to be read on site",
    )  # fmt: skip
    like = forms.ChoiceField(
        label="Or copy the whole record of another site", required=False,
        help_text="components, runs and nameplates as typed there, without serial numbers: read each again on this one",
    )  # fmt: skip
    hand_pump = forms.BooleanField(label="with a hand pump beside it", required=False)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        recorded = Site.objects.for_user(user).filter(components__retired_at=None).exclude(components=None)
        names = recorded.order_by("name").values_list("pk", "name").distinct()
        others = [(str(pk), name) for pk, name in names]
        self.fields["like"].choices = [("", "none: start from the layout above"), *others]  # type: ignore[attr-defined]  # it is a ChoiceField


class SiteDescriptionForm(SiteForm):
    covered = Words(
        label="What the work covers", max_length=4000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    not_covered = Words(
        label="What it does not cover", max_length=4000, required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="printed on the sheet, so that nobody takes it for covered",
    )  # fmt: skip


class ContactForm(forms.Form):
    """Whom the site belongs to: kept beside the record and not in it, so that it can be erased."""

    owner = Words(label="Owner", max_length=120, required=False)
    telephone = Words(
        label="Telephone", max_length=60, required=False, widget=forms.TextInput(attrs={"inputmode": "tel"})
    )
    address = Words(label="Address", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3}))


class ItemForm(forms.Form):
    """What every component and run has: a tag that stands on it, and what people call it."""

    tag = forms.CharField(label="Tag", max_length=16, help_text="as it stands on the thing itself, such as V3")
    name = Words(label="Name", max_length=80, required=False, help_text="what people call it")
    reason = Words(label="Why it is changed", max_length=400, required=False, help_text="kept with the change")

    def __init__(self, *args: Any, site: Site, item: Component | Run | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site = site
        self.item = item
        self.fields["tag"].widget.attrs.update(autocapitalize="characters", spellcheck="false")
        if item is None:
            del self.fields["reason"]

    def clean_tag(self) -> str:
        tag = str(self.cleaned_data["tag"])
        if not TAG.fullmatch(tag) or tag.lower() == SITE:
            raise ValidationError("Letters A to Z, digits, point and hyphen only, at most 16, such as V3.")
        if tag.lower() in {taken.lower() for taken in self._tags_taken()}:
            raise ValidationError(f"{tag} stands on another component or run of this site.")
        return tag

    def _tags_taken(self) -> list[str]:
        mine = self.item.pk if self.item else None
        components = self.site.components.standing().exclude(pk=mine).values_list("tag", flat=True)
        return [*components, *self.site.runs.standing().exclude(pk=mine).values_list("tag", flat=True)]


class ComponentForm(ItemForm):
    host = forms.ChoiceField(label="Sits in or on", required=False)
    maker = Words(label="Maker", max_length=80, required=False)
    model = Words(label="Model", max_length=80, required=False)
    serial = Words(label="Serial number", max_length=80, required=False)
    field_order = ["tag", "name", "host", "maker", "model", "serial"]

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        hosts = COMPONENT_KINDS[kind].hosts
        if not hosts:
            del self.fields["host"]
            return
        components = self.site.components.standing().filter(kind__in=hosts)
        there = [*components, *self.site.runs.standing().filter(kind__in=hosts)]
        self.fields["host"].choices = [("", "not recorded"), *((str(one.pk), called(one)) for one in there)]  # type: ignore[attr-defined]  # it is a ChoiceField


class RunForm(ItemForm):
    start = forms.ChoiceField(label="From")
    end = forms.ChoiceField(label="To")
    field_order = ["tag", "name", "start", "end"]

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [("", "choose"), *end_choices(self.site, kind, self.item)]
        for name in ("start", "end"):
            self.fields[name].choices = choices  # type: ignore[attr-defined]  # it is a ChoiceField

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        ends = [str(found.get(name, "")).partition(":")[0] for name in ("start", "end")]
        if ends[0] and ends[0] == ends[1]:
            self.add_error("end", "A run joins two different components.")
        return found


class RetireForm(forms.Form):
    reason = Words(
        label="Why", max_length=400, widget=forms.Textarea(attrs={"rows": 2}), help_text="what became of it, and when"
    )


class ReplaceForm(forms.Form):
    """What stands on the new one, and why the old one went."""

    maker = Words(label="Maker", max_length=80, required=False)
    model = Words(label="Model", max_length=80, required=False)
    serial = Words(label="Serial number", max_length=80, required=False)
    reason = Words(label="Why", max_length=400, widget=forms.Textarea(attrs={"rows": 2}))
    installed_on = forms.DateField(
        label="Installed on", required=False, widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": NO_DAY},
        help_text="the warranty of the new one counts from that day; its term is typed on its own page",
    )  # fmt: skip
    is_same = forms.BooleanField(
        label="the same model: its nameplate holds for the new one too", required=False
    )  # fmt: skip

    @property
    def read_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in ("maker", "model", "serial", "installed_on", "reason")]

    def clean_installed_on(self) -> date | None:
        day: date | None = self.cleaned_data["installed_on"]
        if day and day > timezone.localdate():
            raise ValidationError("That day is still to come.")
        return day


def called(one: Component | Run) -> str:
    """Return a component or run as a person says it."""
    return f"{one.tag} {one.name or part_of(one.kind).title.lower()}"


def end_choices(site: Site, kind: str, run: Component | Run | None) -> list[tuple[str, str]]:
    """Return each port that a kind of run can be joined to; one that the run has already stays on the list."""
    there = [
        (end_value(one, port), called(one) if port == ANY else f"{called(one)}: {port}")
        for one in site.components.standing()
        for port in ports_for(part_of(one.kind), kind)
    ]
    return there + [choice for choice in ends_of(run) if choice[0] not in dict(there)]


def ends_of(run: Component | Run | None) -> list[tuple[str, str]]:
    if not isinstance(run, Run):
        return []
    ends = ((run.start, run.start_port), (run.end, run.end_port))
    return [(end_value(one, port), f"{called(one)}: {port}" if port else called(one)) for one, port in ends]


def end_value(one: Component, port: str) -> str:
    return f"{one.pk}:{'' if port == ANY else port}"


def ports_for(part: type[Part], run_kind: str) -> list[str]:
    """Return the ports of a part that a kind of run can be joined to."""
    allowed = RUN_PORTS.get(run_kind, frozenset())
    return [port for port in part.ports if port in allowed or port not in _NAMED]
