"""What an owner says is wrong, as a short list: each with the signs that a cause of it may show, and what it asks for.

The list, and which signs belong to a saying, are common practice, no source. A saying proves nothing: it only moves
those checks to the front of a service visit that tell its likely causes apart.
"""

from collections.abc import Mapping, Sequence

from sizing.causes import MEASUREMENT, Cause, Sign, causes, of_system
from sizing.causes import applies as cause_applies
from sizing.causes import speaks_for as sign_speaks_for
from sizing.causes.telling import pair_parted, telling_order
from sizing.checks.keys import check_and_value
from sizing.owed import Owed
from sizing.records import record
from sizing.system import System

UP, DOWN = Sign.UP, Sign.DOWN
MOST_ASKED = 5
"""How many checks one saying moves to the front (our own choice): half an hour's work, and then one knows more."""


@record
class Symptom:
    """One saying: its signs, any of which a cause may show, and what is done before anything else."""

    key: str
    words: str
    signs: tuple[tuple[str, Sign], ...] = ()
    caution: str = ""


DO_NOT_DRINK = "Nobody drinks it or cooks with it until the laboratory calls it safe; boiling removes no chemical."
GAS = "Charging gas explodes and acid burns: no flame, no spark, doors open, eyes covered, before anything is touched."
LIVE_METAL = "After lightning a frame, a casing or a pipe may be live: touch none before it is proved dead."
WATER_NEAR_WIRES = "Water near wires: switch nothing with wet hands, and keep off wet ground round the equipment."

SYMPTOMS: dict[str, Symptom] = {
    one.key: one
    for one in (
        Symptom("nothing", "Nothing is wrong: a visit that was due"),
        Symptom(
            "no_water",
            "No water at the taps",
            (("delivery_flow", DOWN), ("pressure_at_rest", DOWN), ("tank_level", DOWN), ("dawn_voltage", DOWN)),
        ),
        Symptom(
            "weak_flow",
            "Little water, or weak pressure",
            (("delivery_flow", DOWN), ("delivery_pressure", DOWN), ("booster_flow", DOWN), ("filter_drop", UP)),
        ),
        Symptom(
            "starts_often",
            "A pump starts often",
            (("starts_at_fixed_draw", UP), ("starts_with_taps_shut", UP), ("well_pump_starts", UP)),
        ),
        Symptom("runs_on", "A pump does not stop", (("booster_run_time", UP), ("cut_out", UP), ("tank_level", UP))),
        Symptom("tank_stays_low", "The tank does not fill", (("tank_level", DOWN), ("well_pump_flow", DOWN))),
        Symptom(
            "overflows", "The tank overflows", (("overflow_events", UP), ("tank_level", UP)), caution=WATER_NEAR_WIRES
        ),
        Symptom(
            "dead_at_night",
            "Works by day, fails at night",
            (("dawn_voltage", DOWN), ("low_voltage_disconnect", UP), ("night_draw", UP), ("battery_sag", UP)),
        ),
        Symptom("air", "Air spits from the taps", (("air_at_outlet", UP),)),
        Symptom(
            "water_changed",
            "The water looks, smells or tastes different",
            (("turbidity", UP), ("sand", UP), ("coliform", UP), ("conductivity", UP)),
            caution=DO_NOT_DRINK,
        ),
        Symptom(
            "since_storm",
            "It has failed since a thunderstorm",
            (("surge_protector_state", UP), ("pump_cable_insulation", DOWN), ("array_insulation", DOWN)),
            caution=LIVE_METAL,
        ),
        Symptom(
            "less_than_before",
            "Less water in a day than in other years",
            (("static_level", UP), ("specific_capacity", DOWN), ("array_power", DOWN), ("well_pump_flow", DOWN)),
        ),
        Symptom(
            "battery_odd",
            "The battery is hot, smells or is wet",
            (("battery_temperature", UP), ("battery_water_use", UP)),
            caution=GAS,
        ),
        Symptom(
            "hand_pump",
            "The hand pump gives little, or wants many strokes",
            (("strokes_to_water", UP), ("volume_per_stroke", DOWN), ("hand_pump_late_yield", DOWN)),
        ),
    )
}  # fmt: skip


def causes_behind(system: System, symptom: Symptom) -> list[Cause]:
    """Return the causes of a saying that can befall this system; a slip of measuring is none of them."""
    principles, parts = of_system(system)
    return [
        one
        for one in causes()
        if one.part != MEASUREMENT and cause_applies(one, principles, parts) and _shows(one, symptom)
    ]


def _shows(cause: Cause, symptom: Symptom) -> bool:
    return any(sign_speaks_for(cause, key, sign) for key, sign in symptom.signs)


def symptoms_of(system: System) -> list[Symptom]:
    """Return the sayings that can be true of a system: those behind which a cause stands, and that nothing is wrong."""
    return [one for one in SYMPTOMS.values() if not one.signs or causes_behind(system, one)]


def asked_by(system: System, order: Sequence[Owed], symptoms: Sequence[str]) -> dict[str, str]:
    """Return the owed checks that tell the causes of some sayings apart, by id, each with the reason in a few words."""
    found: dict[str, str] = {}
    for key in symptoms:
        for owed_id, why in _asked_by(system, order, SYMPTOMS[key]).items():
            found.setdefault(owed_id, why)
    return found


def _asked_by(system: System, order: Sequence[Owed], symptom: Symptom) -> dict[str, str]:
    behind = causes_behind(system, symptom)
    there = readings_of(order)
    keys = telling_order(behind, tuple(there))[:MOST_ASKED]
    found: dict[str, str] = {}
    for place, key in enumerate(keys):
        why = _reason(behind, key, keys[:place])
        found.update({one.id: why for one in there[key] if one.id not in found})
    return found


def readings_of(order: Sequence[Owed]) -> dict[str, list[Owed]]:
    """Return, by reading, the checks in which it is taken: what is owed anyway before what is only offered."""
    by_check: dict[str, list[Owed]] = {}
    for one in sorted(order, key=lambda one: one.optional):
        by_check.setdefault(one.check, []).append(one)
    named = dict.fromkeys(key for one in causes() for key in one.signs)
    of_key = {key: _takes(check_and_value(key)[0].key, by_check) for key in named}
    places = {one.id: place for place, one in enumerate(one for many in by_check.values() for one in many)}
    return {key: of_key[key] for key in sorted((k for k in named if of_key[k]), key=lambda k: places[of_key[k][0].id])}


def _takes(check: str, by_check: Mapping[str, list[Owed]]) -> list[Owed]:
    """Return what a person takes for a check: itself, or what it is worked out from."""
    owed = by_check.get(check, [])
    if not owed or owed[0].declared.ways or not owed[0].declared.needs:
        return owed
    return [one for need in owed[0].declared.needs if not need.optional for one in by_check.get(need.name, [])]


def _reason(behind: Sequence[Cause], key: str, before: Sequence[str]) -> str:
    pair = pair_parted(behind, key, before)
    return f"parts {_short(pair[0])} from {_short(pair[1])}" if pair else "tells likely causes apart"


def _short(cause: Cause) -> str:
    """Return a cause in a few words: what stands in brackets is left to the page of causes."""
    words = cause.words.split(" (")[0].split(": ")[0]
    return words if words[1:2].isupper() else words[0].lower() + words[1:]
