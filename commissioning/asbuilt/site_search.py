"""Finding a site by what somebody on the telephone has before them: a name, an owner, a serial, a sheet's number."""

import re

from django.db.models import Exists, OuterRef, Q, QuerySet

from commissioning.models import Component, Contact, Run, Sheet, Site, User
from sizing.parts import COMPONENT_KINDS, RUN_KINDS

SHEET_NUMBER = re.compile(r"(\d{4})-(\d{1,6})")
SHORTEST_KIND = 3
"""Letters from which on a word may be that of a kind of part; fewer would find nearly every site."""


def sites_found(user: User, words: str) -> QuerySet[Site]:
    """Return the sites on which every word is found somewhere, in one query however many words there are."""
    sites: QuerySet[Site] = Site.objects.for_user(user)
    for word in words.split():
        sites = sites.filter(_has(word))
    return sites.order_by("name", "pk")


def _has(word: str) -> Q:
    """Return where a word may stand: the site, its owner, a part that is or was there, a sheet."""
    on_site = OuterRef("pk")
    found = Q(name__icontains=word) | Q(place__icontains=word)
    found |= Q(Exists(Contact.objects.filter(site=on_site, owner__icontains=word)))
    found |= Q(Exists(Component.objects.filter(_part(word), site=on_site)))
    found |= Q(Exists(Run.objects.filter(tag__iexact=word, retired_at=None, site=on_site)))
    kinds = kinds_named(word)
    if kinds:
        found |= Q(Exists(Component.objects.filter(kind__in=kinds, retired_at=None, site=on_site)))
        found |= Q(Exists(Run.objects.filter(kind__in=kinds, retired_at=None, site=on_site)))
    number = SHEET_NUMBER.fullmatch(word)
    if number:
        year, sequence = (int(part) for part in number.groups())
        found |= Q(Exists(Sheet.objects.filter(site=on_site, year=year, sequence=sequence)))
    return found


def _part(word: str) -> Q:
    """Return where a word may stand on a component. A serial is also found of what was taken out since."""
    standing = Q(tag__iexact=word) | Q(model__icontains=word) | Q(maker__icontains=word) | Q(name__icontains=word)
    return Q(standing, retired_at=None) | Q(serial__icontains=word)


def kinds_named(word: str) -> list[str]:
    """Return the kinds of component and run whose title holds a word."""
    if len(word) < SHORTEST_KIND:
        return []
    known = {**COMPONENT_KINDS, **RUN_KINDS}
    return [kind for kind, part in known.items() if word.lower() in part.title.lower()]
