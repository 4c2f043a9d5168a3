"""What a view needs to know of htmx: whether to answer with a page or with a part of it."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from commissioning.models import User


class HtmxHttpRequest(HttpRequest):
    """A signed-in request, as the middleware hands it to a view."""

    htmx: HtmxDetails
    user: User


def wants_fragment(request: HttpRequest) -> bool:
    """Return whether htmx asks for a part: boosted links and a restored history want the whole page."""
    htmx: HtmxDetails = request.htmx  # type: ignore[attr-defined]  # set by HtmxMiddleware
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request
