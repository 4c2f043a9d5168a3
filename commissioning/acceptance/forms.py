"""What is typed to accept a departure, and to ask about a check."""

from django import forms
from django.utils import timezone

MOST_WORDS = 4000


class ConcessionForm(forms.Form):
    """A reason, and a day on which the concession ends."""

    reason = forms.CharField(
        label="Reason",
        help_text="Why the system may be handed over like this. Printed on the sheet with your name.",
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Say why."},
    )
    expires_on = forms.DateField(
        label="Until",
        help_text="The last day on which it holds. Leave empty if it holds for good.",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Type the day as year-month-day, such as 2027-04-23."},
    )

    def clean_expires_on(self) -> object:
        last = self.cleaned_data["expires_on"]
        if last is not None and last < timezone.now().date():
            raise forms.ValidationError("That day is past.")
        return last


class QuestionForm(forms.Form):
    """One question."""

    words = forms.CharField(
        label="Question",
        help_text="One at a time. It stands at the check until it is answered, also on a visit that has ended.",
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say what you ask."},
    )
