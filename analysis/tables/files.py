"""The table files: which tables a run leaves on disk, and how they are written.

To add a table, add a :class:`TableFile` to :data:`TABLE_FILES`, and to
:data:`analysis.tables.columns.COLUMNS` any column that is new.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from analysis.counts import ANSWER_COLUMN, CALL, REASON_COLUMN, REST_COLUMN, SEAT, pairs
from analysis.run import Run
from analysis.tables.columns import MESSAGE
from analysis.tables.counted import calls, doubles
from analysis.tables.datapackage import PACKAGE_FILE, package, resource

RUN_FILE = "run.json"
TABLES_FOLDER = "tables"


@dataclass(frozen=True)
class TableFile:
    """A table that every run leaves as ``name.csv``.

    ``table`` makes it from the run, a row a cell; ``primary_key`` names the columns that tell one
    row from every other.
    """

    name: str
    title: str
    table: Callable[[Run], pd.DataFrame]
    primary_key: tuple[str, ...]

    @property
    def path(self) -> str:
        """The file's name in the folder of tables."""
        return f"{self.name}.csv"


TABLE_FILES: tuple[TableFile, ...] = (
    TableFile(
        "calls",
        "The responder's calls by seat of the opener, opening and overcall",
        calls,
        (SEAT, *pairs.columns, CALL),
    ),
    TableFile(
        "doubles",
        "The doubles by seat, auction, message, reason, opener's answer and resting place",
        doubles,
        (SEAT, *pairs.columns, MESSAGE, REASON_COLUMN, ANSWER_COLUMN, REST_COLUMN),
    ),
)
"""Every table file, in the order in which the data package lists them."""


def write_tables(folder: Path, run: Run) -> None:
    """Write every table of a run, ``run.json`` and ``datapackage.json`` into ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    resources = []
    for file in TABLE_FILES:
        table = file.table(run)
        content = as_csv(table)
        (folder / file.path).write_bytes(content)
        resources.append(
            resource(file.name, file.title, file.path, table.columns, file.primary_key, content)
        )
    _write_json(folder / RUN_FILE, run.record.as_dict())
    _write_json(folder / PACKAGE_FILE, package(run.record, resources))


def as_csv(table: pd.DataFrame) -> bytes:
    """A table as a CSV file in UTF-8: numbers in full, infinity as the Table Schema writes it."""
    written = table.copy()
    for name in written.select_dtypes("float"):
        values = written[name]
        if np.isinf(values).any():
            written[name] = values.astype(object).mask(values == np.inf, "INF")
            written[name] = written[name].mask(values == -np.inf, "-INF")
    return written.to_csv(index=False, lineterminator="\n").encode()


def _write_json(path: Path, document: dict[str, object]) -> None:
    path.write_text(json.dumps(document, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
