"""What is typed to set a limit of a site, or to lift one."""

from typing import Any

from django import forms

from commissioning import units
from sizing.checks.declare import Check, Judged
from sizing.quantities import Quantity

MOST_WORDS = 4000
EVERY = "every one on this site"


class ReasonForm(forms.Form):
    """A reason."""

    reason = forms.CharField(
        label="Reason",
        help_text="Printed with your name wherever the limit is printed.",
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say why."},
    )


class LimitForm(ReasonForm):
    """Which value, on which subject, its limits and why."""

    judged = forms.ChoiceField(label="Value", widget=forms.RadioSelect)
    subject = forms.ChoiceField(label="On", required=False, widget=forms.RadioSelect)
    lower = forms.CharField(label="At least", max_length=40, required=False)
    upper = forms.CharField(label="At most", max_length=40, required=False)
    unit = forms.ChoiceField(label="Unit", required=False)

    field_order = ("judged", "subject", "lower", "upper", "unit", "reason")

    def __init__(self, *args: Any, check: Check, subjects: list[str], unit_system: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.check = check
        self.fields["judged"].choices = [(j.name, j.label) for j in check.judged]  # type: ignore[attr-defined]  # a choice field
        self.fields["subject"].choices = [("", EVERY), *((tag, tag) for tag in subjects)]  # type: ignore[attr-defined]  # the same
        self.fields["unit"].choices = _units(check, unit_system)  # type: ignore[attr-defined]  # the same
        for name in ("lower", "upper"):
            self.fields[name].help_text = "Leave empty to keep the check's own limit."

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        judged = next((j for j in self.check.judged if j.name == data.get("judged")), None)
        if judged is None:
            return data
        values = {name: self._value(name, judged) for name in ("lower", "upper")}
        if not (data.get("lower") or data.get("upper")):
            self.add_error("lower", "Type a lower or an upper limit.")
        lower, upper = values["lower"], values["upper"]
        if lower is not None and upper is not None and lower > upper:
            self.add_error("lower", "This lies above the upper limit.")
        return data

    def _value(self, name: str, judged: Judged) -> float | None:
        typed, unit = self.cleaned_data.get(name), self.cleaned_data.get("unit", "")
        if not typed:
            return None
        try:
            return units.parse(typed, unit, judged.quantity).value_core
        except units.InputError as error:
            self.add_error(name, error.message)
        except units.UnknownUnitError:
            self.add_error("unit", f"Choose a unit of {judged.label.lower()}.")
        return None


def _units(check: Check, unit_system: str) -> list[tuple[str, str]]:
    """Return the units of everything the check judges, those of the first value first."""
    quantities: list[Quantity] = list(dict.fromkeys(j.quantity for j in check.judged))
    offered = {one.code: one.symbol or "1" for q in quantities for one in units.offered(q, unit_system)}
    return list(offered.items())
