"""What to teach first: the cases of the double ranked, and those that are easily got wrong."""

from __future__ import annotations

from math import nan
from typing import Any

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE, SEAT
from double_study.columns import NO_UNIT, ShareEstimate, WholeNumber, typed
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import exact_table
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import DEALS
from double_study.lessons.case import TOPIC, TOPIC_OF
from double_study.lessons.pitfalls import PITFALL, PITFALLS
from double_study.rules.response import CALL, ONE_LEVEL_MAJOR_CALL, REASON_GIVEN
from double_study.rules.terms import LEVEL, MESSAGE, OPENING_BID, OVERCALL_BID
from double_study.stats import EXACT, OF, wilson, with_intervals
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.funnel import with_exact
from double_study.telling.tables.shares import shares, with_facts

RANK = WholeNumber(
    "rank",
    "rank",
    "The place of a case or topic when they stand by how often they come up.",
    NO_UNIT,
    least=1,
)
CUMULATED = ShareEstimate(
    "cumulated",
    "with those above",
    "Share of all doubles that this case or topic and those ranked above it make up.",
)
ALIKE = WholeNumber(
    "alike",
    "deals that look like it",
    "Deals of the case that looks like it and calls for something else.",
    "deals",
)
RIGHT = ShareEstimate(
    "right",
    "the double's part of both",
    "The case's deals as a share of its own and those that look like it.",
)


def cases(run: Run) -> pd.DataFrame:
    """Doubles by message, level of the overcall and reason, the most frequent first.

    Columns ``rank``, ``message``, ``level``, ``reason``, ``deals``, ``of`` (all doubles), the share
    with its interval, the share of this case and those above it together (``cumulated``, with its
    interval), and how often one partnership meets it.
    """
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    return _ranked(shares(cells, [MESSAGE, LEVEL, REASON_GIVEN]), run)


def topics(run: Run) -> pd.DataFrame:
    """Doubles by what a lesson has as one topic, the most frequent first: columns as for ``cases``."""
    return _ranked(shares(_by_topic(run), [TOPIC]), run)


def parts(run: Run) -> pd.DataFrame:
    """The reasons within each topic, in the order of the topics and then of frequency.

    Columns ``topic``, ``reason``, ``deals``, ``of`` (the topic's doubles), the share with its
    interval.
    """
    table = shares(_by_topic(run), [TOPIC, REASON_GIVEN], within=[TOPIC])
    return table.sort_values([OF, DEALS], ascending=False, kind="stable", ignore_index=True)


def _by_topic(run: Run) -> pd.DataFrame:
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    cells[TOPIC] = [
        TOPIC_OF[named].name for named in zip(cells[MESSAGE], cells[LEVEL], strict=True)
    ]
    return typed(cells, TOPIC)


def _ranked(table: pd.DataFrame, run: Run) -> pd.DataFrame:
    table = table.sort_values(DEALS, ascending=False, kind="stable", ignore_index=True)
    table.insert(0, RANK, np.arange(1, len(table) + 1))
    so_far = table[DEALS].cumsum()
    table[CUMULATED] = so_far / table[OF]
    table[CUMULATED.low], table[CUMULATED.high] = wilson(so_far, table[OF])
    return with_sessions(table, run.tally.deals)


def pitfalls(run: Run) -> pd.DataFrame:
    """The cases that are easily got wrong, those that came up, by how often look-alikes do.

    Columns ``pitfall``, ``deals``, ``of`` (all doubles), the share with its interval, ``alike``
    (deals that look like it and call for something else), ``right`` (the case's share of both
    together, with its interval), and how often one partnership meets it. The cases overlap.
    """
    counted = [(case.name, case.deals(run), case.deals_alike(run)) for case in PITFALLS]
    table = pd.DataFrame(
        [row for row in counted if row[1] > 0], columns=[PITFALL, DEALS, ALIKE]
    ).astype({PITFALL: PITFALL.dtype, DEALS: np.int64, ALIKE: np.int64})
    table = table.sort_values(ALIKE, ascending=False, kind="stable", ignore_index=True)
    table.insert(2, OF, doubles(run)[DEALS].sum())
    table = with_intervals(table, DEALS, OF)
    both = table[DEALS] + table[ALIKE]
    table[RIGHT] = table[DEALS] / both
    table[RIGHT.low], table[RIGHT.high] = wilson(table[DEALS], both)
    return with_sessions(table, run.tally.deals)


def four_against_five(run: Run) -> pd.DataFrame:
    """Exactly four spades, which double, against five, which bid 1♠: after a minor and 1♥, first seat.

    One row an opening: ``opening``, ``deals`` (the doubles), ``of`` (both calls), the share with its
    interval, and its ``exact`` value, ``z`` and ``p_value`` (NaN where the run has no exact calls).
    Openings after which neither call was made are left out.
    """
    first = calls(run)
    first = first[first[SEAT] == 1]
    exact = exact_table(run.agreement, run.exact_calls)
    rows = []
    for opening in _MINOR_OPENINGS:
        four, five = _four_and_five(first, opening, DEALS)
        chance, other = _four_and_five(exact, opening, PROBABILITY)
        share = chance / (chance + other) if chance else nan
        if four + five:
            rows.append({OPENING_BID: opening, DEALS: four, OF: four + five, EXACT: share})
    table = typed(pd.DataFrame(rows, columns=[OPENING_BID, DEALS, OF, EXACT]), OPENING_BID)
    return with_exact(with_intervals(table, DEALS, OF))


_MINOR_OPENINGS = ("1C", "1D")


def _four_and_five(table: pd.DataFrame, opening: str, column: str) -> tuple[Any, Any]:
    """What a column sums to for the double and for 1♠, after an opening and 1♥."""
    there = table[(table[OPENING_BID] == opening) & (table[OVERCALL_BID] == "1H")]
    of_call = there.groupby(CALL, observed=False)[column].sum()
    return of_call[DOUBLE], of_call[CALL.names[ONE_LEVEL_MAJOR_CALL]]
