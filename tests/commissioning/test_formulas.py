"""The printed list of formulas says what the docstrings say, of every one of them."""

from pathlib import Path

from django.conf import settings

from commissioning.management.commands import formulas


def test_the_list_of_formulas_is_the_one_that_the_docstrings_give() -> None:
    kept = (Path(settings.ROOT) / formulas.PAGE).read_text("utf-8")
    assert kept == formulas.page(), "renew it: python3 manage.py formulas --write"


def test_an_entry_gives_arguments_with_unit_and_range_result_and_source() -> None:
    found = formulas.page()
    entry = found[found.index("**`acceptance_volume`**") :].split("\n\n", maxsplit=1)[0]
    assert "`precharge`: p₀, absolute gas pressure with no water in the tank [Pa], > 0" in entry
    assert "returns V_acc, water held at `final_pressure` [m³]" in entry
    assert "Boyle's law" in entry
