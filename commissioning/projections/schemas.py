"""Pieces of JSON Schema that several kinds of evidence share."""

from typing import Any

UUID: dict[str, Any] = {"type": "string", "format": "uuid", "minLength": 36, "maxLength": 36}
KEY: dict[str, Any] = {"type": "string", "pattern": "^[a-z0-9_]{1,64}$"}
TAG: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 40}
LINE: dict[str, Any] = {"type": "string", "maxLength": 200}
WORDS: dict[str, Any] = {"type": "string", "maxLength": 4000}
REASON: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 4000}
MOMENT: dict[str, Any] = {"type": "string", "format": "date-time", "minLength": 20, "maxLength": 40}
DAY: dict[str, Any] = {"type": "string", "format": "date"}
PLATE: dict[str, Any] = {"type": "object"}


def body(required: dict[str, Any], optional: dict[str, Any] | None = None) -> dict[str, Any]:
    """Return the schema of a closed object with these fields."""
    return {
        "type": "object",
        "properties": {**required, **(optional or {})},
        "required": sorted(required),
        "additionalProperties": False,
    }


def maybe(schema: dict[str, Any]) -> dict[str, Any]:
    """Return a schema that also takes null."""
    return {"anyOf": [schema, {"type": "null"}]}
