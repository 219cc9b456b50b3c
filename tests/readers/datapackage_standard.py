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
_BOUND = {"type": "number"}


_LABELS = {
    "type": "array",
    "minItems": 1,
    "uniqueItems": True,
    "items": {
        "type": "object",
        "required": ["value", "label"],
        "properties": {"value": {"type": "string"}, "label": _TEXT},
        "additionalProperties": False,
    },
}
"""Categories with their labels, which fields of type string or integer may have."""


def _field(kind: str, labels: bool = False, **constraints: Any) -> dict[str, Any]:
    """Return a field descriptor of one type; ``unit`` is the study's own property, as the standard lets."""
    return {
        "type": "object",
        "required": ["name", "title", "type", "unit", "description", "constraints"],
        "additionalProperties": False,
        "properties": {
            "name": _TEXT,
            "title": _TEXT,
            "type": {"const": kind},
            **({"categories": _LABELS, "categoriesOrdered": {"type": "boolean"}} if labels else {}),
            "unit": _TEXT,
            "description": _TEXT,
            "constraints": {
                "type": "object",
                "additionalProperties": False,
                "required": ["required"],
                "properties": {"required": {"type": "boolean"}} | constraints,
            },
        },
    }


_ENUM = {"type": "array", "minItems": 1, "uniqueItems": True, "items": {"type": "string"}}
_FIELDS = [
    _field("string", labels=True, enum=_ENUM, pattern=_TEXT),
    _field("integer", minimum=_BOUND, maximum=_BOUND),
    _field("number", minimum=_BOUND, maximum=_BOUND),
    _field("boolean"),
]

_NAMES = {"type": "array", "minItems": 1, "items": _TEXT}
_FOREIGN_KEY = {
    "type": "object",
    "required": ["fields", "reference"],
    "additionalProperties": False,
    "properties": {
        "fields": _NAMES,
        "reference": {
            "type": "object",
            "required": ["resource", "fields"],
            "additionalProperties": False,
            "properties": {"resource": _TEXT, "fields": _NAMES},
        },
    },
}

_RESOURCE = {
    "type": "object",
    "required": ["name", "path", "type", "title", "schema", "bytes", "hash"],
    "additionalProperties": False,
    "properties": {
        "name": {"type": "string", "pattern": "^[-a-z0-9._/]+$"},
        "type": {"const": "table"},
        "title": _TEXT,
        # A path is relative, and leads neither up nor away.
        "path": {"type": "string", "pattern": r"^(?!/)(?!.*\.\.)[^:\\]+$"},
        "format": {"const": "csv"},
        "mediatype": {"const": "text/csv"},
        "encoding": {"const": "utf-8"},
        "bytes": {"type": "integer", "minimum": 1},
        "hash": {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"},
        "schema": {
            "type": "object",
            "required": ["fields", "primaryKey"],
            "additionalProperties": False,
            "properties": {
                "fields": {"type": "array", "minItems": 1, "items": {"oneOf": _FIELDS}},
                "primaryKey": {"type": "array", "minItems": 1, "items": _TEXT},
                "missingValues": {"type": "array", "items": {"type": "string"}},
                "foreignKeys": {"type": "array", "minItems": 1, "items": _FOREIGN_KEY},
            },
        },
    },
}


def _listed(properties: set[str]) -> dict[str, Any]:
    """Contributors or sources: each an object with some of these properties and a title.

    Which properties there are is from memory of the standard's page Data Package; that each asks for
    a title is the study's own rule, the standard asks for one property at least.
    """
    item = {
        "type": "object",
        "required": ["title"],
        "properties": {
            name: {"type": "array", "minItems": 1, "items": _TEXT} if name == "roles" else _TEXT
            for name in properties
        },
        "additionalProperties": False,
    }
    return {"type": "array", "minItems": 1, "items": item}


_PERSON = {"title", "givenName", "familyName", "path", "email", "roles", "organization"}
_LISTED = {"contributors": _PERSON, "sources": {"title", "path", "email", "version"}}

PACKAGE_SCHEMA = {
    "type": "object",
    "required": ["$schema", "name", "title", "description", "version", *_LISTED, "resources"],
    "additionalProperties": False,
    "properties": {
        "$schema": {"const": PROFILE},
        "name": {"type": "string", "pattern": "^[-a-z0-9._/]+$"},
        "title": _TEXT,
        "description": _TEXT,
        "version": _TEXT,
        "created": {"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$"},
        **{name: _listed(properties) for name, properties in _LISTED.items()},
        "resources": {"type": "array", "minItems": 1, "items": _RESOURCE},
    },
}

LEXICAL = {
    "string": re.compile(r".+"),
    "integer": re.compile(r"[+-]?\d+"),
    "number": re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|NaN|-?INF"),
    "boolean": re.compile(r"true|True|TRUE|1|false|False|FALSE|0"),
}
"""How values of a type are written; from the standard's page on field types."""

READ: dict[str, Callable[[str], Any]] = {
    "string": str,
    "integer": int,
    "number": float,
    "boolean": str,
}


def faults(value: str, field: dict[str, Any]) -> list[str]:
    """Return what is wrong with one value of a file, by the descriptor of its field."""
    wanted = field["constraints"]
    if value == "":
        return ["missing"] if wanted["required"] else []
    if not LEXICAL[field["type"]].fullmatch(value):
        return [f"not of type {field['type']}"]
    read = READ[field["type"]](value)
    broken = {
        "enum": "enum" in wanted and read not in wanted["enum"],
        "pattern": "pattern" in wanted and not re.fullmatch(wanted["pattern"], str(read)),
        "minimum": "minimum" in wanted and read < wanted["minimum"],
        "maximum": "maximum" in wanted and read > wanted["maximum"],
    }
    return [name for name, is_broken in broken.items() if is_broken]
