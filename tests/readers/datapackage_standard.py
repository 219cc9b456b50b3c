"""The part of the Data Package standard that the study's tables use.

Source: Frictionless Standards, "Data Package" version 2.0, June 2024, datapackage.org/standard/:
the pages Data Package, Data Resource, Table Schema and Field Types, written down here as a JSON
Schema, with what the study never uses left out, so that using it is a fault too. A package of the
study was also held once against the standard's reference implementation, frictionless 5.21, which
found it valid.
"""

import re
from collections.abc import Callable
from typing import Any

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"

_TEXT = {"type": "string", "minLength": 1}
_NAME = {"type": "string", "pattern": "^[-a-z0-9._/]+$"}
_BOUND = {"type": "number"}
Schema = dict[str, Any]


def _object(required: Schema, optional: Schema | None = None) -> Schema:
    return {
        "type": "object",
        "required": [*required],
        "additionalProperties": False,
        "properties": required | (optional or {}),
    }


def _list(items: Schema, **more: Any) -> Schema:
    return {"type": "array", "minItems": 1, "items": items, **more}


def _field(kind: str, optional: Schema | None = None, **constraints: Any) -> Schema:
    """Return a field descriptor of one type; ``unit`` is the study's own property, as the standard lets."""
    required = {"required": {"type": "boolean"}}
    return _object(
        {
            **{"name": _TEXT, "title": _TEXT, "type": {"const": kind}, "unit": _TEXT},
            **{"description": _TEXT, "constraints": _object(required, constraints)},
        },
        optional,
    )


_LABELS = {
    "categories": _list(_object({"value": {"type": "string"}, "label": _TEXT}), uniqueItems=True),
    "categoriesOrdered": {"type": "boolean"},
}
"""Categories with their labels, which fields of type string or integer may have."""

_ENUM = _list({"type": "string"}, uniqueItems=True)
_FIELDS = [
    _field("string", _LABELS, enum=_ENUM, pattern=_TEXT),
    _field("integer", minimum=_BOUND, maximum=_BOUND),
    _field("number", minimum=_BOUND, maximum=_BOUND),
    _field("boolean"),
]

_REFERENCE = _object({"resource": _TEXT, "fields": _list(_TEXT)})
_TABLE = _object(
    {"fields": _list({"oneOf": _FIELDS}), "primaryKey": _list(_TEXT)},
    {
        "missingValues": {"type": "array", "items": {"type": "string"}},
        "foreignKeys": _list(_object({"fields": _list(_TEXT), "reference": _REFERENCE})),
    },
)
_RESOURCE = _object(
    {
        "name": _NAME,
        # A path is relative, and leads neither up nor away.
        "path": {"type": "string", "pattern": r"^(?!/)(?!.*\.\.)[^:\\]+$"},
        **{"type": {"const": "table"}, "title": _TEXT, "schema": _TABLE},
        "bytes": {"type": "integer", "minimum": 1},
        "hash": {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"},
    },
    {
        **{"format": {"const": "csv"}, "mediatype": {"const": "text/csv"}},
        "encoding": {"const": "utf-8"},
    },
)


def _listed(properties: str) -> Schema:
    """Contributors or sources: each an object with some of these properties and a title.

    Which properties there are is from memory of the standard's page Data Package; that each asks for
    a title is the study's own rule, the standard asks for one property at least.
    """
    optional = {name: _list(_TEXT) if name == "roles" else _TEXT for name in properties.split()}
    return _list(_object({"title": _TEXT}, optional))


PACKAGE_SCHEMA = _object(
    {
        **{"$schema": {"const": PROFILE}, "name": _NAME, "title": _TEXT},
        **{"description": _TEXT, "version": _TEXT, "resources": _list(_RESOURCE)},
        "contributors": _listed("givenName familyName path email roles organization"),
        "sources": _listed("path email version"),
    },
    {"created": {"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$"}},
)

LEXICAL = {
    "string": re.compile(r".+"),
    "integer": re.compile(r"[+-]?\d+"),
    "number": re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|NaN|-?INF"),
    "boolean": re.compile(r"true|True|TRUE|1|false|False|FALSE|0"),
}
"""How values of a type are written; from the standard's page on field types."""

READ: dict[str, Callable[[str], Any]] = {"integer": int, "number": float}


def faults(value: str, field: dict[str, Any]) -> list[str]:
    """Return what is wrong with one value of a file, by the descriptor of its field."""
    wanted = field["constraints"]
    if value == "":
        return ["missing"] if wanted["required"] else []
    if not LEXICAL[field["type"]].fullmatch(value):
        return [f"not of type {field['type']}"]
    read = READ.get(field["type"], str)(value)
    broken = {
        "enum": "enum" in wanted and read not in wanted["enum"],
        "pattern": "pattern" in wanted and not re.fullmatch(wanted["pattern"], str(read)),
        "minimum": "minimum" in wanted and read < wanted["minimum"],
        "maximum": "maximum" in wanted and read > wanted["maximum"],
    }
    return [name for name, is_broken in broken.items() if is_broken]
