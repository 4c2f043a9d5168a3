"""What the office types to issue a sheet, and to withdraw one."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from commissioning.handover.services import Draft, Entry, Seen, usual_paper
from commissioning.strokes import StrokesError, parse_strokes

MOST_WORDS = 4000
DAY_WRONG = "Type the day as year-month-day, such as 2027-04-23."
PAPER_CHOICES = [("A4", "A4"), ("Letter", "US Letter")]
A_YEAR = timedelta(days=365)


def day_field(label: str, **options: Any) -> forms.DateField:
    """Return a field for a day."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, error_messages={"invalid": DAY_WRONG}, **options)


def words_field(label: str, rows: int = 3, **options: Any) -> forms.CharField:
    """Return a field for a few lines of text."""
    return forms.CharField(label=label, max_length=MOST_WORDS, widget=forms.Textarea(attrs={"rows": rows}), **options)


class IssueForm(forms.Form):
    """The issue of a draft: who sees to what is open, on which paper, and why it is issued anew."""

    reason = words_field(
        "Why it is issued again", help_text="Printed on the sheet. The revision before it is marked superseded.",
        error_messages={"required": "Say why."},
    )  # fmt: skip
    isolated = words_field(
        "Left isolated: how", required=False,
        help_text="Fill in only where nobody may use the system: what is locked off and tagged, and by whom. "
        "The sheet then says: left isolated, do not use.",
    )  # fmt: skip
    who_all = forms.CharField(label="Who, where nothing is said below", max_length=120, required=False)
    due_all = day_field("By, where nothing is said below", required=False)
    next_inspection = day_field("Next inspection advised by", required=False)
    paper = forms.ChoiceField(label="Paper", choices=PAPER_CHOICES, widget=forms.RadioSelect)
    strokes = forms.CharField(required=False, widget=forms.HiddenInput, max_length=200_000, strip=False)

    def __init__(self, data: Any = None, *, draft: Draft) -> None:
        visit = draft.visit
        initial = {
            "paper": usual_paper(visit),
            "isolated": visit.left_isolated_reason if visit.left_isolated else "",
            "next_inspection": timezone.now().date() + A_YEAR,
        }
        super().__init__(data, initial=initial)
        self.draft = draft
        if draft.current is None:
            del self.fields["reason"]
        if not draft.items:
            del self.fields["who_all"], self.fields["due_all"]
        if draft.only_isolated:
            self.fields["isolated"].required = True
            self.fields["isolated"].error_messages["required"] = (
                "Say how it was left isolated: it cannot be issued otherwise."
            )
        for item in draft.items:
            self.fields[f"who {item.key}"] = forms.CharField(
                label="Who", max_length=120, required=False, initial=item.who
            )
            self.fields[f"due {item.key}"] = day_field("By", required=False, initial=item.due)

    def item_rows(self) -> list[dict[str, Any]]:
        """Return each open item with its two fields."""
        return [
            {"number": i, "item": one, "who": self[f"who {one.key}"], "due": self[f"due {one.key}"]}
            for i, one in enumerate(self.draft.items, 1)
        ]

    def clean_strokes(self) -> str:
        text = str(self.cleaned_data["strokes"])
        if not text.strip():
            return ""
        try:
            return parse_strokes(text).text
        except StrokesError as error:
            raise forms.ValidationError(error.message) from error

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        self.seen_to: dict[str, Seen] = {}
        for item in self.draft.items:
            who = data.get(f"who {item.key}") or data.get("who_all")
            due = data.get(f"due {item.key}") or data.get("due_all")
            if not who:
                self.add_error(f"who {item.key}", "Who sees to it?")
            if not due and f"due {item.key}" not in self.errors:
                self.add_error(f"due {item.key}", "By when?")
            if who and isinstance(due, date):
                self.seen_to[item.key] = Seen(str(who), due)
        return data

    def entry(self, shown_hash: str) -> Entry:
        """Return what was typed, for the draft of that hash."""
        data = self.cleaned_data
        return Entry(
            shown_hash=shown_hash, paper=data["paper"], seen_to=self.seen_to, isolated=data["isolated"],
            reason=data.get("reason", ""), next_inspection=data["next_inspection"], strokes=data["strokes"],
        )  # fmt: skip


class WithdrawForm(forms.Form):
    """Why a sheet no longer holds."""

    reason = words_field("Why it is withdrawn", error_messages={"required": "Say why."})
