"""Reading JSON that a phone sent, strictly: what has two meanings, or none, has a place and a reason instead.

`json.loads` alone takes the last of two equal keys, reads 1e309 as infinity, takes NaN, and lets half a surrogate
pair through, which fails only when it is written. What can be laid to one place is found by `faults_in`, so that one
bad item does not spoil the others; only what is no JSON at all spoils the whole.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, cast

DEEPEST = 12
LONGEST_WHOLE = 17  # digits with the sign: beyond that a browser's numbers are not exact
MOST_FAULTS = 20
Faults = dict[str, str]


class UnreadableError(ValueError):
    """These bytes are no JSON, or the whole is not what it should be. `code` says in a word why."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(reason)
        self.code = code


@dataclass(frozen=True)
class Unfit:
    """Stands where a value stood that has no one meaning."""

    reason: str


def read_json(data: bytes) -> Any:
    """Return the content of JSON bytes, with `Unfit` in the place of what cannot be taken."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise UnreadableError("encoding", "is not UTF-8") from error
    try:
        return json.loads(
            text, object_pairs_hook=_once_each, parse_float=_not_whole, parse_constant=_not_whole, parse_int=_whole
        )
    except RecursionError as error:
        raise UnreadableError("depth", "is nested too deep") from error
    except ValueError as error:
        raise UnreadableError("json", "is not JSON") from error


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        found[name] = Unfit("this key stands twice") if name in found else value
    return found


def _not_whole(text: str) -> Unfit:
    return Unfit("numbers are whole here: a value that was read travels as a text")


def _whole(text: str) -> int | Unfit:
    return int(text) if len(text) <= LONGEST_WHOLE else Unfit("this number is too long")


def faults_in(content: Any) -> Faults:
    """Return place → reason for all in a content that has no one meaning, or that a database cannot hold."""
    found: Faults = {}
    for place, reason in _faults(content, "$", 1):
        found[place] = reason
        if len(found) == MOST_FAULTS:
            break
    return found


def _faults(content: Any, place: str, depth: int) -> Iterator[tuple[str, str]]:
    if isinstance(content, Unfit):
        yield place, content.reason
    elif isinstance(content, str):
        yield from ((place, reason) for reason in _faults_of_text(content))
    elif isinstance(content, dict | list) and depth > DEEPEST:
        yield place, "is nested too deep"
    elif isinstance(content, dict):
        for name, value in content.items():
            yield from ((place, f"a key {reason}") for reason in _faults_of_text(name))
            yield from _faults(value, f"{place}.{printable(name)}", depth + 1)
    elif isinstance(content, list):
        for number, value in enumerate(content):
            yield from _faults(value, f"{place}[{number}]", depth + 1)


def _faults_of_text(text: str) -> Iterator[str]:
    if "\0" in text:
        yield "holds a zero character"
    if any("\ud800" <= character <= "\udfff" for character in text):
        yield "holds half a character"


def printable(text: Any, longest: int = 60) -> str:
    """Return what somebody sent so that it can stand in an answer, whatever it was."""
    return str(text)[:longest].encode("utf-8", "replace").decode()


def object_of(content: Any) -> dict[str, Any]:
    """Return a content that must be an object."""
    if not isinstance(content, dict):
        raise UnreadableError("form", "must be an object")
    return cast(dict[str, Any], content)
