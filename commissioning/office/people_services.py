"""What the office may do about the people who sign in."""

from typing import Any

from django.contrib.auth.tokens import default_token_generator
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from commissioning import evidence
from commissioning.models import User


@transaction.atomic
def keep_person(*, person: User, role: str, is_active: bool, actor: User) -> User:
    """Keep a person's names as they stand on `person`, and role and leave to sign in as evidence."""
    if not actor.is_office:
        raise PermissionDenied
    if person.pk is None:
        person.set_unusable_password()  # the first one is chosen by a link
        person.is_active = False
    person.save()
    body: dict[str, Any] = {"handle": str(person.handle), "role": role, "is_active": is_active}
    kept = evidence.append(site=None, kind="person.kept", body=body, actor=actor).projected
    assert isinstance(kept, User)
    return kept


def link_to_new_password(person: User) -> str:
    """Return the path by which a person chooses a password, once and for a few hours."""
    uid = urlsafe_base64_encode(force_bytes(person.pk))
    return reverse("password-reset-confirm", args=[uid, default_token_generator.make_token(person)])
