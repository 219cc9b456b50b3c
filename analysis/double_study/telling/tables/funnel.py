"""From every deal to the responder's double, step by step."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import COLUMNS, typed
from double_study.combinatorics.table import ANY
from double_study.counting.counts import ABOVE_CEILING_CALL, NEXT_HANDS
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.rules.terms import SEQUENCE
from double_study.stats import GoodnessOfFit, compared, goodness_of_fit, with_intervals
from double_study.telling.tables.counted import calls
from double_study.telling.tables.shares import ABOVE, sequence_facts, summed

OPENED, OVERCALLED, WITHIN_REACH, DOUBLED = COLUMNS["step"].names


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
    for seat, deals in zip(COLUMNS["seat"].names, opened, strict=True):
        here = counted[counted["seat"] == seat]
        part = _steps(run, [deals, *_from_overcall(here)])
        part.insert(0, "seat", seat)
        parts.append(part)
    table = pd.concat(parts, ignore_index=True)
    known = _exact_steps(run, exact) | {OPENED: float(next_hands["probability"].sum())}
    first_seat = table["seat"] == 1
    table["exact"] = pd.Series([known.get(step) for step in table["step"]]).where(first_seat)
    return with_exact(table)


def first_seat_calls(run: Run, exact: pd.DataFrame) -> pd.DataFrame:
    """Overcalls, and the responder's calls, after an opening in first seat beside their exact values.

    One row for each row of ``exact`` (:func:`double_study.combinatorics.table.exact_table`): ``opening``,
    ``overcall``, ``call`` (``any`` for the overcall as a whole), ``deals``, ``of`` (all deals), the
    share with its interval, ``exact``, ``z`` and ``p_value``.
    """
    keys = [*SEQUENCE.columns, "call"]
    counted = calls(run)
    counted = counted[counted["seat"] == 1]
    whole = summed(typed(counted.assign(call=ANY), "call_or_any"), keys)
    counted = pd.concat([typed(counted[[*keys, "deals"]], "call_or_any"), whole])
    table = exact.merge(counted, on=keys, how="left").rename(columns={"probability": "exact"})
    table["deals"] = table["deals"].fillna(0).astype(np.int64)
    table["of"] = run.tally.deals
    columns = [*keys, "deals", "of"]
    return with_exact(with_intervals(table[[*columns, "exact"]], "deals", "of"))


def first_seat_fit(table: pd.DataFrame) -> GoodnessOfFit:
    """The joint test of :func:`first_seat_calls`, by its finest cells, and anything else."""
    fine = table["call"] != ANY
    cells = table[fine] if fine.any() else table
    seen, chances = cells["deals"].to_numpy(), cells["exact"].to_numpy()
    rest = cells["of"].iloc[0] - seen.sum(), 1 - chances.sum()
    return goodness_of_fit(np.append(seen, rest[0]), np.append(chances, rest[1]))


def with_exact(table: pd.DataFrame) -> pd.DataFrame:
    """``table`` with ``exact``, which it has, ``z`` and ``p_value`` as its last columns."""
    exact = table.pop("exact")
    return table.assign(exact=exact, **compared(table["deals"], table["of"], exact))


def _from_overcall(counted: pd.DataFrame) -> list[int]:
    """Overcalls in a suit, those up to the double's ceiling, and doubles."""
    deals = counted["deals"]
    return [
        int(deals.sum()),
        int(deals[counted["call"] != ABOVE_CEILING_CALL].sum()),
        int(deals[counted["call"] == DOUBLE].sum()),
    ]


def _steps(run: Run, deals: list[int]) -> pd.DataFrame:
    table = COLUMNS["step"].frame().assign(deals=deals)
    before = pd.DataFrame({"deals": deals, "of": [run.tally.deals, *deals[:-1]]})
    given = with_intervals(before, "deals", "of").iloc[:, 2:]
    table["of"] = run.tally.deals
    table = with_intervals(table, "deals", "of")
    table[[*COLUMNS["given"].columns]] = given.to_numpy()
    return with_sessions(table, run.tally.deals)


def _exact_steps(run: Run, exact: pd.DataFrame) -> dict[str, float]:
    """What the exact table knows of the steps from the overcall on, first seat."""
    whole = exact[exact["call"] == ANY]
    facts = sequence_facts(run.agreement)
    above = whole.merge(facts, on=list(SEQUENCE.columns), how="left")[ABOVE].to_numpy(dtype=bool)
    known = {
        OVERCALLED: float(whole["probability"].sum()),
        WITHIN_REACH: float(whole["probability"][~above].sum()),
    }
    doubled = exact.loc[exact["call"] == DOUBLE, "probability"]
    return known | ({DOUBLED: float(doubled.sum())} if len(doubled) else {})
