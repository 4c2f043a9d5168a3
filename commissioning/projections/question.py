"""Evidence that the office asks about an owed check, and that somebody answers."""

from typing import Any

from commissioning import evidence
from commissioning.models import Event, Measurement, Question, Reply, Visit
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of
from sizing.checks.catalogue import CHECKS


@evidence.kind(
    "question.asked",
    schema=s.body(
        {"id": s.UUID, "visit": s.UUID, "check": {"enum": sorted(CHECKS)}, "subject": s.TAG, "words": s.REASON},
        {"measurement": s.maybe(s.UUID)},
    ),
)
def ask(event: Event, body: dict[str, Any]) -> Question:
    """Write a question. While one is open on a check there is no second: it would not be known which is answered."""
    visit = visit_of(event, body)
    place = {"visit": visit, "check_key": body["check"], "subject": body["subject"]}
    if Question.objects.open().filter(**place).exists():
        raise evidence.RefusedError({"$.check": "a question on this check is still open"})
    return Question.objects.create(
        pk=body["id"], **place, measurement=_measured(visit, body, body["check"]), words=body["words"], by=event.actor,
        at=event.recorded_at,
    )  # fmt: skip


@evidence.kind(
    "question.answered",
    schema=s.body({"id": s.UUID, "question": s.UUID, "words": s.WORDS}, {"measurement": s.maybe(s.UUID)}),
)
def reply(event: Event, body: dict[str, Any]) -> Reply:
    """Write an answer: in words, by a measurement of the same check, or both."""
    question = Question.objects.filter(pk=body["question"], visit__site=event.site).select_related("visit").first()
    if question is None:
        raise evidence.WaitsError({"$.question": "there is no such question on this site"})
    if not (body["words"].strip() or body.get("measurement")):
        raise evidence.RefusedError({"$.words": "say what the answer is"})
    return Reply.objects.create(
        pk=body["id"], question=question, words=body["words"], by=event.actor, at=event.recorded_at,
        measurement=_measured(question.visit, body, question.check_key),
    )  # fmt: skip


def _measured(visit: Visit, body: dict[str, Any], check_key: str) -> Measurement | None:
    if not body.get("measurement"):
        return None
    found = Measurement.objects.filter(pk=body["measurement"], visit=visit, check_key=check_key).first()
    if found is None:
        raise evidence.WaitsError({"$.measurement": "there is no such measurement of this check"})
    return found
