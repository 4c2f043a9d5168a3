"""The normal numbers of one system, as its current sheet froze them: measured, not from a catalogue."""

import json
from dataclasses import dataclass
from typing import Any

from commissioning.models import Sheet, SheetState, Site

Plain = dict[str, Any]
GOOD = ("within", "borderline", "")
NORMAL = (
    "cut_in", "cut_out", "precharge", "pressure_at_rest", "delivery_flow", "well_pump_flow", "booster_flow",
    "static_level", "fill_stop_level", "fill_restart_level", "starts_with_taps_shut", "filter_drop",
    "battery_rest_voltage", "dawn_voltage", "charge_voltage", "strokes_to_water", "volume_per_stroke",
)  # fmt: skip
"""Checks whose result an owner can see again on a gauge, a display, a bucket or a watch."""


@dataclass(frozen=True)
class Normal:
    """One number as it was when all was well, and the limits outside which somebody calls."""

    title: str
    subject: str
    value: str
    limits: str
    when: str


def current_sheet(site: Site) -> Sheet | None:
    """Return the latest sheet of a site that stands, neither superseded nor withdrawn."""
    return site.sheets.filter(state=SheetState.ISSUED).order_by("-issued_at").first()


def normal_numbers(sheet: Sheet | None) -> list[Normal]:
    """Return the numbers of the frozen record in the order above; nothing where no sheet stands."""
    if sheet is None:
        return []
    lines = [line for group in json.loads(sheet.body)["results"] for line in group["lines"]]
    wanted = sorted((line for line in lines if line["check"] in NORMAL), key=lambda one: NORMAL.index(one["check"]))
    return [_normal(line, row) for line in wanted for row in line["rows"] if row["value"] and row["verdict"] in GOOD]


def _normal(line: Plain, row: Plain) -> Normal:
    title = line["title"] + (f", {row['which']}" if row.get("which") else "")
    return Normal(title, line["subject_words"], row["value"], row["limits"], line["when"])
