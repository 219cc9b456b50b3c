"""What the double gives up: penalty passes beside doubles, and all the responder's calls."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import COLUMNS
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.rules.response import PENALTY_PASS_CALL
from double_study.stats import ratio
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.shares import share_of, shares, with_facts

PENALTY_PASS = COLUMNS["call"].names[PENALTY_PASS_CALL]
"""The responder's call and the opener's answer that both mean: let us defend."""


def calls_by_level(run: Run) -> pd.DataFrame:
    """The responder's calls by level of the overcall, as shares of the level's overcalls."""
    return shares(_calls(run), ["level", "call"], within=["level"])


def penalty_passes(run: Run) -> pd.DataFrame:
    """By level of the overcall: penalty passes, their share of the overcalls, doubles for each.

    Overcalls above the ceiling of the double, over which the agreement says nothing, are left out.
    Columns ``level``, ``deals`` (penalty passes), ``of`` (overcalls), the share with its interval,
    ``doubles``, ``ratio`` (doubles for every penalty pass, with its interval: see
    :func:`double_study.stats.ratio`), and how often one partnership meets a penalty pass.
    """
    cells = _calls(run)
    cells = cells[cells["call"] != ABOVE_CEILING_CALL]
    table = share_of(cells, cells["call"] == PENALTY_PASS, ["level"])
    doubled = share_of(cells, cells["call"] == DOUBLE, ["level"])
    table["doubles"] = doubled["deals"]
    table["ratio"], table["ratio_low"], table["ratio_high"] = ratio(
        table["doubles"], table["deals"]
    )
    return with_sessions(table, run.tally.deals)


def doubles_passed(run: Run) -> pd.DataFrame:
    """By level of the overcall: how often the opener answers with a penalty pass."""
    cells = with_facts(doubles(run), run.agreement, "level")
    return share_of(cells, cells["answer"] == PENALTY_PASS, ["level"])


def _calls(run: Run) -> pd.DataFrame:
    return with_facts(calls(run), run.agreement, "level")
