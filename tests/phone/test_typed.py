"""The phone reads and writes numbers as the server does: the same cases through both, and the answers compared.

What the server says is itself held to print in tests/commissioning/test_units.py; its corpora are used again here.
"""

import random
from typing import Any

import pytest

from commissioning import units
from commissioning.sync.declared import unit_table
from commissioning.units.figures import plain, range_text
from sizing.quantities import Quantity
from tests.commissioning import test_units as corpus
from tests.phone.node import run

SEED = 20270414
TABLE = unit_table("metric")
Q = Quantity

TEXTS = [
    *(text for text, *_ in corpus.ACCEPTED),
    *(text for text, *_ in corpus.REFUSED),
    "", " ", "OL", "0L", "o.l", "> 999", ">=5", "≤ 3", "<", "> ", "> 1,5", "١٢٫٥", "12.5", "𝟏𝟐", "1 234", "1'234.5",
    "12\u200b", "12\x00", "1e5", "2E-3", "5 ft 6 in", "3m20", "12 V", "12%", "20 °C", "5(a)", "nan", "-inf", "--", "—",
    "n/a", "NA", "null", "+5", "–5", "— 5", "- 5", "− 5", "5.", "5..5", "5 5", "1234567890123456", "9" * 61, "ab" * 40,
    "1,234", "1,23", "1,234,567", "12,345", "0,5", "1.234.567", "1.234,5", "1_000", "½", "Ⅻ", "x²", "12\n", "\t7",
]  # fmt: skip


def parsed(text: str, unit: str, quantity: Q, **bounds: Any) -> dict[str, Any]:
    try:
        entry = units.parse(text, unit, quantity, **bounds)
    except units.InputError as error:
        return {"message": error.message, "suggestion": error.suggestion}
    cure = entry.cure and {"text": entry.cure.text, "unit": entry.cure.unit, "label": entry.cure.label}
    return {
        "typed": entry.typed, "unit": entry.unit, "value": entry.value_core, "bound": entry.bound,
        "doubt": entry.doubt, "cure": cure,
    }  # fmt: skip


PARSE = """
try {
  return m.parse(it.text, it.unit, it.quantity, it.units, { hard: it.hard, soft: it.soft, bounds: it.bounds });
} catch (error) {
  if (!(error instanceof m.InputError)) throw error;
  return { message: error.message, suggestion: error.suggestion };
}"""


def compare(cases: list[dict[str, Any]]) -> None:
    found = run("typed.js", PARSE, [{**c, "units": TABLE[c["quantity"]]} for c in cases])
    for case, phone in zip(cases, found, strict=True):
        given = {name: tuple(case[name]) if case[name] else None for name in ("hard", "soft")}
        server = parsed(case["text"], case["unit"], Q(case["quantity"]), bounds=case["bounds"], **given)
        assert phone == server, case


def case_of(text: str, unit: str = "V", quantity: str = "voltage", **others: Any) -> dict[str, Any]:
    return {"text": text, "unit": unit, "quantity": quantity, "hard": None, "soft": None, "bounds": False, **others}


def test_every_text_is_taken_or_refused_in_the_same_words() -> None:
    compare([case_of(text, bounds=bounds) for text in TEXTS for bounds in (False, True)])


def test_slips_doubts_and_cures_are_the_same() -> None:
    chance = random.Random(SEED)  # noqa: S311  # cases, no secrets
    cases = []
    for quantity, offered in TABLE.items():
        for _ in range(12):
            unit = chance.choice(offered)
            low, width = chance.choice([0.0, 1.0, 20.0, -10.0]), 10 ** chance.uniform(-3, 4)
            soft = [low * unit["factor"], (low + width) * unit["factor"]]
            hard = [soft[0] - abs(soft[1]), soft[1] * 50]
            text = f"{chance.choice([1, -1]) * 10 ** chance.uniform(-4, 6):.{chance.randint(0, 4)}f}"
            cases.append(case_of(text, unit["code"], quantity, hard=hard, soft=soft))
    compare(cases)


FIGURES = """
const unit = it.units.find((one) => one.code === it.code);
return [m.figure(it.value, unit, it.u), m.plusMinus(it.u || 1, unit), m.span(it.value, it.upper, unit),
  m.plain(it.value), m.rangeText(it.value, it.upper, unit), m.span(null, it.value, unit, true),
  m.typedFigure("-1.50", unit)];"""


def figure_cases() -> list[dict[str, Any]]:
    chance = random.Random(SEED)  # noqa: S311  # cases, no secrets
    ties = [0.125, 0.375, 2.5, 0.5, 1.5, 1235.0, 1245.0, 99.5, 9.95, 0.0, -0.0004, 1e-7, 12.345, 1e6, 4.35, 0.285]
    cases = []
    for quantity, offered in TABLE.items():
        for unit in offered:
            values = [
                *chance.sample(ties, 5),
                *(chance.choice([1, -1]) * 10 ** chance.uniform(-6, 6) for _ in range(5)),
            ]
            for shown in values:
                value = shown * unit["factor"] + unit["offset"]
                u = chance.choice([None, abs(shown) * 10 ** chance.uniform(-4, 0) * unit["factor"] or None])
                cases.append({"value": value, "upper": value + abs(value) * chance.random() + unit["factor"], "u": u,
                              "code": unit["code"], "quantity": quantity})  # fmt: skip
    return cases


def written(case: dict[str, Any]) -> list[str]:
    quantity, code, value, u = Q(case["quantity"]), case["code"], case["value"], case["u"]
    unit = units.unit(code, quantity)
    return [
        units.figure(value, quantity, code, u=u),
        units.plus_minus(u or 1, quantity, code),
        units.span(value, case["upper"], quantity, code),
        plain(value),
        range_text(value, case["upper"], unit, quantity),
        units.span(None, value, quantity, code, symbol=True),
        units.typed_figure("-1.50", quantity, code),
    ]


def test_every_figure_is_written_the_same() -> None:
    cases = figure_cases()
    assert len(cases) > 500
    found = run("figures.js", FIGURES, [{**c, "units": TABLE[c["quantity"]]} for c in cases])
    wrong = [(c, p, w) for c, p in zip(cases, found, strict=True) if p != (w := written(c))]
    assert not wrong, f"{len(wrong)} of {len(cases)}: {wrong[:3]}"


def test_a_tie_goes_to_the_even_digit() -> None:
    """Left alone the two languages part at a tie: 0.125 to two places is 0.12 in one, 0.13 in the other."""
    assert run("figures.js", "return m.fixed(it[0], it[1]);", [[0.125, 2], [0.375, 2], [2.5, 0]]) == [
        "0.12",
        "0.38",
        "2",
    ]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_units_carry_the_factor_of_the_registry(system: str) -> None:
    for quantity, offered in unit_table(system).items():
        assert [one["code"] for one in offered] == [u.code for u in units.offered(Q(quantity), system)]
        assert all((one["factor"], one["offset"]) == units.linear(one["code"], Q(quantity)) for one in offered)
