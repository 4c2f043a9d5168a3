"""Evidence of who may sign in and as what. Names and addresses lie beside it, so that a person can be erased."""

from typing import Any

from commissioning import evidence
from commissioning.models import Event, Role, User
from commissioning.projections import schemas as s


@evidence.kind(
    "person.kept", schema=s.body({"handle": s.UUID, "role": {"enum": Role.values}, "is_active": {"type": "boolean"}})
)
def keep_person(event: Event, body: dict[str, Any]) -> User:
    """Write a person's role, and whether they still sign in. Nobody shuts the door behind themselves."""
    person = User.objects.filter(handle=body["handle"]).first()
    if person is None:
        raise evidence.WaitsError({"$.handle": "there is no such person"})
    if person.pk == event.actor_id and (body["role"] != person.role or not body["is_active"]):
        raise evidence.RefusedError({"$.handle": "somebody else of the office has to change this"})
    person.role, person.is_active = body["role"], body["is_active"]
    person.save(update_fields=["role", "is_active"])
    return person
