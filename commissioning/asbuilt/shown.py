"""The as-built record ready to print: rows with tag, name, a line of the nameplate, and what is still open."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from commissioning import units
from commissioning.asbuilt.gaps import Gap, Gaps
from commissioning.models import Component, Run, Site
from commissioning.nameplates import core_values, missing_fields, part_of
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, Field, FieldKind, Part
from sizing.system import SITE, as_counted

MOST_IN_A_LINE = 4
SEPARATOR = " · "

GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("Water source", "where water comes from, and what lifts it",
     ("well", "spring_or_roof", "submersible_pump", "hand_pump")),
    ("Storage", "tanks, and what watches levels", ("storage_tank", "level_switch")),
    ("Pressure", "what makes, keeps and limits it",
     ("booster_pump", "pressure_tank", "pressure_switch", "relief_valve")),
    ("Water", "filters, valves and where pipes meet", ("filter", "valve", "junction")),
    ("Outlets", "what the system promises", ("outlet",)),
    ("Solar power", "from the modules to the pump", ("solar_array", "combiner", "isolator", "pump_controller")),
    ("Battery power", "what stores it and what it feeds", ("battery_bank", "charge_controller", "inverter", "load")),
    ("Protection", "of people and equipment", ("overcurrent_device", "surge_protector", "earth_electrode")),
    ("Meters", "instruments that stay with the system", ("meter",)),
)  # fmt: skip
OTHER = "Other"
BETWEEN_RUNS = {"any", "line"}

# What identifies a thing at a glance; for any other kind, the first fields that are recorded.
IN_A_LINE: dict[str, tuple[str, ...]] = {
    "well": ("depth", "static_level", "tested_yield", "pump_setting"),
    "submersible_pump": ("rated_power", "rated_voltage", "performance"),
    "storage_tank": ("diameter", "length", "width", "floor_elevation", "overflow_elevation"),
    "spring_or_roof": ("source", "dry_season_yield", "catchment_area", "elevation"),
    "booster_pump": ("rated_power", "rated_voltage", "performance"),
    "pressure_tank": ("volume", "precharge"),
    "pressure_switch": ("cut_in", "cut_out"),
    "relief_valve": ("set_pressure", "capacity"),
    "battery_bank": ("chemistry", "block_capacity", "series", "parallel"),
    "charge_controller": ("principle", "maximum_voltage", "rated_current"),
    "inverter": ("rated_power", "output_voltage"),
    "overcurrent_device": ("form", "rated_current", "rated_voltage"),
    "meter": ("reads", "range_printed"),
    "outlet": ("elevation", "required_flow", "required_pressure"),
    "solar_array": ("module_power", "series", "parallel", "tilt"),
    "pipe": ("length", "inside_diameter", "nominal"),
    "cable": ("length", "size", "section"),
}
SPEAK_FOR_THEMSELVES = (FieldKind.CHOICE, FieldKind.TEXT, FieldKind.TABLE, FieldKind.COUNTS)


@dataclass(frozen=True)
class Row:
    tag: str
    url: str
    what: str
    where: str
    line: str
    open_words: str


@dataclass(frozen=True)
class Section:
    title: str
    note: str
    anchor: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class GapRow:
    tag: str
    field: str
    url: str
    checks: str


def component_sections(site: Site, most: int | None = MOST_IN_A_LINE) -> list[Section]:
    """Return the standing components by part of the system, in the order in which a person builds."""
    rows: dict[str, list[Row]] = {}
    order = list(COMPONENT_KINDS)
    there = site.components.standing().select_related("host", "host_run")
    for one in sorted(there, key=lambda c: (order.index(c.kind), as_counted(c.tag))):
        rows.setdefault(_group_of(one.kind), []).append(component_row(one, site.unit_system, most))
    notes = {title: note for title, note, _ in GROUPS}
    return [_section(title, notes.get(title, ""), rows[title]) for title in (*notes, OTHER) if title in rows]


def _group_of(kind: str) -> str:
    return next((title for title, _, kinds in GROUPS if kind in kinds), OTHER)


def run_sections(site: Site, most: int | None = MOST_IN_A_LINE) -> list[Section]:
    """Return the standing runs by kind."""
    there = sorted(site.runs.standing().select_related("start", "end"), key=lambda run: as_counted(run.tag))
    sections = []
    for kind, part in RUN_KINDS.items():
        rows = [run_row(one, site.unit_system, most) for one in there if one.kind == kind]
        if rows:
            sections.append(_section(f"{part.title}s", "from and to", rows))
    return sections


def _section(title: str, note: str, rows: list[Row]) -> Section:
    return Section(title, note, f"part-{title.lower().replace(' ', '-')}", tuple(rows))


def component_row(one: Component, unit_system: str, most: int | None = MOST_IN_A_LINE) -> Row:
    part = part_of(one.kind)
    return Row(
        one.tag, item_url(one), _what(part, one.name), _where(one, part),
        nameplate_line(part, one.nameplate, unit_system, most), open_words(part, one.nameplate),
    )  # fmt: skip


def _where(one: Component, part: type[Part]) -> str:
    if one.sits_on:
        return f"in or on {one.sits_on.tag}"
    stands_in_line = not BETWEEN_RUNS.isdisjoint(part.ports)  # a fuse between two cables sits in nothing
    return "where it sits is not recorded" if part.hosts and not stands_in_line else ""


def run_row(one: Run, unit_system: str, most: int | None = MOST_IN_A_LINE) -> Row:
    part = part_of(one.kind)
    ends = f"{_end(one.start, one.start_port)} to {_end(one.end, one.end_port)}"
    return Row(
        one.tag, item_url(one), _what(part, one.name), ends,
        nameplate_line(part, one.nameplate, unit_system, most), open_words(part, one.nameplate),
    )  # fmt: skip


def _what(part: type[Part], name: str) -> str:
    return f"{part.title}, {name}" if name else part.title


def _end(one: Component, port: str) -> str:
    return f"{one.tag} {port}" if port else one.tag


def item_url(one: Component | Run) -> str:
    """Return the address of a component's or run's form."""
    noun = "component" if isinstance(one, Component) else "run"
    return reverse(f"{noun}-edit", args=[one.site_id, one.pk])


def nameplate_line(part: type[Part], plate: dict[str, Any], unit_system: str, most: int | None = MOST_IN_A_LINE) -> str:
    """Return what identifies a thing, each figure as it was typed; all that is recorded where `most` is None."""
    values = core_values(part, plate)
    declared = part.declarations()
    order = tuple(declared) if most is None else IN_A_LINE.get(part.kind, tuple(declared))
    names = [name for name in order if name in values]
    pieces = [_piece(declared[name], plate[name], values[name], unit_system) for name in names[:most]]
    return SEPARATOR.join(piece for piece in pieces if piece)


def _piece(field: Field, stored: Any, value: Any, unit_system: str) -> str:
    text = _value_text(field, stored, value, unit_system)
    return text if field.kind in SPEAK_FOR_THEMSELVES else f"{field.label} {text}"


def _value_text(field: Field, stored: Any, value: Any, unit_system: str) -> str:
    if field.kind is FieldKind.MEASURE and field.quantity:
        usual = units.default_unit(field.quantity, unit_system).code
        return units.typed_figure(stored["typed"], field.quantity, stored.get("unit", usual))
    if field.kind is FieldKind.NUMBER:
        return f"{value:g}"
    if field.kind is FieldKind.TABLE:
        return _counted(len(value), "row of performance", "rows of performance")
    if field.kind is FieldKind.COUNTS:
        return _counted(int(sum(value.values())), "fitting", "fittings")
    return next((c.label for c in field.choices if c.value == value), str(value))


def _counted(many: int, one: str, more: str) -> str:
    return f"{many} {one if many == 1 else more}"


def open_words(part: type[Part], plate: dict[str, Any]) -> str:
    """Return how many fields hold nothing yet; empty where all are filled."""
    many = sum(not field.optional for field in missing_fields(part, plate))
    return f"{_counted(many, 'field', 'fields')} open" if many else ""


def gap_rows(site: Site, gaps: Gaps) -> list[GapRow]:
    """Return each gap with the way to its field, what most checks wait for first."""
    urls = {
        **{one.tag: item_url(one) for one in site.components.standing()},
        **{one.tag: item_url(one) for one in site.runs.standing()},
        SITE: reverse("site-edit", args=[site.pk]),
    }
    return [_gap_row(gap, urls[gap.tag]) for gap in gaps.fields]


def _gap_row(gap: Gap, url: str) -> GapRow:
    tag = "Site" if gap.tag == SITE else gap.tag
    return GapRow(tag, gap.label, f"{url}#plate-{gap.field}", "; ".join(gap.checks))
