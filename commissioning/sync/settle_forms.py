"""Forms with which a person settles what phones brought."""

from typing import Any
from uuid import UUID, uuid4

from django import forms


class ReasonForm(forms.Form):
    """Asks why."""

    reason = forms.CharField(label="Reason", max_length=4000)


class ChooseForm(forms.Form):
    """Asks which of several values counts, and why. It carries the id of the choice: sent twice, it is made once."""

    id = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
    chosen = forms.TypedChoiceField(label="Which counts", coerce=UUID, widget=forms.RadioSelect)
    reason = forms.CharField(label="Reason", max_length=4000, help_text="what makes it the better one")

    def __init__(self, *args: Any, choices: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["chosen"].choices = choices  # type: ignore[attr-defined]


class PhoneFileForm(forms.Form):
    """Asks for the file that a phone wrote."""

    file = forms.FileField(label="File from the phone", help_text="the .json that the phone wrote")
