"""How often the double arises: by auction, level, message, reason and seat."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import COLUMNS, typed
from double_study.counting.counts import ABOVE_CEILING_CALL
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.rules.terms import SEQUENCE
from double_study.stats import with_intervals
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.shares import share_of, shares, summed, with_facts

BY = ("call", "level", "message", "reason", "seat")
"""What the table of meetings is grouped by."""


def doubles_by_auction(run: Run) -> pd.DataFrame:
    """For each opening and overcall, doubles as a share of the overcalls, of all deals, in sessions.

    Here and in the next three tables, overcalls above the ceiling of the double are left out.
    """
    table = _doubled(run, [*SEQUENCE.columns, "level", "message"])
    of_all = with_intervals(table[["deals"]], "deals", run.tally.deals)
    table[[*COLUMNS["of_all"].columns]] = of_all[[*COLUMNS["estimate"].columns]]
    return table


def doubles_by_level(run: Run) -> pd.DataFrame:
    """The same by the level of the overcall."""
    return _doubled(run, ["level"])


def doubles_by_message(run: Run) -> pd.DataFrame:
    """The same by what the double promises."""
    return _doubled(run, ["message"])


def doubles_by_seat(run: Run) -> pd.DataFrame:
    """The same by the seat of the opener."""
    return _doubled(run, ["seat"])


def doubles_by_reason(run: Run) -> pd.DataFrame:
    """For each reason, its share of the doubles, and how often it is met in sessions."""
    return with_sessions(shares(doubles(run), ["reason"]), run.tally.deals)


def meetings(run: Run) -> pd.DataFrame:
    """How often one partnership meets a double, and each kind of double, in sessions.

    Columns ``grouping`` (``call``, ``level``, ``message``, ``reason`` or ``seat``), ``case`` (its
    name within the grouping, as text), ``deals``, ``of`` (all deals), the share with its interval,
    and how often one partnership meets it.
    """
    cells = with_facts(doubles(run), run.agreement, "level")
    parts = []
    for grouping in BY:
        part = summed(cells.assign(call=DOUBLE), [grouping])
        part.insert(0, "grouping", str(grouping))
        parts.append(part.rename(columns={grouping: "case"}).astype({"case": str}))
    table = typed(pd.concat(parts, ignore_index=True), "grouping").assign(of=run.tally.deals)
    return with_sessions(with_intervals(table, "deals", "of"), run.tally.deals)


def _doubled(run: Run, keys: list[str]) -> pd.DataFrame:
    cells = with_facts(calls(run), run.agreement, "level", "message")
    cells = cells[cells["call"] != ABOVE_CEILING_CALL]
    return with_sessions(share_of(cells, cells["call"] == DOUBLE, keys), run.tally.deals)
