"""What a backup says of itself: one JSON file beside the copy of the database."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path

FORMAT = "logbook-backup"
SUFFIX = ".backup.json"


class BackupError(RuntimeError):
    """A backup could not be made, or is not what it says; the message says what to do."""


@dataclass(frozen=True)
class Manifest:
    """One backup. `heads` are the last sequence and hash of every chain; `files` the SHA-256 of every stored file."""

    made_at: str
    database: str
    database_hash: str
    events: int
    heads: dict[str, list[object]]
    epoch: str
    files: list[str]
    format: str = FORMAT
    schema: int = 1

    def write(self, path: Path) -> None:
        path.write_text(json.dumps(asdict(self), indent=1, sort_keys=True), "utf-8")


def read_manifest(path: Path) -> Manifest:
    """Return what a backup says of itself; raises BackupError for any other file."""
    try:
        said = json.loads(path.read_text("utf-8"))
        found = Manifest(**said)
    except OSError as problem:
        raise BackupError(f"{path.name} cannot be read: {problem.strerror}") from problem
    except (ValueError, TypeError) as problem:
        raise BackupError(f"{path.name} does not describe a backup.") from problem
    if found.format != FORMAT or found.schema != 1:
        raise BackupError(f"{path.name} does not describe a backup that this version reads.")
    return found
