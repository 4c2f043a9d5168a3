"""Questions of the office about owed checks, and what was answered, ready to print."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import tzinfo
from uuid import UUID

from django.db.models import Prefetch
from django.urls import reverse

from commissioning.models import Measurement, Question, Reply, Visit
from commissioning.moments import moment_words

BY_READING = "Answered by the reading of this check."


@dataclass(frozen=True)
class ReplyShown:
    """One answer, and who gave it."""

    words: str
    said: str


@dataclass(frozen=True)
class QuestionShown:
    """One question with its answers; `reading` is the newer measurement that may be the answer, if there is one."""

    id: UUID
    words: str
    said: str
    url: str
    replies: tuple[ReplyShown, ...]
    reading: str = ""

    @property
    def is_open(self) -> bool:
        return not self.replies


def questions_of(visit: Visit) -> list[Question]:
    """Return the questions of a visit with their answers, in at most two queries."""
    replies = Prefetch("replies", Reply.objects.select_related("by"))
    return list(visit.questions.select_related("by").prefetch_related(replies))


def shown(one: Question, zone: tzinfo, taken: Measurement | None = None) -> QuestionShown:
    """Return a question ready to print; `taken` is the measurement that stands at its check now."""
    is_newer = taken is not None and taken.pk != one.measurement_id
    return QuestionShown(
        one.pk, one.words, f"{one.by}, {moment_words(one.at, zone)}",
        reverse("question-detail", args=[one.visit_id, one.pk]),
        tuple(ReplyShown(r.words or BY_READING, f"{r.by}, {moment_words(r.at, zone)}") for r in one.replies.all()),
        str(taken.pk) if taken is not None and is_newer else "",
    )  # fmt: skip


def open_one(questions: Iterable[Question]) -> Question | None:
    """Return the question that is not answered yet, if there is one."""
    return next((one for one in questions if one.is_open), None)
