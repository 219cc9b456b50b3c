"""How often the double arises: by auction, level, message, reason and seat."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import DOUBLE, SEAT
from double_study.checking.families import CASE
from double_study.columns import Dimension, ShareEstimate, typed
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import DEALS
from double_study.rules.response import CALL, REASON_GIVEN
from double_study.rules.terms import LEVEL, MESSAGE, SEQUENCE
from double_study.stats import ESTIMATE, OF, with_intervals
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.shares import share_of, shares, summed, with_facts

BY = (CALL, LEVEL, MESSAGE, REASON_GIVEN, SEAT)
"""What the table of meetings is grouped by."""

GROUPING = Dimension(
    "grouping",
    "grouping",
    "What tells the cases from one another.",
    {dimension: dimension.heading for dimension in BY},
)


OF_ALL = ShareEstimate("of_all", "of all deals", "The same deals as a share of all deals.")


def doubles_by_auction(run: Run) -> pd.DataFrame:
    """For each opening and overcall, doubles as a share of the overcalls, of all deals, in sessions.

    Here and in the next three tables, overcalls above the ceiling of the double are left out.
    """
    table = _doubled(run, [*SEQUENCE.columns, LEVEL, MESSAGE])
    of_all = with_intervals(table[[DEALS]], DEALS, run.tally.deals)
    table[[*OF_ALL.columns]] = of_all[[*ESTIMATE.columns]]
    return table


def doubles_by_level(run: Run) -> pd.DataFrame:
    """The same by the level of the overcall."""
    return _doubled(run, [LEVEL])


def doubles_by_message(run: Run) -> pd.DataFrame:
    """The same by what the double promises."""
    return _doubled(run, [MESSAGE])


def doubles_by_seat(run: Run) -> pd.DataFrame:
    """The same by the seat of the opener."""
    return _doubled(run, [SEAT])


def doubles_by_reason(run: Run) -> pd.DataFrame:
    """For each reason, its share of the doubles, and how often it is met in sessions."""
    return with_sessions(shares(doubles(run), [REASON_GIVEN]), run.tally.deals)


def meetings(run: Run) -> pd.DataFrame:
    """How often one partnership meets a double, and each kind of double, in sessions.

    Columns ``grouping`` (``call``, ``level``, ``message``, ``reason`` or ``seat``), ``case`` (its
    name within the grouping, as text), ``deals``, ``of`` (all deals), the share with its interval,
    and how often one partnership meets it.
    """
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    parts = []
    for grouping in BY:
        part = summed(cells.assign(**{CALL: DOUBLE}), [grouping])
        part.insert(0, GROUPING, str(grouping))
        parts.append(part.rename(columns={grouping: CASE}).astype({CASE: str}))
    table = typed(pd.concat(parts, ignore_index=True), GROUPING).assign(**{OF: run.tally.deals})
    return with_sessions(with_intervals(table, DEALS, OF), run.tally.deals)


def _doubled(run: Run, keys: list[str]) -> pd.DataFrame:
    cells = with_facts(calls(run), run.agreement, LEVEL, MESSAGE)
    cells = cells[cells[CALL] != ABOVE_CEILING_CALL]
    return with_sessions(share_of(cells, cells[CALL] == DOUBLE, keys), run.tally.deals)
