"""A line that fails: a proxy on loopback that cuts, stalls, doubles, delays and answers in the server's place.

Which fault comes next is drawn from a seed, so that a failing schedule comes again. Only what goes to the phone's
entrance is touched; pages and scripts pass.
"""

import random
import socket
import threading
import time
from dataclasses import dataclass, field

SPOILT = b"HTTP/1.1 %s\r\nContent-Type: %s\r\nContent-Length: %d\r\nConnection: close\r\n%s\r\n%s"
WELCOME = b"<!doctype html><title>Sign in to the network</title>"
FAULTS = ("none", "cut request", "cut reply", "no reply", "stall", "twice", "later", "502", "welcome", "redirect")
TOUCHED = (b" /phone/hello", b" /phone/items", b" /phone/photo/")


@dataclass
class Line:
    """One line to one server; `is_bad` switches the faults on."""

    host: str
    port: int
    seed: int = 0
    is_bad: bool = False
    met: dict[str, int] = field(default_factory=dict)
    held: list[bytes] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)  # noqa: S311  # a seed, so that a schedule comes again
        self.lock = threading.Lock()
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self.listener.getsockname()[1]}"
        threading.Thread(target=self.accept, daemon=True).start()

    def renew(self, seed: int) -> None:
        self.chance, self.seed, self.held = random.Random(seed), seed, []  # noqa: S311

    def accept(self) -> None:
        while True:
            try:
                client, _ = self.listener.accept()
            except OSError:
                return
            threading.Thread(target=self.serve, args=(client,), daemon=True).start()

    def serve(self, client: socket.socket) -> None:
        with client:
            try:
                request = read_request(client)
                if request:
                    self.answer(client, request)
            except OSError:
                pass

    def draw(self, request: bytes) -> tuple[str, float]:
        with self.lock:
            if not self.is_bad or not any(path in request.split(b"\r\n", 1)[0] for path in TOUCHED):
                return "none", 0.0
            fault = self.chance.choice(FAULTS)
            self.met[fault] = self.met.get(fault, 0) + 1
            return fault, self.chance.random()

    def answer(self, client: socket.socket, request: bytes) -> None:
        fault, share = self.draw(request)
        if fault == "cut request":
            self.exchange(request[: int(len(request) * share)])
        elif fault == "later":
            self.held.append(request)
            client.sendall(spoilt(b"502 Bad Gateway", WELCOME))
        elif fault in SAID:
            client.sendall(SAID[fault])
        else:
            self.pass_on(client, request, fault, share)

    def pass_on(self, client: socket.socket, request: bytes, fault: str, share: float) -> None:
        reply = self.exchange(request)
        if fault == "twice":
            reply = self.exchange(request)
        while fault != "none" and self.held:
            self.exchange(self.held.pop())  # what was held arrives now, behind what was sent after it
        if fault == "stall":
            time.sleep(0.2 * share)
        if fault != "no reply":
            client.sendall(reply[: int(len(reply) * share)] if fault == "cut reply" else reply)

    def exchange(self, request: bytes) -> bytes:
        """Return what the server answers to a request, or to the beginning of one."""
        with socket.create_connection((self.host, self.port), timeout=30) as server:
            server.sendall(request)
            server.shutdown(socket.SHUT_WR)
            return read_all(server)

    def close(self) -> None:
        self.listener.close()


def spoilt(status: bytes, body: bytes, headers: bytes = b"", kind: bytes = b"text/html") -> bytes:
    return SPOILT % (status, kind, len(body), headers, body)


SAID = {
    "502": spoilt(b"502 Bad Gateway", WELCOME),
    "welcome": spoilt(b"200 OK", WELCOME),
    "redirect": spoilt(b"302 Found", b"", b"Location: /account/sign-in?next=/phone/\r\n"),
}


def read_request(client: socket.socket) -> bytes:
    """Return one request, and ask for the connection to end with it."""
    client.settimeout(30)
    data = b""
    while b"\r\n\r\n" not in data:
        more = client.recv(65536)
        if not more:
            return b""
        data += more
    head, body = data.split(b"\r\n\r\n", 1)
    lines = [line for line in head.split(b"\r\n") if not line.lower().startswith((b"connection:", b"expect:"))]
    length = next((int(line.split(b":")[1]) for line in lines if line.lower().startswith(b"content-length:")), 0)
    while len(body) < length:
        more = client.recv(65536)
        if not more:
            return b""
        body += more
    return b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body


def read_all(server: socket.socket) -> bytes:
    data = b""
    try:
        while more := server.recv(65536):
            data += more
    except OSError:
        pass
    return data
