"""Reading settings from the environment: a value that cannot be right stops the start, by name."""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

SHORTEST_SECRET = 50


def text(name: str, default: str = "") -> str:
    return os.environ.get(name, default).strip()


def flag(name: str, default: bool) -> bool:
    value = text(name, "1" if default else "0")
    if value not in {"0", "1"}:
        raise ImproperlyConfigured(f"{name} must be 0 or 1, not {value!r}")
    return value == "1"


def whole_number(name: str, default: int, lowest: int, highest: int) -> int:
    value = text(name, str(default))
    if not (value.isascii() and value.isdigit() and lowest <= int(value) <= highest):
        raise ImproperlyConfigured(f"{name} must be a whole number from {lowest} to {highest}, not {value!r}")
    return int(value)


def names(name: str) -> list[str]:
    """Return a comma-separated list, without its empty places."""
    return [part.strip() for part in text(name).split(",") if part.strip()]


def origins(name: str) -> list[str]:
    listed = names(name)
    for origin in listed:
        if not origin.startswith(("https://", "http://")):
            raise ImproperlyConfigured(f"{name} must list origins such as https://logbook.example, not {origin!r}")
    return listed


def folder(name: str, default: Path) -> Path:
    """Return a folder for state, made on first use and closed to other accounts of the machine."""
    path = Path(text(name) or default).resolve()
    try:
        path.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise ImproperlyConfigured(f"{name}: {path} cannot be used as a folder: {error.strerror}") from error
    return path


def secret_key(name: str, file: Path) -> str:
    """Return the key from the environment or from a file that is made, readable by its owner only."""
    given = text(name)
    if given and len(given) < SHORTEST_SECRET:
        raise ImproperlyConfigured(f"{name} must have at least {SHORTEST_SECRET} characters")
    return given or kept_secret(file)


def kept_secret(file: Path) -> str:
    """Return the file's secret; of two first starts at once, both get the one that was linked first."""
    if not file.exists():
        draft = file.with_name(f"{file.name}.{os.getpid()}")
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as stream:
            stream.write(secrets.token_urlsafe(64))
        with suppress(FileExistsError):
            os.link(draft, file)
        draft.unlink()
    return file.read_text()
