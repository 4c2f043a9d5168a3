"""What the office writes about an owner's link: made, and revoked; each one piece of evidence."""

import secrets
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction

from commissioning import evidence
from commissioning.canonical import digest
from commissioning.models import OwnerLink, Site, User

TOKEN_BYTES = 16  # 128 bits


@transaction.atomic
def make_link(*, site: Site, actor: User) -> str:
    """Make the link of a site, in the place of one that stands; return its secret, which is kept nowhere."""
    if not actor.is_office:
        raise PermissionDenied
    token = secrets.token_urlsafe(TOKEN_BYTES)
    body = {"id": str(uuid4()), "token_hash": digest(token)}
    evidence.append(site=site, kind="owner_link.made", body=body, actor=actor)
    return token


@transaction.atomic
def revoke_link(*, link: OwnerLink, actor: User) -> None:
    """Revoke a link: it opens nothing any more."""
    if not actor.is_office:
        raise PermissionDenied
    evidence.append(site=link.site, kind="owner_link.revoked", body={"link": str(link.pk)}, actor=actor)
