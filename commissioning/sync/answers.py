"""Answers to a phone: JSON with our mark, kept by no cache, and never a redirect or a page."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.db import OperationalError
from django.http import JsonResponse

from commissioning.htmx import HtmxHttpRequest

P = ParamSpec("P")
View = Callable[Concatenate[HtmxHttpRequest, P], JsonResponse]

PHONE = "/phone/"
MARK = {"logbook": 1}  # tells our answer from a network's own welcome page
RETRY_AFTER = "10"  # s
FULL = ("disk is full", "no space left", "disk full")


def said(content: dict[str, Any], status: int = 200) -> JsonResponse:
    """Return an answer that a phone takes for ours."""
    answer = JsonResponse({**MARK, **content}, status=status, json_dumps_params={"ensure_ascii": False})
    answer["Cache-Control"] = "no-store"
    if status in (503, 507):
        answer["Retry-After"] = RETRY_AFTER
    return answer


def refused(status: int, error: str, message: str) -> JsonResponse:
    """Return why the whole of a request is not taken: a word for the program, a sentence for the person."""
    return said({"error": error, "message": message}, status)


def storage_guarded(view: View[P]) -> View[P]:
    """Say so where the database is busy or the disk is full: nothing was acknowledged, and it is tried again."""

    @wraps(view)
    def guarded(request: HtmxHttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> JsonResponse:
        try:
            return view(request, *args, **kwargs)
        except (OperationalError, OSError) as problem:
            if any(words in str(problem).lower() for words in FULL):
                return refused(507, "full", "The server's disk is full. Nothing was lost; it is tried again.")
            if isinstance(problem, OSError):
                raise
            return refused(503, "busy", "The server is busy. Nothing was lost; it is tried again.")

    return guarded
