"""For whoever watches the server: whether it is there, and whether it can take evidence in."""

import shutil
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path
from uuid import uuid4

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.sessions.models import Session
from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from commissioning.models import DailyHead, Event, Quarantined

LEAST_FREE = 500 * 1024**2
"""Bytes below which photos of a day may not fit any more; our own choice."""
LOOPBACK = ("127.0.0.1", "::1")
PASSED_ON = ("HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_PROTO", "HTTP_X_REAL_IP", "HTTP_FORWARDED")
A_DAY = 86_400


@require_safe
@never_cache
@login_not_required
def healthz(request: HttpRequest) -> HttpResponse:
    """Say that the process answers; asks nothing of the database."""
    return HttpResponse("alive\n", content_type="text/plain")


@require_safe
@never_cache
@login_not_required
def readyz(request: HttpRequest) -> HttpResponse:
    """Say for each thing that evidence needs whether it is there; 503 if one is not. Only for this machine itself."""
    if not is_from_here(request):
        raise Http404
    found = {name: check() for name, check in CHECKS.items()}
    is_ready = all(ok for ok, _ in found.values())
    said = {name: {"ok": ok, "found": words} for name, (ok, words) in found.items()}
    return JsonResponse({"ready": is_ready, "needs": said, "notes": notes()}, status=200 if is_ready else 503)


def is_from_here(request: HttpRequest) -> bool:
    """Whether this machine itself asks, and no proxy on it for somebody else."""
    is_passed_on = any(name in request.META for name in PASSED_ON)
    return request.META.get("REMOTE_ADDR") in LOOPBACK and not is_passed_on


def can_write() -> tuple[bool, str]:
    """Write a row and take it back: a disk that is full or read-only is found by writing alone."""
    began = time.monotonic()
    try:
        with transaction.atomic():
            Session.objects.create(session_key=uuid4().hex, session_data="", expire_date=timezone.now())
            transaction.set_rollback(True)
    except DatabaseError as error:
        return False, type(error).__name__
    return True, f"written and taken back in {(time.monotonic() - began) * 1000:.0f} ms"


def is_migrated() -> tuple[bool, str]:
    """Compare the tables with those that this code needs."""
    try:
        executor = MigrationExecutor(connection)
        owed = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError as error:
        return False, type(error).__name__
    return not owed, f"{len(owed)} migrations owed"


def has_space() -> tuple[bool, str]:
    """Look at what is free where the files lie."""
    try:
        free = min(shutil.disk_usage(_there(place)).free for place in (settings.DATA_DIR, settings.MEDIA_ROOT))
    except OSError as error:
        return False, type(error).__name__
    return free >= LEAST_FREE, f"{free // 1024**2} MiB free, {LEAST_FREE // 1024**2} needed"


def _there(place: object) -> Path:
    """Return a folder, or the nearest one above it that exists: media come with the first photo."""
    path = Path(str(place))
    return next(one for one in (path, *path.parents) if one.exists())


CHECKS: dict[str, Callable[[], tuple[bool, str]]] = {
    "database": can_write,
    "migrations": is_migrated,
    "space": has_space,
}


def notes() -> dict[str, object]:
    """Return what somebody should look at, and what keeps nobody from working."""
    engine = sqlite3.sqlite_version if connection.vendor == "sqlite" else connection.vendor
    try:
        head = DailyHead.objects.order_by("day").last()
        counts = {"events": Event.objects.count(), "not_taken_in": Quarantined.objects.count()}
    except DatabaseError as error:
        return {"engine": engine, "record": type(error).__name__}
    return {"engine": engine, "last_daily_head": str(head.day) if head else None, "backup": backup_age(), **counts}


def backup_age() -> str:
    """Return how old the newest backup in the usual folder is; one kept elsewhere is not seen here."""
    made = [one.stat().st_mtime for one in (settings.DATA_DIR / "backups").glob("*.backup.json")]
    return f"{(time.time() - max(made)) / A_DAY:.1f} days" if made else "none in the usual folder"
