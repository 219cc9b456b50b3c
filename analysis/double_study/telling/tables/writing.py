"""How table files are written: CSV, the record of the run, and the data dictionary."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pandas as pd

from double_study.counting.run import Run
from double_study.telling.tables.datapackage import PACKAGE_FILE, package, resource
from double_study.telling.tables.files import RUN_FILE, TABLE_FILES


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
