"""What the double gives up: penalty passes beside doubles, and all the responder's calls."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import Estimate, WholeNumber
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import DEALS
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.response import CALL, PENALTY_PASS_CALL
from double_study.rules.terms import LEVEL
from double_study.stats import ratio
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.shares import share_of, shares, with_facts

DOUBLES = WholeNumber(
    "doubles", "doubles", "Deals on which the responder doubled, at the same level.", "deals"
)
RATIO = Estimate(
    "ratio",
    "doubles for each",
    "Doubles for every penalty pass.",
    "doubles a penalty pass",
    optional=True,
)
PENALTY_PASS = CALL.names[PENALTY_PASS_CALL]
"""The responder's call and the opener's answer that both mean: let us defend."""


def calls_by_level(run: Run) -> pd.DataFrame:
    """The responder's calls by level of the overcall, as shares of the level's overcalls."""
    return shares(_calls(run), [LEVEL, CALL], within=[LEVEL])


def penalty_passes(run: Run) -> pd.DataFrame:
    """By level of the overcall: penalty passes, their share of the overcalls, doubles for each.

    Overcalls above the ceiling of the double, over which the agreement says nothing, are left out.
    Columns ``level``, ``deals`` (penalty passes), ``of`` (overcalls), the share with its interval,
    ``doubles``, ``ratio`` (doubles for every penalty pass, with its interval: see
    :func:`double_study.stats.ratio`), and how often one partnership meets a penalty pass.
    """
    cells = _calls(run)
    cells = cells[cells[CALL] != ABOVE_CEILING_CALL]
    table = share_of(cells, cells[CALL] == PENALTY_PASS, [LEVEL])
    doubled = share_of(cells, cells[CALL] == DOUBLE, [LEVEL])
    table[DOUBLES] = doubled[DEALS]
    table[RATIO], table[RATIO.low], table[RATIO.high] = ratio(table[DOUBLES], table[DEALS])
    return with_sessions(table, run.tally.deals)


def doubles_passed(run: Run) -> pd.DataFrame:
    """By level of the overcall: how often the opener answers with a penalty pass."""
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    return share_of(cells, cells[ANSWER_GIVEN] == PENALTY_PASS, [LEVEL])


def _calls(run: Run) -> pd.DataFrame:
    return with_facts(calls(run), run.agreement, LEVEL)
