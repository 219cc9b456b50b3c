"""The three tables of plain counts whose form is fixed, so that others can rely on it."""

from __future__ import annotations

import pandas as pd

from double_study.counting.counts import CALL_COUNTS, DOUBLE_COUNTS, PASS_COUNTS
from double_study.counting.run import Run
from double_study.telling.tables.shares import with_facts


def calls(run: Run) -> pd.DataFrame:
    """The responder's calls by seat, opening and overcall, with counts."""
    return run.tally.frame(CALL_COUNTS)


def passes(run: Run) -> pd.DataFrame:
    """The responder's passes by seat, opening, overcall, kind and what follows, with counts."""
    return run.tally.frame(PASS_COUNTS)


def doubles(run: Run) -> pd.DataFrame:
    """Each double by seat, auction, message, reason, what follows and final contract, with counts."""
    table = with_facts(run.tally.frame(DOUBLE_COUNTS), run.agreement, "message")
    table.insert(table.columns.to_list().index("reason"), "message", table.pop("message"))
    return table
