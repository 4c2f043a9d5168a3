"""The people who sign in: added, given a role, shut out, and given a way to a new password."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import User
from commissioning.office import people_services as services
from commissioning.office.people_forms import PersonForm
from commissioning.office_only import office_only


@require_safe
@office_only
def person_list(request: HtmxHttpRequest) -> HttpResponse:
    """List the people, those who sign in first."""
    people = User.objects.order_by("-is_active", "username")
    return render(request, "office/person_list.html", {"people": people})


@office_only
@require_http_methods(["GET", "POST"])
def person_new(request: HtmxHttpRequest) -> HttpResponse:
    """Ask for a new person; a POST adds them."""
    return _person(request, None)


@office_only
@require_http_methods(["GET", "POST"])
def person_edit(request: HtmxHttpRequest, handle: UUID) -> HttpResponse:
    """Show a person to be changed; a POST keeps it."""
    return _person(request, get_object_or_404(User, handle=handle))


@never_cache
@office_only
@require_http_methods(["POST"])
def person_link(request: HtmxHttpRequest, handle: UUID) -> HttpResponse:
    """Make a link by which a person chooses a password, to be handed to them in person."""
    person = get_object_or_404(User, handle=handle, is_active=True)
    link = request.build_absolute_uri(services.link_to_new_password(person))
    return render(request, "office/person_link.html", {"person": person, "link": link})


def _person(request: HtmxHttpRequest, person: User | None) -> HttpResponse:
    form = PersonForm(request.POST if request.method == "POST" else None, instance=person, actor=request.user)
    if form.is_valid():
        role, is_active = form.cleaned_data["role"], form.cleaned_data["still_here"]
        kept = services.keep_person(person=form.instance, role=role, is_active=is_active, actor=request.user)
        messages.success(request, f"{kept} is kept.")
        return redirect("person-edit", kept.handle)
    known = User.objects.filter(pk=person.pk).first() if person else None  # as kept, not as typed
    return render(request, "office/person_edit.html", {"person": known, "form": form})
