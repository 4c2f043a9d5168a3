"""What comes over a thin signal: the first page that a browser ever opens, a later page, and a visit taken along.

Sizes are of what the server sends, pressed; pages and pack are those of the demo's school before its start-up. What a
browser has once it does not fetch again: scripts and styles carry their content in their names.
"""

import gzip
import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from tests.bench.sending import database

ROOT = Path(__file__).resolve().parents[2]
PRESSED = {"Accept-Encoding": "gzip"}
ASKED = re.compile(r'(?:src|href)="/static/([^"]+\.(?:js|css|svg))"')


@contextmanager
def visit_to_come() -> Iterator[tuple[Any, Any]]:
    """A client signed in as a technician, and the start-up visit of the demo's school before anything is taken."""
    with database() as technician:
        from datetime import date

        from django.test import Client

        from commissioning.demo import larkmoor
        from tests.commissioning.worlds import visit_on

        client = Client(headers=PRESSED)
        client.force_login(technician, backend="django.contrib.auth.backends.ModelBackend")
        yield client, visit_on(larkmoor.build(technician, date(2027, 4, 12)), technician)


def pressed(name: str) -> int:
    """Return what a static file weighs pressed, as it is served in production [bytes]."""
    from django.contrib.staticfiles import finders

    return len(gzip.compress(Path(str(finders.find(name))).read_bytes(), 9, mtime=0))


@cache
def weights() -> dict[str, tuple[float, str]]:
    """Return the figures by name: value [kB] and a note."""
    with visit_to_come() as (client, visit):
        order = client.get(f"/visit/{visit.pk}/").content
        files = ASKED.findall(gzip.decompress(order).decode())
        check = client.get(f"/visit/{visit.pk}/static_level:W1/").content
        pack = client.get(f"/phone/pack/{visit.pk}/").content
        from commissioning.sync.worker import asset_names

        assets = sum(map(pressed, asset_names()))
    first = len(order) + sum(map(pressed, files))
    return {
        "weight": (first / 1000, f"the order of checks {len(order) / 1000:.1f}, {len(files)} files with it"),
        "later": (len(check) / 1000, "a check's page; scripts and styles are there"),
        "pack": (
            len(pack) / 1000,
            f"once per visit, without photos; its scripts, once per release: {assets / 1000:.0f} kB",
        ),
    }
