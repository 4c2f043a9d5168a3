"""JSON Schemas (draft 2020-12) of the as-built file and of the site record, made from the declarations."""

from collections.abc import Callable
from typing import Any

from commissioning import units
from commissioning.nameplates import SCHEMA
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, Field, FieldKind, Part, SiteData
from sizing.quantities import Quantity

DRAFT = "https://json-schema.org/draft/2020-12/schema"
TYPED = {"type": "string", "maxLength": 40}


def unit_codes(quantity: Quantity) -> list[str]:
    """Return every unit code on offer for a quantity, in either unit system."""
    both = (*units.offered(quantity, "metric"), *units.offered(quantity, "us"))
    return list(dict.fromkeys(u.code for u in both))


def field_schema(field: Field) -> dict[str, Any]:
    """Return the schema of one nameplate field as stored."""
    made = _FIELD_SCHEMAS[field.kind](field)
    return {"title": field.label, **({"description": field.help} if field.help else {}), **made}


def _measure(field: Field) -> dict[str, Any]:
    assert field.quantity is not None
    return _closed({"typed": TYPED, "unit": {"enum": unit_codes(field.quantity)}})


def _table(field: Field) -> dict[str, Any]:
    columns = {c.name: {"enum": unit_codes(c.quantity)} for c in field.columns}
    width = len(field.columns)
    row = {"type": "array", "items": TYPED, "minItems": width, "maxItems": width}
    return _closed({"units": _closed(columns), "rows": {"type": "array", "items": row, "maxItems": 200}})


_FIELD_SCHEMAS: dict[FieldKind, Callable[[Field], dict[str, Any]]] = {
    FieldKind.MEASURE: _measure,
    FieldKind.NUMBER: lambda field: _closed({"typed": TYPED}),
    FieldKind.TEXT: lambda field: {"type": "string", "maxLength": 200},
    FieldKind.DAY: lambda field: {"type": "string", "pattern": r"^(\d{4}-\d{2}-\d{2})?$"},
    FieldKind.CHOICE: lambda field: {"enum": ["", *(c.value for c in field.choices)]},
    FieldKind.TABLE: _table,
    FieldKind.COUNTS: lambda field: {
        "type": "object",
        "properties": {c.value: TYPED for c in field.choices},
        "additionalProperties": False,
    },
}


def _closed(properties: dict[str, Any], optional: tuple[str, ...] = ()) -> dict[str, Any]:
    required = [name for name in properties if name not in optional]
    return {"type": "object", "properties": properties, "required": required, "additionalProperties": False}


def plate_schema(part: type[Part]) -> dict[str, Any]:
    """Return the schema of a kind's nameplate: every field may be left out."""
    fields = {name: field_schema(field) for name, field in part.declarations().items()}
    return {"type": "object", "properties": fields, "additionalProperties": False}


def _item(kinds: dict[str, type[Part]], common: dict[str, Any], optional: tuple[str, ...]) -> dict[str, Any]:
    return {
        "oneOf": [
            {
                "title": part.title,
                **_closed(
                    {"kind": {"const": kind}, **common, "nameplate": plate_schema(part)}, (*optional, "nameplate")
                ),
            }
            for kind, part in kinds.items()
        ]
    }


TAG = {"type": "string", "minLength": 1, "maxLength": 16}
LINE = {"type": "string", "maxLength": 120}
ID = {"type": "string", "format": "uuid"}
COMPONENT = {
    "id": ID,
    "tag": TAG,
    "name": LINE,
    "host": {"type": "string", "maxLength": 16},
    "maker": LINE,
    "model": LINE,
    "serial": LINE,
}
RUN = {"id": ID, "tag": TAG, "name": LINE, "start": TAG, "start_port": LINE, "end": TAG, "end_port": LINE}
SITE = _closed(
    {"name": LINE, "unit_system": {"enum": ["metric", "us"]}, "plate": plate_schema(SiteData)},
    ("name", "unit_system", "plate"),
)

AS_BUILT_SCHEMA: dict[str, Any] = {
    "$schema": DRAFT,
    "title": "As-built record of a water system",
    **_closed(
        {
            "format": {"const": "as-built"},
            "schema": {"const": SCHEMA},
            "site": SITE,
            "components": {
                "type": "array",
                "items": _item(dict(COMPONENT_KINDS), COMPONENT, ("id", "name", "host", "maker", "model", "serial")),
                "maxItems": 2000,
            },
            "runs": {
                "type": "array",
                "items": _item(dict(RUN_KINDS), RUN, ("id", "name", "start_port", "end_port")),
                "maxItems": 2000,
            },
        }
    ),
}
"""Schema of an as-built file: what `manage.py expected` reads."""

SHA256 = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
TEXT = {"type": "string"}
WHOLE = {"type": "integer", "minimum": 1}
EVENT = _closed(
    {
        "id": ID,
        "sequence": WHOLE,
        "device": TEXT,
        "device_sequence": {"anyOf": [WHOLE, {"type": "null"}]},
        "kind": TEXT,
        "actor": ID,
        "origin": TEXT,
        "recorded_at": TEXT,
        "received_at": TEXT,
        "body": TEXT,
        "previous_hash": SHA256,
        "hash": SHA256,
        "clock": TEXT,
        "shown": TEXT,
        "digest": SHA256,
    },
    ("clock", "shown", "digest"),
)
INSTRUMENT = {
    "type": "object",
    "properties": {"id": ID, "tag": TAG, "name": LINE},
    "required": ["id", "tag", "name"],
    "additionalProperties": {"anyOf": [TEXT, {"type": "null"}]},
}

SITE_RECORD_SCHEMA: dict[str, Any] = {
    "$schema": DRAFT,
    "title": "Record of a site: every piece of evidence, in order",
    **_closed(
        {
            "format": {"const": "site-record"},
            "schema": {"const": 1},
            "site": ID,
            "contact": _closed({"owner": LINE, "telephone": LINE, "address": {"type": "string", "maxLength": 1000}}),
            "people": {"type": "array", "items": _closed({"handle": ID, "name": LINE, "role": TEXT})},
            "instruments": {"type": "array", "items": INSTRUMENT},
            "snapshots": {"type": "array", "items": _closed({"hash": SHA256, "body": TEXT})},
            "events": {"type": "array", "items": EVENT, "minItems": 1},
            "as_built": AS_BUILT_SCHEMA,
            "files": {
                "type": "array",
                "items": _closed({"sha256": SHA256, "bytes": {"type": "integer", "minimum": 0}}),
            },
        }
    ),
}
"""Schema of `record.json` in an exported site."""
