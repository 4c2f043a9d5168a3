"""The forms of the return."""

from typing import Any
from uuid import uuid4

from django import forms

from commissioning.models import OwnerSaid
from sizing.causes.symptoms import SYMPTOMS, symptoms_of
from sizing.system import System

MOST_WORDS = 4000


class SaidForm(forms.Form):
    """What the owner says: from the list, and in words. Sent twice it is kept once, by the id it was drawn with."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    symptoms = forms.MultipleChoiceField(required=False, label="The owner says", widget=forms.CheckboxSelectMultiple)
    words = forms.CharField(
        required=False,
        max_length=MOST_WORDS,
        label="In the owner’s words",
        help_text="since when, what was changed, what was touched",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, system: System | None, said: OwnerSaid | None, **kwargs: Any) -> None:
        before = {"symptoms": said.symptoms, "words": said.words} if said else {}
        super().__init__(*args, **{**kwargs, "initial": {"id": uuid4(), **before}})
        offered = symptoms_of(system) if system else list(SYMPTOMS.values())
        field = self.fields["symptoms"]
        field.choices = [(one.key, one.words) for one in offered]  # type: ignore[attr-defined]  # a choice field
        field.error_messages["invalid_choice"] = "%(value)s is not on the list."

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not cleaned["symptoms"] and not cleaned["words"].strip():
            self.add_error("words", "Choose what the owner says, or write it.")
        return cleaned
