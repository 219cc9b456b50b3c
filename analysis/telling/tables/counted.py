"""The two tables of plain counts whose form is fixed, so that others can rely on it."""

from __future__ import annotations

import pandas as pd

from analysis.bidding.after_overcall import messages_by_pair
from analysis.counting.auction_counts import CALL_COUNTS, DOUBLE_COUNTS, REASON_COLUMN, pairs
from analysis.counting.run import Run
from analysis.telling.tables.columns import MESSAGE


def calls(run: Run) -> pd.DataFrame:
    """The responder's calls by seat, opening and overcall, with counts."""
    return run.tally.frame(CALL_COUNTS)


def doubles(run: Run) -> pd.DataFrame:
    """Each double by seat, auction, message, reason, answer and resting place, with counts."""
    table = run.tally.frame(DOUBLE_COUNTS)
    messages = pd.Series(
        messages_by_pair(run.agreement), index=pd.MultiIndex.from_tuples(pairs.labels)
    )
    keys = pd.MultiIndex.from_frame(table[list(pairs.columns)])
    table.insert(table.columns.to_list().index(REASON_COLUMN), MESSAGE, messages[keys].to_numpy())
    return table
