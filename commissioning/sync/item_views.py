"""The entrance for phones: hello, and items in batches."""

from datetime import UTC
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.db.models import Max
from django.http import HttpRequest, JsonResponse
from django.http.request import UnreadablePostError
from django.middleware.csrf import get_token
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST
from jsonschema import Draft202012Validator

from commissioning.htmx import HtmxHttpRequest
from commissioning.items import OLDEST_VERSION, VERSION
from commissioning.models import Device, Event, User
from commissioning.projections import schemas as s
from commissioning.sync.answers import refused, said, storage_guarded
from commissioning.sync.epochs import present_epoch
from commissioning.sync.intake import Intake, Result
from commissioning.sync.item_form import ID
from commissioning.sync.strict import UnreadableError, faults_in, object_of, printable, read_json

MOST_BYTES = 2**20
MOST_ITEMS = 200
DELIVERY = Draft202012Validator(
    s.body(
        {
            "device": ID,
            "user": ID,
            "epoch": {"type": "string", "maxLength": 64},
            "items": {"type": "array", "maxItems": MOST_ITEMS},
        }
    )
)


@login_not_required
@require_GET
@storage_guarded
def hello(request: HtmxHttpRequest) -> JsonResponse:
    """Say who answers, what time it is here, who is signed in, and how far a device's count is known."""
    epoch = present_epoch()
    user = request.user if request.user.is_authenticated else None
    return said(
        {
            "server": str(epoch.server),
            "epoch": str(epoch.epoch),
            "time": timezone.now().astimezone(UTC).isoformat(timespec="milliseconds"),
            "csrf": get_token(request),
            "user": str(user.handle) if user else None,
            "name": user.get_full_name() if user else "",
            "oldest_version": OLDEST_VERSION,
            "version": VERSION,
            "next": _next_of(user, request.GET.get("device", "")) if user else {},
        }
    )


def _next_of(user: User, device: str) -> dict[str, int]:
    """Return the number that comes next from the devices of a person, and from the one that asks."""
    asked = [device] if DEVICE.is_valid(device) else []
    known = [*(str(pk) for pk in user.devices.values_list("pk", flat=True)), *asked]
    lasts = Event.objects.filter(device__in=known).values_list("device").annotate(Max("device_sequence")).order_by()
    return {**dict.fromkeys(asked, 1), **{name: last + 1 for name, last in lasts}}


DEVICE = Draft202012Validator(ID)


@require_POST
@storage_guarded
def items(request: HtmxHttpRequest) -> JsonResponse:
    """Take in a batch of items; answer with a result and a receipt for each."""
    if request.content_type != "application/json":
        return refused(415, "type", "Items come as application/json.")
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdigit() or int(length) > MOST_BYTES:
        return refused(413, "size", "A delivery holds at most 1 MB.")
    try:
        sent = _delivery(request)
    except UnreadableError as error:
        return refused(422, error.code, f"The delivery {error}.")
    if sent["user"] != str(request.user.handle):
        return refused(409, "user", "Somebody else is signed in. Items are sent under their own person's sign-in.")
    if _all_too_old(sent["items"]):
        return refused(426, "version", "This phone's logbook is too old to be read. Load it anew, or export a file.")
    return said(_taken(request.user, sent))


def _delivery(request: HttpRequest) -> dict[str, Any]:
    """Return a delivery whose outer form is as it should be; what is wrong in one item is that item's own matter."""
    try:
        content = object_of(read_json(request.body))
    except UnreadablePostError as error:
        raise UnreadableError("cut", "was cut on its way") from error
    outer = {name: value for name, value in content.items() if name != "items"}
    fault = next(iter(faults_in(outer).items()), None)
    if fault is None:
        wrong = next(iter(DELIVERY.iter_errors(content)), None)
        fault = (wrong.json_path, wrong.message) if wrong else None
    if fault is not None:
        raise UnreadableError("form", f"is not as it should be at {printable(fault[0])}: {printable(fault[1], 120)}")
    return content


def _all_too_old(items: list[Any]) -> bool:
    versions = [one.get("v") for one in items if isinstance(one, dict)]
    return bool(versions) and all(isinstance(v, int) and 0 <= v < OLDEST_VERSION for v in versions)


def _taken(user: User, sent: dict[str, Any]) -> dict[str, Any]:
    note_device(UUID(sent["device"]), user)
    results = Intake(user, {str(user.handle): user}).take([_of_device(one, sent["device"]) for one in sent["items"]])
    return {
        "results": [one.as_json() for one in results],
        "heads": heads_of(results),
        "epoch": str(present_epoch().epoch),
    }


def _of_device(item: Any, device: str) -> Any:
    """Return an item; one that another device kept is not sent under this one's name."""
    if isinstance(item, dict) and item.get("device") != device:
        return {**item, "device": None}
    return item


def note_device(device: UUID, user: User) -> None:
    """Write down from which phone somebody sends, once."""
    if user.devices.filter(pk=device).exists():
        return
    found, _ = Device.objects.get_or_create(pk=device, defaults={"first_user": user, "first_seen_at": timezone.now()})
    found.people.add(user)


def heads_of(results: list[Result]) -> dict[str, list[Any]]:
    """Return the last event of every chain that a delivery touched: a copy that leaves the machine."""
    heads: dict[str, list[Any]] = {}
    for site_id in {one.event.site_id for one in results if one.event and one.event.site_id}:
        last = Event.objects.of_site(site_id).last()
        if last is not None:
            heads[str(site_id)] = [last.sequence, last.hash]
    return heads
