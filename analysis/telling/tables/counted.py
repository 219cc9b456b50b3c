"""The three tables of plain counts whose form is fixed, so that others can rely on it."""

from __future__ import annotations

import pandas as pd

from analysis.bidding.after_overcall import MESSAGE
from analysis.bidding.double import REASON_GIVEN
from analysis.counting.auction_counts import CALL_COUNTS, DOUBLE_COUNTS
from analysis.counting.pass_counts import PASS_COUNTS
from analysis.counting.run import Run
from analysis.telling.tables.shares import with_facts


def calls(run: Run) -> pd.DataFrame:
    """The responder's calls by seat, opening and overcall, with counts."""
    return run.tally.frame(CALL_COUNTS)


def passes(run: Run) -> pd.DataFrame:
    """The responder's passes by seat, opening, overcall, kind and what follows, with counts."""
    return run.tally.frame(PASS_COUNTS)


def doubles(run: Run) -> pd.DataFrame:
    """Each double by seat, auction, message, reason, what follows and final contract, with counts."""
    table = with_facts(run.tally.frame(DOUBLE_COUNTS), run.agreement, MESSAGE)
    table.insert(table.columns.to_list().index(REASON_GIVEN), MESSAGE, table.pop(MESSAGE))
    return table
