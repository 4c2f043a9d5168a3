"""Limits of a site: set and lifted by the office, reached from the check that they are for."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from commissioning import snapshot
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site, SiteLimit, User, Visit
from commissioning.office import limit_services
from commissioning.office.limit_forms import LimitForm, ReasonForm
from commissioning.office_only import office_only
from commissioning.site_limits import limits_shown, shown
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.errors import SystemShapeError
from sizing.holds import hold_that_fixes
from sizing.system import SITE


@office_only
@require_http_methods(["GET", "POST"])
def limit_set(request: HtmxHttpRequest, site_id: UUID, check_key: str) -> HttpResponse:
    """Show the limits of a site for one check; a POST sets one."""
    site, check = _site(request.user, site_id), _check(check_key)
    form = LimitForm(
        request.POST if request.method == "POST" else None, check=check, subjects=_subjects(site, check),
        unit_system=site.unit_system, initial=_usual(request, check),
    )  # fmt: skip
    refused = why_fixed(check)
    if request.method == "POST" and not refused and form.is_valid():
        limit = limit_services.set_limit(site=site, check=check, actor=request.user, **form.cleaned_data)
        messages.success(request, f"Set for {check.title.lower()}: {shown(limit).value}.")
        return redirect(request.get_full_path())
    context = {
        "site": site, "check": check, "form": form, "refused": refused, "limits": limits_shown(site.pk, check),
        "back": _back(request, site), "action": request.get_full_path(),
    }  # fmt: skip
    return render(request, "office/limit_set.html", context)


@office_only
@require_http_methods(["GET", "POST"])
def limit_lift(request: HtmxHttpRequest, limit_id: UUID) -> HttpResponse:
    """Ask why a limit is lifted; a POST lifts it."""
    sites = Site.objects.for_user(request.user)
    limit = get_object_or_404(
        SiteLimit.objects.standing().filter(site__in=sites).select_related("site", "by"), pk=limit_id
    )
    form = ReasonForm(request.POST if request.method == "POST" else None)
    back = reverse("limit-set", args=[limit.site_id, limit.check_key])
    if request.method == "POST" and form.is_valid():
        limit_services.lift_limit(limit=limit, reason=form.cleaned_data["reason"], actor=request.user)
        messages.success(request, "Lifted. The check's own limits count again.")
        return redirect(back)
    context = {"site": limit.site, "check": CHECKS[limit.check_key], "one": shown(limit), "form": form, "back": back}
    return render(request, "office/limit_lift.html", context)


def why_fixed(check: Check) -> str:
    """Return in words why a site can have no limit of its own for a check; empty if it can."""
    hold = hold_that_fixes(check.key)
    if hold is None:
        return ""
    return f"The hold “{hold.title}” can only be settled: {hold.why}. Its limits are the same on every site."


def _site(user: User, site_id: UUID) -> Site:
    return get_object_or_404(Site.objects.for_user(user), pk=site_id)


def _check(key: str) -> Check:
    check = CHECKS.get(key)
    if check is None or not check.judged or check.is_condition:
        raise Http404
    return check


def _subjects(site: Site, check: Check) -> list[str]:
    try:
        return [tag for tag in check.subjects(snapshot.system_now(site)) if tag != SITE]
    except SystemShapeError:
        return []


def _usual(request: HtmxHttpRequest, check: Check) -> dict[str, str]:
    return {"judged": check.judged[0].name, "subject": request.GET.get("subject", "")}


def _back(request: HtmxHttpRequest, site: Site) -> str:
    """Return the check on the visit from which a person came, else the site."""
    visit = _visit(request, site)
    owed = (
        f"{request.resolver_match.kwargs['check_key']}:{request.GET.get('subject', '')}"
        if request.resolver_match
        else ""
    )
    return reverse("measurement", args=[visit.pk, owed]) if visit else site.get_absolute_url()


def _visit(request: HtmxHttpRequest, site: Site) -> Visit | None:
    try:
        return Visit.objects.for_user(request.user).filter(site=site, pk=UUID(request.GET.get("visit", ""))).first()
    except ValueError:
        return None
