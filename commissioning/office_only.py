"""Views that only the office may use; to everybody else they are not there."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from django.http import Http404
from django.http.response import HttpResponseBase

from commissioning.htmx import HtmxHttpRequest

P = ParamSpec("P")
R = TypeVar("R", bound=HttpResponseBase)


def office_only(view: Callable[Concatenate[HtmxHttpRequest, P], R]) -> Callable[Concatenate[HtmxHttpRequest, P], R]:
    """Close a view to all but the office. Forbidden and unknown look alike."""

    @wraps(view)
    def closed(request: HtmxHttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> R:
        if not request.user.is_office:
            raise Http404
        return view(request, *args, **kwargs)

    return closed
