"""One owed check: its method and its fields before, its verdict after; taken again, replaced, set aside."""

from urllib.parse import urlencode
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers
from django_htmx.http import replace_url

from commissioning import evidence
from commissioning.htmx import HtmxHttpRequest, wants_fragment
from commissioning.models import Measurement, SetAside
from commissioning.visits.forms import SentForm, SetAsideForm
from commissioning.visits.lookup import line_for
from commissioning.visits.measurement_form import MeasurementForm
from commissioning.visits.measurement_page import Page, context_of, form_of, page_of, why_not_kept
from commissioning.visits.sections import measurement_url
from commissioning.visits.services import AlreadyKeptError, add_row, keep_measurement
from commissioning.visits.services import set_aside as keep_set_aside
from commissioning.visits.sums import keep_only_what_is_wrong
from commissioning.visits.times import clock_and_day, day, zone_of


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def measurement(request: HtmxHttpRequest, visit_id: UUID, owed_id: str) -> HttpResponse:
    """Show one owed check, before and after; a POST keeps a measurement."""
    progress, line = line_for(request.user, visit_id, owed_id)
    page = page_of(request, progress, line)
    if request.method == "GET":
        return _answer(request, page, form_of(page) if page.asks else None)
    return _keep(request, page)


def _keep(request: HtmxHttpRequest, page: Page) -> HttpResponse:
    """Keep what was sent, or show it again with what is wrong or in doubt."""
    if "work_out" in request.POST:
        return _worked_out(request, page)
    if _was_kept(request, page):
        return _kept(request, page)
    if page.line.measurement is not None and not page.asks and not page.line.check.is_condition:
        page.wants_replacing = True  # somebody else has taken it meanwhile: nothing is overwritten without a reason
        page.errors.append(_taken_meanwhile(page))
    form = form_of(page, request)
    refusal = why_not_kept(page)
    if form is None or refusal:
        page.errors.append(refusal or "Nothing can be kept here yet.")
        return _answer(request, page, form)
    if not form.is_settled:
        return _answer(request, page, form)
    try:
        _store(request, page, form)
    except AlreadyKeptError as error:
        page.errors.append(_kept_already(page, error.measurement))
        return _answer(request, page, form)
    except evidence.RefusedError as error:
        page.errors += [words[:1].upper() + words[1:] + "." for words in error.faults.values()]
        return _answer(request, page, form)
    return _kept(request, page)


def _worked_out(request: HtmxHttpRequest, page: Page) -> HttpResponse:
    """Show the form as it was sent, with the sums of the step. Nothing is kept."""
    page.works_out, form = True, form_of(page, request)
    if form is not None:
        keep_only_what_is_wrong(form)
    return _answer(request, page, form)


def _was_kept(request: HtmxHttpRequest, page: Page) -> bool:
    """Whether this very form is stored already: its readings are compared when it is kept, its answer here."""
    try:
        sent = UUID(request.POST.get("id", ""))
    except ValueError:
        return False
    known = Measurement.objects.filter(pk=sent, visit=page.visit).prefetch_related("readings").first()
    if known is None or known.owed_id != page.line.owed.id:
        return False
    typed = {r.typed for r in known.readings.all()}
    texts = [str(v).strip() for name, v in request.POST.items() if name.startswith("r-") and str(v).strip()]
    same = all(text in typed or any(t.endswith(text) for t in typed) for text in texts)
    return same and request.POST.get("answer", "") in ("", known.answer)


def _store(request: HtmxHttpRequest, page: Page, form: MeasurementForm) -> None:
    entry, owed = form.entry(), page.line.owed
    if page.adds_row and page.line.measurement is not None:
        add_row(
            visit=page.visit, check=owed.check, subject=owed.subject, entry=entry, former=page.line.measurement,
            actor=request.user,
        )  # fmt: skip
        return
    keep_measurement(
        visit=page.visit, check=owed.check, subject=owed.subject, entry=entry, replaces=page.replaces,
        actor=request.user,
    )  # fmt: skip


def _taken_meanwhile(page: Page) -> str:
    one = page.line.measurement
    assert one is not None
    return f"{_who(page, one)} has taken this check already. Say below why yours replaces it."


def _kept_already(page: Page, one: Measurement) -> str:
    who = _who(page, one)
    return f"This form was kept already, with other readings, by {who}. Open the check anew to replace them."


def _who(page: Page, one: Measurement) -> str:
    return f"{one.taken_by}, {clock_and_day(one.taken_at, zone_of(page.visit.site))}"


# the answer


def _kept(request: HtmxHttpRequest, page: Page) -> HttpResponse:
    """Show the check with what was just kept."""
    query = f"?{urlencode({'back': page.back.owed.id})}" if page.back else ""
    url = measurement_url(page.visit, page.line) + query
    if not wants_fragment(request):
        return redirect(f"{url}#result")
    progress, line = line_for(request.user, page.visit.pk, page.line.owed.id)
    fresh = Page(progress, line, "", progress.line(page.back.owed.id) if page.back else None, False, False, "")
    response = _answer(request, fresh, form_of(fresh) if fresh.adds_row else None)
    return replace_url(response, url)


def _answer(request: HtmxHttpRequest, page: Page, form: MeasurementForm | None) -> HttpResponse:
    name = "_measurement" if wants_fragment(request) else "measurement"
    context = context_of(request, page, form)
    context["aside_form"] = SetAsideForm()
    return render(request, f"visits/{name}.html", context)


# set aside


@require_POST
def set_aside(request: HtmxHttpRequest, visit_id: UUID, owed_id: str) -> HttpResponse:
    """Park a check, say that it cannot be taken or does not apply, send it to the laboratory, or take it up again."""
    progress, line = line_for(request.user, visit_id, owed_id)
    page = page_of(request, progress, line)
    data = _with_day_sent(request, page)
    form = SetAsideForm(data)
    if progress.visit.ended_at is not None and not line.check.from_laboratory:
        page.errors.append("This visit has ended.")
    elif form.is_valid():
        cleaned = form.cleaned_data
        keep_set_aside(
            visit=progress.visit, check=line.owed.check, subject=line.owed.subject, id=cleaned["id"],
            how=cleaned["how"], reason=cleaned["reason"].strip(), actor=request.user,
        )  # fmt: skip
        messages.success(request, f"{line.check.title}, {line.owed.subject}: {_said(cleaned['how'])}.")
        if cleaned["how"] == SetAside.TAKEN_UP:
            return redirect("measurement", visit_id, owed_id)
        return redirect(progress.visit)
    context = context_of(request, page, form_of(page) if page.asks else None)
    context |= {"aside_form": form, "action": reverse("measurement", args=[visit_id, owed_id])}
    if "sent_on" in request.POST:
        context |= {"aside_form": SetAsideForm(), "sent_form": SentForm(request.POST)}
    return render(request, "visits/measurement.html", context)


def _with_day_sent(request: HtmxHttpRequest, page: Page) -> dict[str, str]:
    """Return what was sent; the day on which a sample left becomes the words of a parked check."""
    data = {name: str(request.POST.get(name, "")) for name in ("id", "how", "reason")}
    if "sent_on" not in request.POST:
        return data
    sent = SentForm(request.POST)
    if not sent.is_valid():
        page.errors += [str(e) for errors in sent.errors.values() for e in errors]
        return {**data, "how": ""}
    words = f"sent to the laboratory {day(sent.cleaned_data['sent_on'], zone_of(page.visit.site))}"
    return {"id": data["id"] or str(uuid4()), "how": SetAside.PARKED, "reason": words}


def _said(how: str) -> str:
    return str(dict(SetAside.choices)[how])
