"""The rooms of the logbook as links, those that exist for the person asking."""

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

# label, URL name of the room's first page, whether it is for the office only
ROOMS = (
    ("Sites", "site-list", False),
    ("Visits", "visit-list", False),
    ("What waits", "waiting", True),
    ("Sheets", "sheet-list", True),
    ("Instruments", "instrument-list", True),
    ("Phones", "phones", True),
    ("People", "person-list", True),
)


def rooms(request: HttpRequest) -> dict[str, list[dict[str, object]]]:
    """Template context `rooms`: label, url, is_here; empty for a stranger."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"rooms": []}
    found = [(label, address(name)) for label, name, for_office in ROOMS if user.is_office or not for_office]
    return {
        "rooms": [{"label": label, "url": url, "is_here": request.path.startswith(url)} for label, url in found if url]
    }


def address(name: str, *args: object) -> str | None:
    """Return the address of a page, or None where that room does not exist."""
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return None
