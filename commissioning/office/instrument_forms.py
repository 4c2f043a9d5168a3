"""What is typed of an instrument: its card, a calibration, what was found wrong with it."""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone

from commissioning import units
from commissioning.models import Instrument
from commissioning.statement import EXAMPLES, MOST_CHARACTERS, Stated, is_fixed, printed, read
from sizing.quantities import Quantity

MOST_WORDS = 4000
BAD_DAY = "Type the day as year-month-day, such as 2027-04-23."


def day_field(label: str, **more: Any) -> forms.DateField:
    """Return a field for a day."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, error_messages={"invalid": BAD_DAY}, **more)


def _figure(label: str, help_text: str) -> forms.RegexField:
    """Return a field for a figure of the statement, kept as typed."""
    return forms.RegexField(
        r"^([0-9]+([.][0-9]+)?)?$", label=label, required=False, help_text=f"{help_text}; in its unit, with a point",
        max_length=16, error_messages={"invalid": "Type a number, such as 0.5."},
    )  # fmt: skip


def not_ahead(day: Any) -> Any:
    """Return a day that is not to come; today is as far as it goes anywhere on earth."""
    if day and day > timezone.now().date() + timedelta(days=1):
        raise forms.ValidationError("That day is still to come.")
    return day


class CardForm(forms.ModelForm):  # type: ignore[type-arg]  # generic in its stubs only
    """An instrument's card, with its statement of accuracy as printed on it."""

    quantity = forms.ChoiceField(label="Reads")
    unit = forms.ChoiceField(label="In")
    statement = forms.CharField(
        label="Accuracy, as printed",
        required=False,
        max_length=MOST_CHARACTERS,
        help_text="such as " + "; ".join(EXAMPLES) + ". Left empty, what is usual for its kind is taken.",
    )
    resolution = _figure("One digit is", "the last digit of its display on the range in use")
    full_scale = _figure("Full scale", "where its range ends")

    class Meta:
        model = Instrument
        fields = ("tag", "name", "quantity", "unit", "serial")

    field_order = ("tag", "name", "quantity", "unit", "statement", "resolution", "full_scale", "serial")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stated = Stated()
        self.fields["quantity"].choices = [(q.value, q.value.replace("_", " ")) for q in Quantity]  # type: ignore[attr-defined]  # a choice field
        codes = {one.code: one.symbol or "1" for q in Quantity for one in units.offered(q)}
        self.fields["unit"].choices = list(codes.items())  # type: ignore[attr-defined]  # the same
        if self.instance.unit:
            own = units.unit(self.instance.unit, Quantity(self.instance.quantity))
            self.initial.update(self._as_kept(own.symbol))

    def _as_kept(self, symbol: str) -> dict[str, str]:
        """Return the statement as it is on the card. What is written as an amount needs no digit beside it."""
        one = self.instance
        resolution = "" if is_fixed(one, symbol) else one.resolution
        said = printed(one, symbol, with_range=False)
        return {"statement": said, "resolution": resolution, "full_scale": one.full_scale}

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        quantity, unit = data.get("quantity"), data.get("unit")
        if not quantity or not unit:
            return data
        if unit not in {one.code for one in units.offered(Quantity(quantity))}:
            self.add_error("unit", "This is no unit of what it reads.")
            return data
        beside = {name: data.get(name) or "" for name in ("resolution", "full_scale")}
        self.stated = Stated(**beside)
        if data.get("statement"):
            try:
                self.stated = read(data["statement"], unit, Quantity(quantity), **beside)
            except units.InputError as error:
                self.add_error("statement", error.message)
        return data

    def card(self) -> dict[str, str]:
        """Return the card as the evidence keeps it."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields} | self.stated.as_card()


class CalibrationForm(forms.Form):
    """A calibration: when, until when, and by which certificate."""

    on = day_field("Calibrated on")
    due = day_field("Due again", required=False)
    reference = forms.CharField(label="Certificate or comparison", max_length=80, required=False)

    def clean_on(self) -> Any:
        return not_ahead(self.cleaned_data["on"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("on") and data.get("due") and data["due"] < data["on"]:
            self.add_error("due", "This lies before the calibration.")
        return data


class RetireForm(forms.Form):
    """Why an instrument is in use no more."""

    words = forms.CharField(
        label="Why",
        help_text="Lost, broken, sold. Its card, its calibrations and its readings stay.",
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why."},
    )


class FoundBadForm(forms.Form):
    """From when on an instrument read wrong, and how."""

    since = day_field(
        "Wrong since", help_text="The first day on which it may have read wrong: after it last read right."
    )
    words = forms.CharField(
        label="What was found",
        help_text="Printed beside every reading that it puts in doubt.",
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say what was found."},
    )

    def clean_since(self) -> Any:
        return not_ahead(self.cleaned_data["since"])
