"""The real server on loopback, with a database of its own, and a phone that talks to it byte by byte."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

from commissioning.items import Item, digest_of_item

ROOT = Path(__file__).resolve().parents[3]
PATIENCE = 120  # s; the machine may be busy


@dataclass
class Server:
    """gunicorn in a process group of its own, so that all of it can be killed at once."""

    folder: Path
    database: str = ""
    workers: int = 2
    port: int = 0
    world: dict[str, str] = field(default_factory=dict)
    process: Any = None

    def __post_init__(self) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        self.port = _free_port()

    @property
    def environment(self) -> dict[str, str]:
        kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG", "PYTHONPATH") if name in os.environ}
        path = os.pathsep.join(part for part in (str(ROOT), kept.get("PYTHONPATH", "")) if part)
        own = {"DATA_DIR": str(self.folder), "DEMO": "1", "PYTHONPATH": path}
        return {**kept, **own, **({"DATABASE_URL": self.database} if self.database else {})}

    def prepare(self) -> "Server":
        """Make database and visit."""
        script = Path(__file__).with_name("prepare_world.py")
        made = self._python(str(script))
        self.world = json.loads(made.stdout.strip().splitlines()[-1])
        return self

    def _python(self, *arguments: str, check: bool = True) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, *arguments], env=self.environment, cwd=ROOT, check=check, capture_output=True, text=True
        )

    def start(self) -> "Server":
        (self.folder / "static").mkdir(exist_ok=True)
        log = (self.folder / "server.log").open("ab")
        options = ["-b", f"127.0.0.1:{self.port}", "-w", str(self.workers), "-k", "gthread", "--threads", "4"]
        command = [sys.executable, "-m", "gunicorn", "commissioning.wsgi", *options, "--preload", "--timeout", "120"]
        self.process = subprocess.Popen(
            command, env=self.environment, cwd=ROOT, stdout=log, stderr=log, start_new_session=True
        )
        self.wait()
        return self

    def wait(self) -> None:
        """Wait until it answers."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            with suppress(OSError, ValueError):
                if self.exchange(self.request("GET", "/phone/hello/"))[0] == 200:
                    return
            time.sleep(0.02)
        raise TimeoutError(f"the server does not answer: {(self.folder / 'server.log').read_text()[-2000:]}")

    def kill(self) -> None:
        """Kill the whole of it at once, as a power cut would."""
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def workers_now(self) -> list[int]:
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text()
        return [int(pid) for pid in children.split()]

    def kill_workers(self) -> None:
        """Kill every process that could be within a transaction; the one that made them starts new ones."""
        for pid in self.workers_now():
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)

    def verify(self) -> str:
        """Return what `manage.py verify` says."""
        made = self._python("-m", "django", "verify", "--settings=commissioning.settings", check=False)
        return made.stdout + made.stderr

    def stored(self, device: str) -> list[str]:
        """Return the ids of the events of a device as they stand in the database, in its own count."""
        code = (
            "import django, json; django.setup(); from commissioning.models import Event; "
            f"rows = Event.objects.filter(device='{device}').order_by('device_sequence').values_list('pk', flat=True); "
            "print(json.dumps([str(pk) for pk in rows]))"
        )
        environment = {**self.environment, "DJANGO_SETTINGS_MODULE": "commissioning.settings"}
        made = subprocess.run(
            [sys.executable, "-c", code], env=environment, cwd=ROOT, check=True, capture_output=True, text=True
        )
        found: list[str] = json.loads(made.stdout.strip().splitlines()[-1])
        return found

    # talking

    def request(self, method: str, path: str, body: bytes = b"", token: str = "") -> bytes:
        """Return a whole request as it goes over the wire."""
        cookie = f"session={self.world['session']}" + (f"; csrf={token}" if token else "")
        head = [f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{self.port}", f"Cookie: {cookie}", "Connection: close"]
        if method != "GET":
            head += ["Content-Type: application/json", f"Content-Length: {len(body)}", f"X-CSRFToken: {token}"]
        return "\r\n".join([*head, "", ""]).encode() + body

    def connect(self) -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE)

    def exchange(self, request: bytes) -> tuple[int, Any]:
        """Send a whole request, read the whole answer: status, and JSON or None."""
        with self.connect() as link:
            link.sendall(request)
            answer = b""
            while piece := link.recv(65536):
                answer += piece
        head, _, body = answer.partition(b"\r\n\r\n")
        status = int(head.split(b" ", 2)[1])
        try:
            return status, json.loads(body)
        except ValueError:
            return status, None

    def token(self) -> str:
        """Return a CSRF token: the cookie's secret, which is a token too."""
        with self.connect() as link:
            link.sendall(self.request("GET", "/phone/hello/"))
            answer = b""
            while piece := link.recv(65536):
                answer += piece
        return answer.split(b"csrf=", 1)[1].split(b";", 1)[0].decode()


def _free_port() -> int:
    with socket.socket() as link:
        link.bind(("127.0.0.1", 0))
        return int(link.getsockname()[1])


@dataclass
class WirePhone:
    """A phone that keeps small items and sends them over the wire."""

    server: Server
    device: str = field(default_factory=lambda: str(uuid4()))
    n: int = 0
    token: str = ""

    def keep(self) -> Item:
        self.n += 1
        world = self.server.world
        body = {
            "id": str(uuid4()), "visit": world["visit"], "check": "static_level", "subject": "W1", "how": "parked",
            "reason": f"number {self.n}",
        }  # fmt: skip
        wall = datetime.now(UTC).isoformat(timespec="milliseconds")
        item: Item = {
            "v": 1, "id": str(uuid4()), "device": self.device, "n": self.n, "user": world["user"],
            "site": world["site"], "kind": "check.set_aside", "body": body,
            "clock": {"wall": wall, "zone": "UTC", "ahead_ms": None, "bound_ms": None},
        }  # fmt: skip
        return {**item, "digest": digest_of_item(item)}

    def delivery(self, *items: Item) -> bytes:
        """Return the request that delivers items."""
        self.token = self.token or self.server.token()
        sent = {"device": self.device, "user": self.server.world["user"], "epoch": "", "items": items}
        return self.server.request("POST", "/phone/items/", json.dumps(sent).encode(), self.token)

    def send(self, *items: Item) -> list[str]:
        """Deliver items whole and return their states."""
        status, answer = self.server.exchange(self.delivery(*items))
        assert status == 200, (status, answer)
        return [one["state"] for one in answer["results"]]
