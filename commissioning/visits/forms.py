"""The small forms of a visit. Each carries the id of what it makes, so that a double tap makes it once."""

from typing import Any
from uuid import uuid4

from django import forms

from commissioning.models import SetAside, Site, User, VisitKind
from commissioning.strokes import StrokesError, parse_strokes
from commissioning.visits.photo_field import PhotoFields
from sizing.checks.catalogue import CHECKS
from sizing.instruments import kinds_for

MEANINGS = (
    "I took these measurements",
    "I was shown the system and received these results",
)
MOST_WORDS = 4000


class MakingForm(forms.Form):
    """A form that makes one thing, under the id it was drawn with."""

    id = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"id": uuid4(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)


def words(label: str, *, rows: int = 3, required: str = "", help_text: str = "") -> forms.CharField:
    """Return a field for a few sentences; `required` says what to say where it is empty."""
    return forms.CharField(
        label=label,
        max_length=MOST_WORDS,
        required=bool(required),
        help_text=help_text,
        error_messages={"required": required} if required else {},
        widget=forms.Textarea(attrs={"rows": rows}),
    )


class BeginVisitForm(MakingForm):
    """On which site, and what kind of visit."""

    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), label="Site", empty_label=None, error_messages={"required": "Choose a site."}
    )
    kind = forms.ChoiceField(label="Kind of visit", choices=VisitKind.choices, widget=forms.RadioSelect)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = Site.objects.for_user(user)  # type: ignore[attr-defined]  # a ModelChoiceField


class KitForm(forms.Form):
    """Kinds of instrument that somebody has along, as the page lists them."""

    kind = forms.TypedMultipleChoiceField(required=False, coerce=str)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = kinds_for(list(CHECKS.values()))
        self.fields["kind"].choices = [(kind, kind) for kind in known]  # type: ignore[attr-defined]  # a choice field
        self.fields["kind"].error_messages["invalid_choice"] = "%(value)s is no instrument of the list."


class SetAsideForm(MakingForm):
    """Why a check is not taken now, or not at all."""

    how = forms.ChoiceField(choices=SetAside.choices)
    reason = words("Reason", rows=2, help_text="needed unless you park it")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        needs_reason = cleaned.get("how") not in (None, SetAside.PARKED, SetAside.TAKEN_UP)
        if needs_reason and not cleaned.get("reason", "").strip():
            self.add_error("reason", "Say why.")
        return cleaned


class SentForm(MakingForm):
    """When a sample went to the laboratory."""

    sent_on = forms.DateField(
        label="Sent on",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"required": "Give the day.", "invalid": "Give the day as 2027-04-14."},
    )


class ReleaseForm(MakingForm):
    """Why work goes on behind a hold."""

    reason = words("Reason", required="Say why work may go on.")


class DefectForm(MakingForm):
    """What is to be put right, and by whom."""

    words = words("What is to be put right", required="Say what is to be put right.")
    is_unsafe = forms.BooleanField(required=False, label="It is unsafe: nobody uses this until it is put right")
    who = forms.CharField(required=False, max_length=120, label="Who puts it right")
    due = forms.DateField(
        required=False,
        label="By when",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "Give the day as 2027-04-14, or leave it empty."},
    )


class ReplyForm(MakingForm):
    """The answer to a question of the office; `reading` names the measurement that is the answer."""

    words = words("Answer", rows=2, required="Say what the answer is.")
    reading = forms.UUIDField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].required = not (self.is_bound and self.data.get("reading"))


class PutRightForm(forms.Form):
    """How a defect was put right."""

    words = words("How it was put right", required="Say what was done.")


class SignForm(MakingForm):
    """A name under exactly what was shown."""

    shown_hash = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    strokes = forms.CharField(widget=forms.HiddenInput, required=False)
    printed_name = forms.CharField(max_length=120, label="Name", error_messages={"required": "Give your name."})
    role = forms.CharField(
        max_length=60,
        label="Role",
        help_text="technician, owner, inspector …",
        error_messages={"required": "Say in which role you sign."},
    )
    meaning = forms.ChoiceField(
        choices=[(m, m) for m in MEANINGS],
        widget=forms.RadioSelect,
        label="Your signature says",
        error_messages={"required": "Choose what your signature says."},
    )

    def clean_strokes(self) -> str:
        text: str = self.cleaned_data["strokes"]
        if not text.strip():
            return ""
        try:
            return parse_strokes(text).text
        except StrokesError as error:
            raise forms.ValidationError(error.message) from error


class EndForm(forms.Form):
    """How a visit ends."""

    left_isolated = forms.BooleanField(required=False, label="Left isolated: do not use")
    reason = words("Why, and what is shut off", rows=2, help_text="where it is left isolated: lock, tag, and a photo")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("left_isolated") and not cleaned.get("reason", "").strip():
            self.add_error("reason", "Say what is shut off, and why.")
        return cleaned


class VisitPhotoForm(PhotoFields):
    """Photos of the visit itself, or more photos of a measurement."""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not self.kept_photos():
            self.add_error("photos", "Choose a photo.")
        return cleaned
