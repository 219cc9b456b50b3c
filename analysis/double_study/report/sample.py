"""The sample of deals that comes with a report: one row per deal, to open in any program."""

import gzip
from dataclasses import replace
from pathlib import Path

from double_study.api import deals
from double_study.cards.deal import BLOCK_DEALS
from double_study.columns import COLUMNS
from double_study.datapackage import PACKAGE_FILE, as_csv, package, resource, write_json
from double_study.how_often import BASE, Field
from double_study.tables import Run

SAMPLE_FOLDER = "sample"
SAMPLE_FILE = "deals.csv.gz"
ROWS = 20_000
_DEALT = 200_000
"""Deals dealt at first, about twice what the rows take under the reference agreement."""
_MOST = 16 * _DEALT


def write_sample(folder: Path, run: Run) -> None:
    """Write the first :data:`ROWS` deals with an overcall, and their data dictionary."""
    dealt, record = _DEALT, run.record
    table = deals(dealt, record.seed, run.agreement, hands=True)
    while len(table) < ROWS and dealt < _MOST:  # under an agreement with few overcalls
        dealt *= 2
        table = deals(dealt, record.seed, run.agreement, hands=True)
    table = table.head(ROWS).reset_index()
    table.insert(0, "block", table["deal"] // BLOCK_DEALS)
    content = gzip.compress(as_csv(table), mtime=0)
    last = int(table["block"].max())
    title = f"The first {len(table):,} deals with an overcall, of blocks 0 to {last} of seed {record.seed}"
    columns = [
        replace(column, optional=bool(column.at) and Field(column, BASE).gaps)
        for column in (COLUMNS[str(name)] for name in table)
    ]
    described = resource("deals", title, SAMPLE_FILE, columns, ["deal"], content)
    folder.mkdir()
    (folder / SAMPLE_FILE).write_bytes(content)
    write_json(folder / PACKAGE_FILE, package(record, [{**described, "compression": "gz"}]))
