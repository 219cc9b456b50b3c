"""From every deal to the responder's double, step by step."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE, SEAT
from double_study.columns import Dimension, ShareEstimate, typed
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import ANY, CALL_OR_ANY
from double_study.counting.counts import ABOVE_CEILING_CALL, NEXT_HANDS
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import DEALS
from double_study.rules.response import CALL
from double_study.rules.terms import SEQUENCE
from double_study.stats import EXACT, OF, GoodnessOfFit, compared, goodness_of_fit, with_intervals
from double_study.telling.tables.counted import calls
from double_study.telling.tables.shares import ABOVE, sequence_facts, summed

STEP = Dimension(
    "step",
    "step",
    "How far the auction went; each step is a part of the one before.",
    {
        "opened": "one of a suit is opened",
        "overcalled": "the next hand overcalls in a suit",
        "within_reach": "the overcall is within the double's reach",
        "doubled": "the responder doubles",
    },
)
OPENED, OVERCALLED, WITHIN_REACH, DOUBLED = STEP.names
GIVEN = ShareEstimate(
    "given",
    "of the step before",
    "The row's deals as a share of the deals of the step before.",
    optional=True,
)


def funnel(run: Run) -> pd.DataFrame:
    """Openings of one of a suit, overcalls in a suit, those within reach, doubles.

    Columns ``step``, ``deals``, ``of`` (all deals), the share with its interval, ``given`` (the
    share of the step before, at first of all deals, with its interval), and how often one
    partnership meets it.
    """
    counted, opened = calls(run), run.tally[NEXT_HANDS.name].sum()
    return _steps(run, [opened, *_from_overcall(counted)])


def funnel_by_seat(run: Run, exact: pd.DataFrame, next_hands: pd.DataFrame) -> pd.DataFrame:
    """The funnel by the opener's seat, with the exact value for seat 1.

    ``exact`` and ``next_hands`` are :func:`double_study.combinatorics.table.exact_table` and
    :func:`double_study.combinatorics.table.next_hands_table`, which say what they can of seat 1.
    """
    counted, opened = calls(run), run.tally[NEXT_HANDS.name].sum(axis=(1, 2))
    parts = []
    for seat, deals in zip(SEAT.names, opened, strict=True):
        here = counted[counted[SEAT] == seat]
        part = _steps(run, [deals, *_from_overcall(here)])
        part.insert(0, SEAT, seat)
        parts.append(part)
    table = pd.concat(parts, ignore_index=True)
    known = _exact_steps(run, exact) | {OPENED: float(next_hands[PROBABILITY].sum())}
    first_seat = table[SEAT] == 1
    table[EXACT] = pd.Series([known.get(step) for step in table[STEP]]).where(first_seat)
    return with_exact(table)


def first_seat_calls(run: Run, exact: pd.DataFrame) -> pd.DataFrame:
    """Overcalls, and the responder's calls, after an opening in first seat beside their exact values.

    One row for each row of ``exact`` (:func:`double_study.combinatorics.table.exact_table`): ``opening``,
    ``overcall``, ``call`` (``any`` for the overcall as a whole), ``deals``, ``of`` (all deals), the
    share with its interval, ``exact``, ``z`` and ``p_value``.
    """
    keys = [*SEQUENCE.columns, CALL]
    counted = calls(run)
    counted = counted[counted[SEAT] == 1]
    whole = summed(typed(counted.assign(**{CALL: ANY}), CALL_OR_ANY), keys)
    counted = pd.concat([typed(counted[[*keys, DEALS]], CALL_OR_ANY), whole])
    table = exact.merge(counted, on=keys, how="left").rename(columns={PROBABILITY: EXACT})
    table[DEALS] = table[DEALS].fillna(0).astype(np.int64)
    table[OF] = run.tally.deals
    columns = [*keys, DEALS, OF]
    return with_exact(with_intervals(table[[*columns, EXACT]], DEALS, OF))


def first_seat_fit(table: pd.DataFrame) -> GoodnessOfFit:
    """The joint test of :func:`first_seat_calls`, by its finest cells, and anything else."""
    fine = table[CALL] != ANY
    cells = table[fine] if fine.any() else table
    seen, chances = cells[DEALS].to_numpy(), cells[EXACT].to_numpy()
    rest = cells[OF].iloc[0] - seen.sum(), 1 - chances.sum()
    return goodness_of_fit(np.append(seen, rest[0]), np.append(chances, rest[1]))


def with_exact(table: pd.DataFrame) -> pd.DataFrame:
    """``table`` with ``exact``, which it has, ``z`` and ``p_value`` as its last columns."""
    exact = table.pop(EXACT)
    return table.assign(**{EXACT: exact}, **compared(table[DEALS], table[OF], exact))


def _from_overcall(counted: pd.DataFrame) -> list[int]:
    """Overcalls in a suit, those up to the double's ceiling, and doubles."""
    deals = counted[DEALS]
    return [
        int(deals.sum()),
        int(deals[counted[CALL] != ABOVE_CEILING_CALL].sum()),
        int(deals[counted[CALL] == DOUBLE].sum()),
    ]


def _steps(run: Run, deals: list[int]) -> pd.DataFrame:
    table = STEP.frame().assign(**{DEALS: deals})
    before = pd.DataFrame({DEALS: deals, OF: [run.tally.deals, *deals[:-1]]})
    given = with_intervals(before, DEALS, OF).iloc[:, 2:]
    table[OF] = run.tally.deals
    table = with_intervals(table, DEALS, OF)
    table[[*GIVEN.columns]] = given.to_numpy()
    return with_sessions(table, run.tally.deals)


def _exact_steps(run: Run, exact: pd.DataFrame) -> dict[str, float]:
    """What the exact table knows of the steps from the overcall on, first seat."""
    whole = exact[exact[CALL] == ANY]
    facts = sequence_facts(run.agreement)
    above = whole.merge(facts, on=list(SEQUENCE.columns), how="left")[ABOVE].to_numpy(dtype=bool)
    known = {
        OVERCALLED: float(whole[PROBABILITY].sum()),
        WITHIN_REACH: float(whole[PROBABILITY][~above].sum()),
    }
    doubled = exact.loc[exact[CALL] == DOUBLE, PROBABILITY]
    return known | ({DOUBLED: float(doubled.sum())} if len(doubled) else {})
