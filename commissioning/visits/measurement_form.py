"""The form of a measurement, made from what the check declares: one line to write on for each reading.

Nothing typed is changed or lost: a text that is refused comes back as it was typed. A value beyond what is usual
is asked back once; the answer "it is right" holds for exactly the text and unit that were asked about.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

from django import forms
from django.utils import timezone

from commissioning import units
from commissioning.models import Instrument, Measurement, Visit
from commissioning.projections.measurement import FIELD_SHEET
from commissioning.units.figures import typed_figure
from commissioning.visits.entry import Doubt, Entry, ReadingEntry, right_token
from commissioning.visits.photo_field import PhotoFields
from commissioning.visits.shapes import Cell, Step
from commissioning.visits.times import zone_of
from sizing.checks.declare import Answer, Check, Input, Kind, Shape, Way

SIGNS = (("", "reads"), (">", "more than"), ("<", "less than"))
LONGEST_TEXT = 200  # of what is typed into a number's field; longer is refused, and comes back whole
ROOM_OF_CLOCKS = timedelta(minutes=2)  # a phone's clock and ours are never the same
LONGEST_SERIES = timedelta(days=3)
PICKED = "%Y-%m-%dT%H:%M"  # what a browser sends for a date and time


class MeasurementForm(PhotoFields):
    """What a person fills in for one check on one subject."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    first_sent = forms.CharField(required=False, widget=forms.HiddenInput, max_length=40)
    elapsed = forms.CharField(required=False, widget=forms.HiddenInput, max_length=20)
    started = forms.CharField(
        required=False,
        label="Started at",
        max_length=8,
        widget=forms.TextInput(attrs={"type": "time", "step": "1", "data-started": ""}),
    )
    note = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}), label="Note")
    from_paper = forms.BooleanField(label="from the field sheet", required=False)
    read_at = forms.CharField(
        required=False,
        max_length=32,
        label="Read at",
        help_text="leave empty if you have just read it",
        widget=forms.TextInput(attrs={"type": "datetime-local"}),
    )
    reason = forms.CharField(
        required=False,
        max_length=4000,
        label="Why the former reading is replaced",
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(
        self,
        data: Any = None,
        files: Any = None,
        *,
        check: Check,
        way: Way,
        steps: list[Step],
        visit: Visit,
        instruments: list[Instrument],
        usual: Mapping[str, tuple[str, str]],
        replaces: bool = False,
        reason: str = "",
        former: Measurement | None = None,
    ) -> None:
        """`usual` maps an input to unit and instrument of its last reading on this visit.

        `former` is given where the rows of a measurement are typed once more, to put one right: they stand in the
        form as they were typed, and keep their times.
        """
        first = {"id": uuid4(), "reason": reason}
        self.former = former
        self.former_rows = {(r.input, r.label): r for r in former.readings.all()} if former else {}
        super().__init__(data, files, initial=first)
        self.declared, self.way, self.steps, self.visit = check, way, steps, visit
        self.system = visit.site.unit_system
        self.zone = zone_of(visit.site)
        self.instruments = instruments
        self.doubts: list[Doubt] = []
        self.entries: dict[str, units.Entry | None] = {}
        self.fields["reason"].required = replaces
        self.fields["reason"].error_messages["required"] = "Say why it is replaced."
        self._add_fields(usual)

    # fields

    def _add_fields(self, usual: Mapping[str, tuple[str, str]]) -> None:
        if self.declared.kind is Kind.OBSERVED:
            self.fields["answer"] = forms.ChoiceField(
                choices=[(a.value, a.value) for a in Answer],
                widget=forms.RadioSelect,
                error_messages={"required": "Choose one of the three."},
            )
        for one in {cell.input.name: cell.input for step in self.steps for cell in step.cells}.values():
            self._add_input(one, *usual.get(one.name, ("", "")))
        for step in self.steps:
            for cell in step.cells:
                self._add_cell(cell)

    def _add_input(self, one: Input, unit: str, instrument: str) -> None:
        if one.options:
            return
        offered = units.offered(one.quantity, self.system)
        codes = [u.code for u in offered]
        first = units.usual_unit(one.quantity, self.system, one.soft or one.hard).code
        self.fields[f"unit-{one.name}"] = forms.ChoiceField(
            choices=[(u.code, u.symbol) for u in offered], initial=unit if unit in codes else first, required=False
        )
        fitting = [(str(i.pk), str(i)) for i in self.instruments if i.quantity == one.quantity.value]
        ordinary = f"ordinary {one.usual.words}" if one.usual.words else "not named"
        self.fields[f"instrument-{one.name}"] = forms.ChoiceField(
            choices=[("", ordinary), *fitting], initial=instrument, required=False, label="Instrument"
        )

    def _add_cell(self, cell: Cell) -> None:
        # every check is made in _read, so that a refused text comes back with words of its own
        before = self.former_rows.get((cell.input.name, cell.label))
        initial = before.typed.lstrip("<>=≤≥ ") if before else ""
        self.fields[cell.name] = forms.CharField(required=False, strip=False, label=cell.input.label, initial=initial)
        if cell.input.may_be_bound:
            self.fields[f"sign-{cell.name}"] = forms.ChoiceField(
                choices=SIGNS, required=False, initial=before.bound if before else ""
            )

    # reading what was sent

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for step in self.steps:
            if not self._may_be_left_out(step):
                for cell in step.cells:
                    self._read(cell)
        self._refuse_nothing_at_all()
        self._clean_answer(cleaned)
        self._clean_times(cleaned)
        if not self.errors and self.data.get("right") != right_token(self.doubts):
            return cleaned
        self.doubts = []
        return cleaned

    @property
    def is_settled(self) -> bool:
        """Whether everything is there and nothing has to be asked back."""
        return self.is_valid() and not self.doubts

    def _may_be_left_out(self, step: Step) -> bool:
        """Whether a row is empty that need not be there: a part that this site does not have."""
        if self.declared.repeat.shape is not Shape.ROWS or not any(cell.label for cell in step.cells):
            return False
        others = [one for one in self.steps if one is not step and any(cell.label for cell in one.cells)]
        return bool(others) and not any(str(self.data.get(cell.name, "")).strip() for cell in step.cells)

    def _refuse_nothing_at_all(self) -> None:
        cells = [cell for step in self.steps for cell in step.cells]
        is_empty = not any(str(self.data.get(cell.name, "")).strip() for cell in cells)
        if cells and is_empty and not any(cell.name in self.errors for cell in cells):
            self.add_error(cells[0].name, "Type a number.")

    def _read(self, cell: Cell) -> None:
        text = str(self.data.get(cell.name, "")).strip()
        if not text and cell.input.optional:
            return
        if cell.input.options:
            if text not in {o.value for o in cell.input.options}:
                self.add_error(cell.name, "Choose one.")
            return
        if len(text) > LONGEST_TEXT:
            self.add_error(cell.name, "That is too long for a number. Type digits, with a point if needed: 12.5")
            return
        self._parse(cell, text)

    def _parse(self, cell: Cell, text: str) -> None:
        one, sign = cell.input, str(self.data.get(f"sign-{cell.name}", ""))
        signed = f"{sign} {text}" if sign in (">", "<") and not text.startswith((">", "<", "≥", "≤")) and text else text
        try:
            entry = units.parse(
                signed, self.unit_of(one), one.quantity, hard=one.hard, soft=one.soft, bounds=one.may_be_bound
            )
        except units.InputError as error:
            self.add_error(cell.name, error.message)
            return
        except units.UnknownUnitError:
            self.add_error(cell.name, "Choose one of the units beside it.")
            return
        if entry.value_core is None and not self._full_scale(one):
            self.add_error(cell.name, "Type the end of the instrument's range, and choose “more than”.")
            return
        self.entries[cell.name] = entry
        if entry.doubt:
            self.doubts.append(self._doubt(cell, entry))

    def unit_of(self, one: Input) -> str:
        """Return the unit code chosen for an input, the usual one where none was sent."""
        field = self.fields[f"unit-{one.name}"]
        return str(self.data.get(f"unit-{one.name}") or field.initial)

    def _full_scale(self, one: Input) -> str:
        chosen = self.data.get(f"instrument-{one.name}", "")
        return next((i.full_scale for i in self.instruments if str(i.pk) == chosen), "")

    def _doubt(self, cell: Cell, entry: units.Entry) -> Doubt:
        shown = typed_figure(entry.typed, cell.input.quantity, entry.unit)
        doubt = Doubt(cell.name, shown, entry.doubt)
        if entry.cure is None:
            return doubt
        unit = entry.cure.unit if entry.cure.unit != entry.unit else ""
        sent = str(self.data.get(cell.name, ""))
        return replace(doubt, cure="|".join((cell.name, sent, entry.cure.text, unit)), cure_label=entry.cure.label)

    def _clean_answer(self, cleaned: dict[str, Any]) -> None:
        answer, note = cleaned.get("answer", ""), cleaned.get("note", "").strip()
        if answer == Answer.DOES_NOT_APPLY.value and not note:
            self.add_error("note", "Say why it does not apply here.")
        if answer == Answer.NOT_AS_IT_SHOULD_BE.value and not note:
            self.add_error("note", "Say what is not as it should be.")

    # times

    def _clean_times(self, cleaned: dict[str, Any]) -> None:
        now = timezone.now()
        cleaned["taken_at"] = self.former.taken_at if self.former else self._first_sent(cleaned, now)
        if cleaned.get("read_at"):
            cleaned["taken_at"] = self._picked(cleaned["read_at"], now) or now
        if self.declared.repeat.shape is Shape.TIMED and self.way.inputs:
            self._clean_series(cleaned, now)

    def _first_sent(self, cleaned: dict[str, Any], now: datetime) -> datetime:
        """Return when this form was sent first, if it only comes again because something was asked back."""
        first = _moment(cleaned.get("first_sent", ""))
        answers_back = "right" in self.data or "cure" in self.data
        if not answers_back or first is None or not now - timedelta(days=1) <= first <= now:
            return now
        return first

    def _picked(self, text: str, now: datetime) -> datetime | None:
        try:
            local = datetime.strptime(text, PICKED if len(text) <= 16 else f"{PICKED}:%S")  # noqa: DTZ007
        except ValueError:
            self.add_error("read_at", "Give day and time as 2027-04-14T10:44, or leave it empty.")
            return None
        moment = local.replace(tzinfo=self.zone)
        if moment > now + ROOM_OF_CLOCKS:
            self.add_error("read_at", "That time has not come yet.")
        elif moment < self.visit.started_at - timedelta(minutes=1):
            self.add_error("read_at", "That is before this visit began.")
        return moment

    def _clean_series(self, cleaned: dict[str, Any], now: datetime) -> None:
        """Find when the series began: by the phone's own count where it sends one, else by the clock as typed."""
        started = self._by_count(cleaned.get("elapsed", ""), now) or self._by_clock(cleaned.get("started", ""), now)
        if started is None:
            self.add_error("started", "Press start when you begin, or type the time at which you began.")
            return
        cleaned["taken_at"] = started
        for step in self.steps:
            due = started + timedelta(minutes=step.minute or 0)
            if step.minute and due > now + ROOM_OF_CLOCKS and step.cells:
                when = f"{due.astimezone(self.zone):%H:%M}"
                self.add_error(step.cells[0].name, f"Not before {when}: its minute has not come.")

    def _by_count(self, text: str, now: datetime) -> datetime | None:
        try:
            seconds = timedelta(seconds=int(text))
        except (ValueError, OverflowError):
            return None
        return now - seconds if timedelta(0) <= seconds <= LONGEST_SERIES else None

    def _by_clock(self, text: str, now: datetime) -> datetime | None:
        for form in ("%H:%M:%S", "%H:%M"):
            try:
                typed = datetime.strptime(text.strip(), form).time()  # noqa: DTZ007
            except ValueError:
                continue
            today = datetime.combine(now.astimezone(self.zone).date(), typed, tzinfo=self.zone)
            return today if today <= now + ROOM_OF_CLOCKS else today - timedelta(days=1)
        return None

    # what is kept

    def entry(self) -> Entry:
        """Return the measurement as it is to be stored. Only after `is_settled`."""
        cleaned = self.cleaned_data
        readings = [r for step in self.steps for cell in step.cells if (r := self._reading(cell, step)) is not None]
        return Entry(
            id=str(cleaned["id"]),
            taken_at=cleaned["taken_at"],
            way=self.way.key,
            answer=cleaned.get("answer", ""),
            note=cleaned["note"].strip(),
            reason=cleaned["reason"].strip(),
            readings=tuple(readings),
            photos=self.kept_photos(),
            origin_note=FIELD_SHEET if cleaned["from_paper"] else "",
        )

    def _reading(self, cell: Cell, step: Step) -> ReadingEntry | None:
        one = cell.input
        before = self.former_rows.get((one.name, cell.label))
        at = before.at if before else self._reading_time(step)
        if one.options:
            chosen = str(self.data.get(cell.name, ""))
            return ReadingEntry(one.name, cell.label, chosen, "", "", at) if chosen else None
        entry = self.entries.get(cell.name)
        if entry is None:
            return None
        instrument = str(self.cleaned_data.get(f"instrument-{one.name}", ""))
        return ReadingEntry(one.name, cell.label, entry.typed, entry.unit, instrument, at)

    def _reading_time(self, step: Step) -> datetime | None:
        taken: datetime = self.cleaned_data["taken_at"]
        if step.minute is not None:
            return taken + timedelta(minutes=step.minute)
        return taken if self.declared.repeat.shape is Shape.ROWS else None


def _moment(text: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found.tzinfo is not None else found.replace(tzinfo=UTC)
