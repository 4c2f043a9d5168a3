"""Every check there is: its kind, what it needs, its limits with their sources; the counts at the end."""

import json
from argparse import ArgumentParser
from collections import Counter
from typing import Any

from django.core.management.base import BaseCommand

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import COMMON, Check, Kind
from sizing.checks.keys import PART_OF
from sizing.judgement import expect
from sizing.parts import SiteData
from sizing.quantities import CORE_UNIT
from sizing.system import SITE, Node, System


class Command(BaseCommand):
    help = "List every check with kind, subject, what it needs, limits and sources."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", dest="as_json")

    def handle(self, *args: Any, **options: Any) -> None:
        entries = [entry(check) for check in CHECKS.values()]
        counts = Counter(sort_of(check) for check in CHECKS.values())
        if options["as_json"]:
            self.stdout.write(
                json.dumps(
                    {"format": "catalogue", "checks": entries, "counts": counts, "part_of": PART_OF},
                    ensure_ascii=False,
                    indent=1,
                )
            )
            return
        for one in entries:
            self.print_entry(one)
        for key, check in PART_OF.items():
            self.stdout.write(f"{key}  (judged within {check})")
        self.stdout.write(
            ", ".join(f"{many} {sort}" for sort, many in sorted(counts.items())) + f"; {len(entries)} in all"
        )

    def print_entry(self, one: dict[str, Any]) -> None:
        self.stdout.write(f"{one['key']}  ({one['kind']}, on {one['subject']}, {one['tier']})")
        self.stdout.write(f"    {one['purpose']}")
        for name in ("reads", "judges", "needs"):
            if one[name]:
                self.stdout.write(
                    f"    {name}: " + "; ".join(item["label"] + f" [{item['unit']}]" for item in one[name])
                )
        for limit in one["limits"]:
            self.stdout.write(f"    limit: {limit['words']} ({limit['source']})")


def sort_of(check: Check) -> str:
    """Return how the check comes to a verdict: by a computed expectation, by limits alone, seen, or derived."""
    if check.kind is not Kind.MEASURED:
        return check.kind.value
    if check.is_condition:
        return "conditions"
    return "computed" if is_computed(check) else "limits only"


def is_computed(check: Check) -> bool:
    """Whether what it should be follows from the system or its conditions: an empty nameplate leaves it unsaid."""
    tag = "X1" if check.subject else SITE
    bare = System(SiteData(), {tag: Node(tag, check.subject())} if check.subject else {}, {})
    return any(expect(check, judged, bare, tag, conditions={})[0] is None for judged in check.judged)


def entry(check: Check) -> dict[str, Any]:
    """Return one check as plain data."""
    inputs = {i.name: i for way in check.ways for i in way.inputs}
    return {
        "key": check.key,
        "title": check.title,
        "kind": check.kind.value,
        "sort": sort_of(check),
        "subject": check.subject.title.lower() if check.subject else "whole site",
        "tier": check.tier,
        "revision": check.revision,
        "purpose": check.purpose,
        "shape": check.repeat.shape.value,
        "reads": [item(i.name, i.label, i.quantity) for i in inputs.values()],
        "judges": [item(j.name, j.label, j.quantity) for j in check.judged],
        "needs": [
            {**item(n.name, n.label, n.quantity), "from": n.kind.value, "optional": n.optional} for n in check.needs
        ],
        "instruments": sorted({name for way in check.ways for name in way.instruments}),
        "method": list(check.method),
        "normal": check.normal,
        "cautions": [{"words": c.words, "source": c.source} for c in check.cautions],
        "limits": [{"words": limit.words, "source": limit.source} for limit in check.limits],
        "is_common_practice": any(COMMON in limit.source for limit in check.limits),
        "gate": check.gate,
        "after": list(check.after),
        "perishable": check.perishable,
        "at_service": check.at_service,
        "before_cover": check.before_cover,
        "at_start_up": check.at_start_up,
    }


def item(name: str, label: str, quantity: Any) -> dict[str, str]:
    return {"name": name, "label": label, "quantity": quantity.value, "unit": CORE_UNIT[quantity]}
