"""One text for one content, so that a digest means something.

JSON as RFC 8785 (JSON Canonicalization Scheme) writes it: keys sorted by UTF-16 code units, no spaces, the shortest
escapes. Narrower than that standard in two ways: numbers are whole (a measured value travels as the text that was
typed), and texts are brought to Unicode normal form C first, because two keypads write one letter in two ways.
"""

import hashlib
import json
import re
from json.encoder import encode_basestring  # what json.dumps calls for a text, without making an encoder each time
from typing import Any
from unicodedata import normalize

HALF_A_PAIR = re.compile("[\ud800-\udfff]")
LARGEST_WHOLE = 2**53 - 1  # beyond it a browser's numbers are no longer exact: RFC 7493 (I-JSON) 2.2


class NotCanonicalError(ValueError):
    """The content holds something that has no one text; the message says where."""


def canonical_json(content: Any) -> str:
    """Return the one JSON text of a content made of dict, list, str, int, bool and None."""
    return written(content, "$")


def digest(text: str) -> str:
    """Return the SHA-256 of a text's UTF-8 bytes, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def written(content: Any, where: str) -> str:
    if content is None or isinstance(content, bool):
        return json.dumps(content)
    if isinstance(content, str):
        return written_text(content, where)
    if isinstance(content, int):
        return written_whole(content, where)
    if isinstance(content, list | tuple):
        return "[" + ",".join(written(item, f"{where}[{n}]") for n, item in enumerate(content)) + "]"
    if isinstance(content, dict):
        return written_object(content, where)
    raise NotCanonicalError(f"{where}: {type(content).__name__} has no canonical text; give it as a text")


def written_text(text: str, where: str) -> str:
    if text.isascii():
        return encode_basestring(text)
    if HALF_A_PAIR.search(text):
        raise NotCanonicalError(f"{where}: half a surrogate pair is no character")
    return encode_basestring(normalize("NFC", text))


def written_whole(number: int, where: str) -> str:
    if abs(number) > LARGEST_WHOLE:
        raise NotCanonicalError(f"{where}: whole numbers go to ±{LARGEST_WHOLE}; give a longer one as a text")
    return str(int(number))


def written_object(members: dict[Any, Any], where: str) -> str:
    lines: dict[str, str] = {}
    for key, value in members.items():
        if not isinstance(key, str):
            raise NotCanonicalError(f"{where}: a key must be a text, not {type(key).__name__}")
        name = key if key.isascii() else normalize("NFC", key)
        if name in lines:
            raise NotCanonicalError(f"{where}: two keys are both {name}")
        lines[name] = f"{written_text(name, where)}:{written(value, f'{where}.{name}')}"
    return "{" + ",".join(lines[name] for name in sorted(lines, key=utf_16_units)) + "}"


def utf_16_units(text: str) -> bytes:
    return text.encode("utf-16-be")
