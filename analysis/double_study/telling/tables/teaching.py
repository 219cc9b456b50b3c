"""What to teach first: the cases of the double ranked, and those that are easily got wrong."""

from __future__ import annotations

from math import nan
from typing import Any

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE
from double_study.columns import COLUMNS, typed
from double_study.combinatorics.table import exact_table
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.lessons.case import TOPIC_OF
from double_study.lessons.pitfalls import PITFALLS
from double_study.rules.response import ONE_LEVEL_MAJOR_CALL
from double_study.stats import wilson, with_intervals
from double_study.telling.tables.counted import calls, doubles
from double_study.telling.tables.funnel import with_exact
from double_study.telling.tables.shares import shares, with_facts


def cases(run: Run) -> pd.DataFrame:
    """Doubles by message, level of the overcall and reason, the most frequent first.

    Columns ``rank``, ``message``, ``level``, ``reason``, ``deals``, ``of`` (all doubles), the share
    with its interval, the share of this case and those above it together (``cumulated``, with its
    interval), and how often one partnership meets it.
    """
    cells = with_facts(doubles(run), run.agreement, "level")
    return _ranked(shares(cells, ["message", "level", "reason"]), run)


def topics(run: Run) -> pd.DataFrame:
    """Doubles by what a lesson has as one topic, the most frequent first: columns as for ``cases``."""
    return _ranked(shares(_by_topic(run), ["topic"]), run)


def parts(run: Run) -> pd.DataFrame:
    """The reasons within each topic, in the order of the topics and then of frequency.

    Columns ``topic``, ``reason``, ``deals``, ``of`` (the topic's doubles), the share with its
    interval.
    """
    table = shares(_by_topic(run), ["topic", "reason"], within=["topic"])
    return table.sort_values(["of", "deals"], ascending=False, kind="stable", ignore_index=True)


def _by_topic(run: Run) -> pd.DataFrame:
    cells = with_facts(doubles(run), run.agreement, "level")
    cells["topic"] = [
        TOPIC_OF[named].name for named in zip(cells["message"], cells["level"], strict=True)
    ]
    return typed(cells, "topic")


def _ranked(table: pd.DataFrame, run: Run) -> pd.DataFrame:
    table = table.sort_values("deals", ascending=False, kind="stable", ignore_index=True)
    table.insert(0, "rank", np.arange(1, len(table) + 1))
    so_far = table["deals"].cumsum()
    table["cumulated"] = so_far / table["of"]
    table["cumulated_low"], table["cumulated_high"] = wilson(so_far, table["of"])
    return with_sessions(table, run.tally.deals)


def pitfalls(run: Run) -> pd.DataFrame:
    """The cases that are easily got wrong, those that came up, by how often look-alikes do.

    Columns ``pitfall``, ``deals``, ``of`` (all doubles), the share with its interval, ``alike``
    (deals that look like it and call for something else), ``right`` (the case's share of both
    together, with its interval), and how often one partnership meets it. The cases overlap.
    """
    counted = [(case.name, case.deals(run), case.deals_alike(run)) for case in PITFALLS]
    table = pd.DataFrame(
        [row for row in counted if row[1] > 0], columns=["pitfall", "deals", "alike"]
    ).astype({"pitfall": COLUMNS["pitfall"].dtype, "deals": np.int64, "alike": np.int64})
    table = table.sort_values("alike", ascending=False, kind="stable", ignore_index=True)
    table.insert(2, "of", doubles(run)["deals"].sum())
    table = with_intervals(table, "deals", "of")
    both = table["deals"] + table["alike"]
    table["right"] = table["deals"] / both
    table["right_low"], table["right_high"] = wilson(table["deals"], both)
    return with_sessions(table, run.tally.deals)


def four_against_five(run: Run) -> pd.DataFrame:
    """Exactly four spades, which double, against five, which bid 1♠: after a minor and 1♥, first seat.

    One row an opening: ``opening``, ``deals`` (the doubles), ``of`` (both calls), the share with its
    interval, and its ``exact`` value, ``z`` and ``p_value`` (NaN where the run has no exact calls).
    Openings after which neither call was made are left out.
    """
    first = calls(run)
    first = first[first["seat"] == 1]
    exact = exact_table(run.agreement, run.exact_calls)
    rows = []
    for opening in _MINOR_OPENINGS:
        four, five = _four_and_five(first, opening, "deals")
        chance, other = _four_and_five(exact, opening, "probability")
        share = chance / (chance + other) if chance else nan
        if four + five:
            rows.append({"opening": opening, "deals": four, "of": four + five, "exact": share})
    table = typed(pd.DataFrame(rows, columns=["opening", "deals", "of", "exact"]), "opening")
    return with_exact(with_intervals(table, "deals", "of"))


_MINOR_OPENINGS = ("1C", "1D")


def _four_and_five(table: pd.DataFrame, opening: str, column: str) -> tuple[Any, Any]:
    """What a column sums to for the double and for 1♠, after an opening and 1♥."""
    there = table[(table["opening"] == opening) & (table["overcall"] == "1H")]
    of_call = there.groupby("call", observed=False)[column].sum()
    return of_call[DOUBLE], of_call[COLUMNS["call"].names[ONE_LEVEL_MAJOR_CALL]]
