"""What every number of an as-built file should be, without a database."""

import json
from argparse import ArgumentParser
from dataclasses import asdict
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from jsonschema import Draft202012Validator

from commissioning import units
from commissioning.nameplates import NameplateError
from commissioning.open_record.schema import AS_BUILT_SCHEMA
from commissioning.showing import StepShown, step_shown
from commissioning.snapshot import system_of
from sizing import CORE_VERSION
from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Judged
from sizing.errors import MissingDataError, SystemShapeError
from sizing.judgement import expect
from sizing.quantities import CORE_UNIT, Quantity
from sizing.system import System

HELP = """
Conditions are given as NAME=NUMBER or NAME@TAG=NUMBER, in the core's SI unit, or with one of our unit codes
behind a space, such as "static_level@W1=59 ft". A name is the key of a check that others need (irradiance,
module_temperature, static_level, tank_level), or a reading of the same measurement (power, flow).
"""


class Command(BaseCommand):
    help = "Print the table of checks of an as-built file with expected values and workings." + HELP
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--conditions", nargs="*", default=[], metavar="NAME=VALUE")
        parser.add_argument("--json", action="store_true", dest="as_json")
        parser.add_argument("--working", action="store_true", help="print the steps too")

    def handle(self, *args: Any, **options: Any) -> None:
        document = read_document(options["file"])
        try:
            system = system_of(document)
        except (NameplateError, SystemShapeError) as error:
            raise CommandError(str(error)) from error
        found = [given(text) for text in options["conditions"]]
        rows = list(expected_rows(system, dict(found)))
        if options["as_json"]:
            bare = [{name: value for name, value in row.items() if name != "steps_shown"} for row in rows]
            document = {"format": "expected", "core": CORE_VERSION, "checks": bare}
            self.stdout.write(json.dumps(document, ensure_ascii=False, indent=1))
            return
        self.print_table(rows, document["site"].get("unit_system", "metric"), with_working=options["working"])

    def print_table(self, rows: list[dict[str, Any]], unit_system: str, *, with_working: bool) -> None:
        width = max((len(f"{r['key']} {r['value']}") for r in rows), default=20) + 2
        for row in rows:
            name = row["key"] if row["value"] in ("", row["key"]) else f"{row['key']} {row['value']}"
            self.stdout.write(f"{name:<{width}}{row['subject']:<6}{self.in_words(row, unit_system)}")
            for step in row["steps_shown"] if with_working else ():
                self.print_step(step)

    def in_words(self, row: dict[str, Any], unit_system: str) -> str:
        if "missing" in row:
            return f"— {row['missing']['words']}"
        quantity = Quantity(row["quantity"])
        code = units.default_unit(quantity, unit_system).code
        nominal = units.figure(row["nominal"], quantity, code) if row["nominal"] is not None else "—"
        limits = units.span(row["lower"], row["upper"], quantity, code, symbol=True)
        return f"{nominal:>16}   {limits}   {row['basis']}"

    def print_step(self, step: StepShown) -> None:
        self.stdout.write(f"    {step.symbol} = {step.result}    {' '.join(step.equation)}")
        for one in step.arguments:
            self.stdout.write(f"        {one.symbol} = {one.value}  {one.words}")
        self.stdout.write(f"        {step.source}")


def read_document(file: Path) -> dict[str, Any]:
    """Return the as-built file, or stop with the place that is wrong."""
    try:
        document = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:
        raise CommandError(f"{file.name} cannot be read as JSON: {error}") from error
    fault = next(iter(Draft202012Validator(AS_BUILT_SCHEMA).iter_errors(document)), None)
    if fault is not None:
        inner = min(fault.context or [fault], key=lambda e: -len(e.absolute_path))
        raise CommandError(f"{file.name}: {inner.json_path}: {inner.message[:300]}")
    return dict(document)


def quantity_named(name: str) -> Quantity | None:
    """Return the quantity of a condition: of the need of that name, or of the reading of that name."""
    for check in CHECKS.values():
        for need in check.needs:
            if need.name == name:
                return need.quantity
    for check in CHECKS.values():
        declared = check.input(name)
        if declared is not None:
            return declared.quantity
    return None


def given(text: str) -> tuple[str, float]:
    """Return the name (with its tag) and the core value of one condition."""
    name, sign, typed = text.partition("=")
    quantity = quantity_named(name.partition("@")[0].partition("/")[0])
    if not sign or quantity is None:
        raise CommandError(f"{text}: no check needs a condition of that name.{HELP}")
    number, _, code = typed.strip().partition(" ")
    try:
        return name, units.to_core(float(number), code, quantity) if code else float(number)
    except (ValueError, units.UnknownUnitError) as error:
        raise CommandError(f"{text}: {error}; the core unit is {CORE_UNIT[quantity]}") from error


def expected_rows(system: System, conditions: dict[str, float]) -> Any:
    """Yield a row for each judged value of each check on each subject, in working order."""
    for check in CHECKS.values():
        if check.is_condition:
            continue
        for subject in check.subjects(system):
            for judged in check.judged:
                yield row_of(check, judged, system, subject, conditions)


def row_of(check: Check, judged: Judged, system: System, subject: str, conditions: dict[str, float]) -> dict[str, Any]:
    row: dict[str, Any] = {
        "key": check.key,
        "value": judged.name,
        "subject": subject,
        "quantity": judged.quantity.value,
    }
    expected, steps, missing = expect(
        check, judged, system, subject, conditions=conditions_on(check, system, subject, conditions)
    )
    if expected is None:
        return {**row, "missing": asdict(missing) if missing else {}, "steps_shown": []}
    working = [asdict(s) for s in steps]
    return {
        **row,
        "unit": CORE_UNIT[judged.quantity],
        "nominal": expected.nominal,
        "lower": expected.lower,
        "upper": expected.upper,
        "basis": expected.basis,
        "terms": [asdict(t) for t in expected.terms],
        "working": working,
        "steps_shown": [step_shown(s, judged.quantity) for s in working],
    }


def conditions_on(
    check: Check, system: System, subject: str, given: dict[str, float]
) -> dict[str, Value | MissingDataError]:
    """Return what is known for one subject: by its own tag first, then by bare name."""
    found: dict[str, Value | MissingDataError] = {}
    for name, value in given.items():
        bare, _, tag = name.partition("@")
        if not tag or tag == subject:
            found[bare] = Value(value)
    for need in check.needs:
        try:
            tag = need.of(system, subject)
        except MissingDataError as problem:
            found.setdefault(need.name, problem)
            continue
        if f"{need.name}@{tag}" in given:
            found[need.name] = Value(given[f"{need.name}@{tag}"])
    return found
