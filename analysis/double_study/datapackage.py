"""The files of a run's tables: CSV, the record of the run, and the data dictionary.

References
----------
.. [1] Frictionless Standards, "Data Package", version 2.0 (2024), https://datapackage.org/
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from double_study.columns import COLUMNS, Column, named
from double_study.counting.run import RunRecord, versions
from double_study.errors import InputError
from double_study.escape import markdown
from double_study.sources import DISTRIBUTION
from double_study.tables import TABLE_FILES, Run

RUN_FILE = "run.json"
TABLES_FOLDER = "tables"
PACKAGE_FILE = "datapackage.json"
NAMES = {column.name for column in COLUMNS.values()}
AUTHOR = "The contributors to the responder's double study"
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"


def resource(
    name: str,
    title: str,
    path: str,
    columns: Iterable[str | Column],
    primary_key: Sequence[str],
    content: bytes,
) -> dict[str, Any]:
    """The descriptor of one table file [1]_.

    Raises :class:`InputError` for a column that the dictionary of columns does not have.
    """
    columns = list(columns)
    unknown = [name for name in columns if isinstance(name, str) and name not in NAMES]
    if unknown:
        raise InputError(f"{path}: no entry in the dictionary of columns: {', '.join(unknown)}")
    return {
        "name": name,
        "type": "table",
        "title": title,
        "path": path,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": len(content),
        "hash": "sha256:" + hashlib.sha256(content).hexdigest(),
        "schema": {
            "fields": [_field(named(one) if isinstance(one, str) else one) for one in columns],
            "primaryKey": list(primary_key),
            "missingValues": [""],
        },
    }


def _field(column: Column) -> dict[str, Any]:
    """A column as a field descriptor of the Table Schema, with its unit."""
    return {
        "name": column.name,
        "type": column.type,
        "unit": column.unit,
        "description": column.description,
        "constraints": {"required": not column.optional} | column.constraints,
    }


def package(record: RunRecord, resources: list[dict[str, Any]]) -> dict[str, Any]:
    """The descriptor of all table files of a run [1]_."""
    return {
        "$schema": PROFILE,
        "name": DISTRIBUTION,
        "title": "The responder's double: counts and frequencies",
        # A description is Markdown, by the standard.
        "description": f"{record.deals} deals, seed {record.seed}, agreement "
        f"{markdown(record.agreement.name)}, commit {record.commit}.",
        "version": versions()["study"],
        "contributors": [{"title": AUTHOR, "roles": ["author"]}],
        "sources": [
            {
                "title": "Deals dealt at random, bid and counted by the study itself; its seed deals "
                "the same ones again",
                "version": record.commit,
            },
            {
                "title": "Exact probabilities, computed by the study from the same rules",
                "version": record.commit,
            },
        ],
        "resources": resources,
    }


def write_tables(folder: Path, run: Run) -> None:
    """Write every table of a run, ``run.json`` and ``datapackage.json`` into ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    resources = []
    for file in TABLE_FILES:
        table = run.table(file.name)
        content = as_csv(table)
        (folder / file.path).write_bytes(content)
        resources.append(
            resource(file.name, file.title, file.path, table.columns, file.primary_key, content)
        )
    write_json(folder / RUN_FILE, run.record.as_dict())
    write_json(folder / PACKAGE_FILE, package(run.record, resources))


def as_csv(table: pd.DataFrame) -> bytes:
    """A table as a CSV file in UTF-8: numbers in full, infinity as the Table Schema writes it."""
    written = table.copy()
    for name in written.select_dtypes("float"):
        values = written[name]
        if np.isinf(values).any():
            written[name] = values.astype(object).mask(values == np.inf, "INF")
            written[name] = written[name].mask(values == -np.inf, "-INF")
    return written.to_csv(index=False, lineterminator="\n").encode()


def write_json(path: Path, document: dict[str, object]) -> None:
    """Write a record or a dictionary as readers are given it."""
    path.write_text(json.dumps(document, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
