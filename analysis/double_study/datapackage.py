"""The files of a run's tables: CSV, the record of the run, and the data dictionary.

References
----------
.. [1] Frictionless Standards, "Data Package", version 2.0 (2024), https://datapackage.org/
"""

import hashlib
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from double_study.columns import COLUMNS, Column, named
from double_study.counting.record import RunRecord, versions
from double_study.errors import InputError
from double_study.escape import markdown
from double_study.sources import DISTRIBUTION
from double_study.tables import TABLE_FILES, Run
from double_study.tabulation import AUCTION, Table

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
    columns: Sequence[Column],
    primary_key: Sequence[str],
    content: bytes,
    foreign_keys: Sequence[dict[str, Any]] = (),
) -> dict[str, Any]:
    """Return the descriptor of one table file [1]_."""
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
            "fields": [_field(column) for column in columns],
            "primaryKey": list(primary_key),
            **({"foreignKeys": list(foreign_keys)} if foreign_keys else {}),
            "missingValues": [""],
        },
    }


def described(file: Table, table: pd.DataFrame) -> tuple[pd.DataFrame, list[Column]]:
    """Return a table in the form of its file, with the columns' descriptions.

    Within a run a share is called ``estimate``; in a file it is named by its whole. Raises
    :class:`InputError` for a column that the dictionary of columns does not have.
    """
    share, new = f"share_of_{file.whole}", dict[str, str]()
    if file.whole:
        new = dict(zip(COLUMNS["estimate"].columns, COLUMNS[share].columns, strict=True))
    if unknown := [str(name) for name in table if name not in NAMES]:
        raise InputError(
            f"{file.path}: columns.toml has no entry for {', '.join(unknown)}; add one"
        )
    columns = []
    for name in table:
        column = named(new.get(str(name), str(name)))
        if column.name in ("of", share):
            column = replace(column, description=f"{column.description}{file.share_of}.")
        columns.append(column)
    return table.rename(columns=new), columns


FOREIGN_KEYS: Mapping[tuple[str, ...], str] = {
    AUCTION: "auctions",
    ("topic",): "topics",
    ("family",): "checks",
    ("agreement",): "agreements",
}
"""Columns of a table's key that refer to a row of another table, and that other table."""


def _foreign_keys(file: Table, there: Sequence[str]) -> list[dict[str, Any]]:
    return [
        {"fields": list(keys), "reference": {"resource": other, "fields": list(keys)}}
        for keys, other in FOREIGN_KEYS.items()
        if other != file.name and other in there and {*keys} <= {*file.primary_key}
    ]


def _field(column: Column) -> dict[str, Any]:
    """Return a column as a field descriptor of the Table Schema, with its unit."""
    labels = [{"value": value, "label": label} for value, label in column.wordings.items()]
    return {
        "name": column.name,
        "title": column.heading,
        "type": column.type,
        "unit": column.unit,
        "description": column.description,
        **({"categories": labels, "categoriesOrdered": True} if labels else {}),
        "constraints": {"required": not column.optional} | column.constraints,
    }


def package(record: RunRecord, resources: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the descriptor of all table files of a run [1]_."""
    return {
        "$schema": PROFILE,
        "name": DISTRIBUTION,
        "title": "The responder's double: counts and frequencies",
        # A description is Markdown, by the standard.
        "description": f"{record.deals} deals, seed {record.seed}, agreement "
        f"{markdown(record.agreement.name)}, commit {record.commit}.",
        "version": versions()["study"],
        **({"created": record.created} if record.created else {}),
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


LEAVE = "DOUBLE_STUDY_LEAVE"
"""The environment variable in which the main command names the folder for the notebooks' tables."""


def leave(tables: Mapping[str, pd.DataFrame]) -> None:
    """Write tables that only a notebook can make into the report; outside a report do nothing."""
    if folder := os.environ.get(LEAVE):
        files = {file.name: file for file in TABLE_FILES}
        for name, table in tables.items():
            _write(Path(folder), files[name], table)


def _write(folder: Path, file: Table, table: pd.DataFrame) -> None:
    (folder / file.path).write_bytes(as_csv(*described(file, table)))


def write_tables(folder: Path, run: Run) -> None:
    """Write every table of a run, ``run.json`` and ``datapackage.json`` into ``folder``.

    Tables that notebooks wrote there are described too.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for file in TABLE_FILES:
        if not file.left:
            _write(folder, file, run.table(file.name))
    resources, files = [], [file for file in TABLE_FILES if (folder / file.path).exists()]
    for file in files:
        content = (folder / file.path).read_bytes()
        _, columns = described(file, pd.read_csv(folder / file.path, nrows=0))
        keys = _foreign_keys(file, [each.name for each in files])
        resources.append(
            resource(file.name, file.title, file.path, columns, file.primary_key, content, keys)
        )
    write_json(folder / RUN_FILE, run.record.as_dict())
    write_json(folder / PACKAGE_FILE, package(run.record, resources))


def as_csv(table: pd.DataFrame, columns: Iterable[Column] = ()) -> bytes:
    """Return a table as CSV in UTF-8, with all digits and infinity as the Table Schema writes it.

    An integer column has no infinity there, so such a cell is empty.
    """
    written = table.copy()
    for column in columns:
        if column.type == "integer" and pd.api.types.is_float_dtype(written[column.name]):
            finite = written[column.name].replace(np.inf, np.nan)
            written[column.name] = finite.astype("Int64")
    for name in written.select_dtypes("float"):
        values = written[name]
        if np.isinf(values).any():
            written[name] = values.astype(object).mask(values == np.inf, "INF")
            written[name] = written[name].mask(values == -np.inf, "-INF")
    return written.to_csv(index=False, lineterminator="\n").encode()


def write_json(path: Path, document: dict[str, object]) -> None:
    path.write_text(json.dumps(document, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
