"""The tables on disk: which there are, and how they are written."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from analysis.agreement import Agreement
from analysis.bidding.overcalled import messages_by_pair
from analysis.counts import CALL_COUNTS, DOUBLE_COUNTS, REASON_COLUMN, pairs
from analysis.run_record import RunRecord
from analysis.tally import Tally

RUN_FILE = "run.json"
MESSAGE = "message"


def calls(tally: Tally) -> pd.DataFrame:
    """``calls.csv``: the responder's calls by seat, opening and overcall, with counts."""
    return tally.frame(CALL_COUNTS)


def doubles(tally: Tally, agreement: Agreement) -> pd.DataFrame:
    """``doubles.csv``: each double by seat, auction, message, reason, answer and resting place."""
    table = tally.frame(DOUBLE_COUNTS)
    messages = pd.Series(messages_by_pair(agreement), index=pd.MultiIndex.from_tuples(pairs.labels))
    keys = pd.MultiIndex.from_frame(table[list(pairs.columns)])
    table.insert(table.columns.to_list().index(REASON_COLUMN), MESSAGE, messages[keys].to_numpy())
    return table


def write_tables(folder: Path, tally: Tally, record: RunRecord) -> None:
    """Write every table of a run, and ``run.json``, into ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    calls(tally).to_csv(folder / "calls.csv", index=False)
    doubles(tally, record.agreement).to_csv(folder / "doubles.csv", index=False)
    record.write(folder / RUN_FILE)
