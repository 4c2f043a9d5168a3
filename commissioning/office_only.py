"""Views that only the office may use; to everybody else they are not there."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.http import Http404, HttpResponse

from commissioning.htmx import HtmxHttpRequest

P = ParamSpec("P")
View = Callable[Concatenate[HtmxHttpRequest, P], HttpResponse]


def office_only(view: View[P]) -> View[P]:
    """Close a view to all but the office. Forbidden and unknown look alike."""

    @wraps(view)
    def closed(request: HtmxHttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if not request.user.is_office:
            raise Http404
        return view(request, *args, **kwargs)

    return closed
