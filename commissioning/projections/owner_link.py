"""Evidence that the office makes an owner's link, or revokes it. The secret itself is in no event."""

from typing import Any, cast

from commissioning import evidence
from commissioning.models import Event, Site
from commissioning.models.owner_link import OwnerLink
from commissioning.projections import schemas as s

SHA256: dict[str, Any] = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


@evidence.kind("owner_link.made", schema=s.body({"id": s.UUID, "token_hash": SHA256}))
def make_link(event: Event, body: dict[str, Any]) -> OwnerLink:
    """Write a link; the one that stood before opens no more."""
    site = cast(Site, event.site)
    OwnerLink.objects.standing().filter(site=site).update(revoked_at=event.recorded_at, revoked_by=event.actor)
    return OwnerLink.objects.create(
        pk=body["id"], site=site, token_hash=body["token_hash"], made_at=event.recorded_at, made_by=event.actor
    )


@evidence.kind("owner_link.revoked", schema=s.body({"link": s.UUID}))
def revoke_link(event: Event, body: dict[str, Any]) -> OwnerLink:
    """Write who revoked a link: from now on its address is like any that never was."""
    found = OwnerLink.objects.standing().filter(pk=body["link"], site=cast(Site, event.site)).first()
    if found is None:
        raise evidence.RefusedError({"$.link": "no such link stands on this site"})
    found.revoked_at, found.revoked_by = event.recorded_at, event.actor
    found.save(update_fields=["revoked_at", "revoked_by"])
    return found
