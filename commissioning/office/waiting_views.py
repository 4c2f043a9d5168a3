"""What waits and on whom, as a page of the desk."""

from collections import Counter
from datetime import date
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from commissioning.htmx import HtmxHttpRequest
from commissioning.moments import day_words
from commissioning.office.due import Due, due_until
from commissioning.office.waiting import Waiting, Whom, waiting_on
from commissioning.office_only import office_only

A_PAGE = 50


@require_safe
@office_only
def waiting(request: HtmxHttpRequest) -> HttpResponse:
    """List what waits, oldest first; `on` keeps what waits on one of them."""
    today = timezone.now().date()
    found = waiting_on(request.user, today)
    chosen = next((whom for whom in Whom if whom.value == request.GET.get("on")), None)
    there = [one for one in found if chosen in (None, one.whom)]
    page = Paginator(there, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "today": day_words(today), "page": page, "rows": [_row(one, today) for one in page.object_list],
        "filters": _filters(found, chosen), "chosen": chosen or "", "sites": len({one.site.pk for one in there}),
        "due": [_due(one, today) for one in due_until(request.user, today)],
    }  # fmt: skip
    return render(request, "office/waiting.html", context)


def _row(one: Waiting, today: date) -> dict[str, Any]:
    days = max((today - one.since).days, 0)  # a phone's clock may run ahead
    return {
        "days": f"{days} {'day' if days == 1 else 'days'}", "since": day_words(one.since), "what": one.what,
        "detail": one.detail, "site": one.site.name, "site_url": one.site.get_absolute_url(),
        "whom": one.whom.value.capitalize(), "name": one.name, "url": one.url, "link": one.link,
    }  # fmt: skip


def _due(one: Due, today: date) -> dict[str, Any]:
    return {
        "on": day_words(one.on), "is_late": one.on < today, "what": one.what, "why": one.why, "url": one.url,
        "link": one.link,
    }  # fmt: skip


def _filters(found: list[Waiting], chosen: Whom | None) -> list[dict[str, Any]]:
    many = Counter(one.whom for one in found)
    everyone = {"label": "Everyone", "many": len(found), "query": "", "is_here": chosen is None}
    each = [
        {"label": whom.value.capitalize(), "many": many[whom], "query": whom.value, "is_here": whom is chosen}
        for whom in Whom
    ]
    return [everyone, *each]
