"""A small entrance on loopback, answering as the server's does: for answers that a real one never gives.

It serves the phone's own scripts and one empty page, takes items and photos in, and can be told to be another server,
an older copy of itself, signed out, or deaf. What it holds is compared with what the phone kept.
"""

import hashlib
import json
import threading
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit
from uuid import uuid4

from commissioning.canonical import canonical_json, digest

ROOT = Path(__file__).resolve().parents[3]
TYPES = {".js": "text/javascript", ".css": "text/css", ".png": "image/png", ".svg": "image/svg+xml"}
PAGE = """<!doctype html><html lang="en"><head><title>phone</title>{script}</head>
<body{user}><main><header class="head"><h1>Phone</h1></header><p id="phone-state" hidden></p></main></body></html>"""


class Entrance:
    """What the server holds, and how it is asked to behave."""

    def __init__(self) -> None:
        self.items: dict[str, dict[str, Any]] = {}
        self.photos: dict[str, bytearray] = {}
        self.server, self.epoch = str(uuid4()), str(uuid4())
        self.user: str | None = "marsh"
        self.page_user, self.has_script, self.oldest_version, self.ahead = "marsh", False, 1, 0.0
        self.deliveries: list[list[str]] = []
        self.refuse: dict[str, dict[str, Any]] = {}  # id → result
        self.whole: tuple[int, bytes, dict[str, str]] | None = None  # one answer to everything below /phone/
        self.unreadable: set[str] = set()  # a batch with one of these is not read at all
        self.needs: dict[str, str] = {}  # id → the id that must have arrived before
        self.lock = threading.Lock()

    def copy(self) -> tuple[dict[str, Any], dict[str, bytearray]]:
        return dict(self.items), dict(self.photos)

    def put_back(self, backup: tuple[dict[str, Any], dict[str, bytearray]]) -> None:
        """Be what a backup held: the same server in a new epoch."""
        self.items, self.photos, self.epoch = dict(backup[0]), dict(backup[1]), str(uuid4())

    def hello(self) -> dict[str, Any]:
        following: dict[str, int] = {}
        for item in self.items.values():
            following[item["device"]] = max(following.get(item["device"], 1), item["n"] + 1)
        now = datetime.fromtimestamp(datetime.now(tz=UTC).timestamp() + self.ahead, tz=UTC)
        return {
            "server": self.server, "epoch": self.epoch, "time": now.isoformat(timespec="milliseconds"),
            "csrf": "token", "user": self.user, "name": "T. Marsh", "oldest_version": self.oldest_version,
            "version": 1, "next": following,
        }  # fmt: skip

    def take(self, sent: dict[str, Any]) -> tuple[int, dict[str, Any]]:
        if sent["user"] != self.user:
            return 409, {}
        ids = [item["id"] for item in sent["items"]]
        if self.unreadable & set(ids):
            return 422, {}
        with self.lock:
            self.deliveries.append(ids)
            return 200, {"results": [self.take_one(item) for item in sent["items"]], "heads": {}, "epoch": self.epoch}

    def take_one(self, item: dict[str, Any]) -> dict[str, Any]:
        bare = {key: value for key, value in item.items() if key != "digest"}
        if digest(canonical_json(bare)) != item["digest"]:
            return {"id": item["id"], "state": "refused", "faults": {"digest": "does not fit"}}
        if item["id"] in self.refuse:
            return {"id": item["id"], **self.refuse[item["id"]]}
        if self.needs.get(item["id"], item["id"]) not in {*self.items, item["id"]}:
            return {"id": item["id"], "state": "waits", "faults": {"$.supersedes": "has not arrived"}}
        before = self.items.get(item["id"])
        self.items.setdefault(item["id"], item)
        if before and before["digest"] != item["digest"]:
            return {"id": item["id"], "state": "conflict", "faults": {"id": "other content"}}
        receipt = {"sequence": len(self.items), "hash": "0" * 64}
        return {"id": item["id"], "state": "duplicate" if before else "stored", "receipt": receipt}

    def piece(self, name: str, query: dict[str, list[str]], body: bytes | None) -> tuple[int, dict[str, Any]]:
        held = self.photos.setdefault(name, bytearray())
        if body is not None:
            offset, total = int(query["offset"][0]), int(query["total"][0])
            if offset == len(held):
                held.extend(body)
            if len(held) >= total and hashlib.sha256(held).hexdigest() != name:
                self.photos.pop(name)
                return 422, {}
        done = hashlib.sha256(held).hexdigest() == name
        return 200, {"have": len(held), "done": done}


class Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: "Server"

    def log_message(self, *_: object) -> None:
        """Say nothing."""

    def handle_any(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        entrance, url = self.server.entrance, urlsplit(self.path)
        if url.path.startswith("/static/"):
            file = ROOT / url.path.lstrip("/")
            return self.answer(200, file.read_bytes(), {"Content-Type": TYPES.get(file.suffix, "text/plain")})
        if not url.path.startswith("/phone/"):
            user = f' data-user="{entrance.page_user}"' if entrance.page_user else ""
            script = '<script type="module" src="/static/phone/main.js"></script>' if entrance.has_script else ""
            return self.answer(200, PAGE.format(user=user, script=script).encode(), {"Content-Type": "text/html"})
        if entrance.whole:
            return self.answer(*entrance.whole)
        status, content = self.phone(entrance, url.path, parse_qs(url.query), body)
        text = json.dumps({"logbook": 1, **content}).encode()
        return self.answer(status, text, {"Content-Type": "application/json", "Cache-Control": "no-store"})

    do_GET = do_POST = do_PUT = handle_any  # noqa: N815  # the base class asks for these names

    def phone(self, entrance: Entrance, path: str, query: Any, body: bytes) -> tuple[int, dict[str, Any]]:
        if path == "/phone/hello/":
            return 200, entrance.hello()
        if entrance.user is None:
            return 401, {}
        if path == "/phone/items/":
            return entrance.take(json.loads(body))
        if path.startswith("/phone/photo/"):
            return entrance.piece(path.split("/")[3], query, body if self.command == "PUT" else None)
        return 404, {}

    def answer(self, status: int, body: bytes, headers: dict[str, str]) -> None:
        self.send_response(status)
        for name, value in {**headers, "Content-Length": str(len(body))}.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)


class Server(ThreadingHTTPServer):
    daemon_threads = True

    def __init__(self, entrance: Entrance) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.entrance = entrance
        self.url = f"http://127.0.0.1:{self.server_port}"
        threading.Thread(target=self.serve_forever, args=(0.05,), daemon=True).start()
