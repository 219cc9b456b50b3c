"""Tables for readers: a number and its interval in one column, names in words, as Markdown."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from analysis.asking.odds import PLAIN
from analysis.cards.bids import BOARDS_PER_SESSION
from analysis.checking.family import CASE, EXACT, OF, Z
from analysis.counting.auction_counts import (
    ANSWER_COLUMN,
    CALL,
    OPENER_CARDS,
    OPENING,
    OVERCALL_COLUMN,
    REASON_COLUMN,
    REST_COLUMN,
    SEAT,
)
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import CERTAINTY, ESTIMATE, HIGH, LOW
from analysis.telling.sentences.words import Row, percent, three, words
from analysis.telling.tables import columns as c
from analysis.telling.tables.agreements import DIFFERENCE, DIFFERENCE_HIGH, DIFFERENCE_LOW

_SHARES = {
    ESTIMATE: ((ESTIMATE, LOW, HIGH), "share"),
    c.GIVEN: ((c.GIVEN, c.GIVEN_LOW, c.GIVEN_HIGH), "of the step before"),
    c.CUMULATED: ((c.CUMULATED, c.CUMULATED_LOW, c.CUMULATED_HIGH), "with those above"),
    c.RIGHT: ((c.RIGHT, c.RIGHT_LOW, c.RIGHT_HIGH), "the double's part of both"),
}
_NUMBERS = {
    c.SESSION: (
        (c.SESSION, c.SESSION_LOW, c.SESSION_HIGH),
        f"times in {BOARDS_PER_SESSION} boards",
    ),
    c.UNTIL: ((c.UNTIL, c.UNTIL_LOW, c.UNTIL_HIGH), f"sessions until met ({CERTAINTY:.0%})"),
    c.MEAN: ((c.MEAN, c.MEAN_LOW, c.MEAN_HIGH), "mean"),
    c.RATIO: ((c.RATIO, c.RATIO_LOW, c.RATIO_HIGH), "doubles for each"),
}
_DIFFERENCES = {
    DIFFERENCE: ((DIFFERENCE, DIFFERENCE_LOW, DIFFERENCE_HIGH), "difference, percentage points"),
}
_WITH_LIMITS = (_SHARES, _NUMBERS, _DIFFERENCES)
_LIMITS = {limit for known in _WITH_LIMITS for names, _ in known.values() for limit in names[1:]}
_HEADINGS = {
    SEAT: "seat",
    OPENING: "opening",
    OVERCALL_COLUMN: "overcall",
    c.LEVEL: "level",
    CALL: "responder's call",
    c.MESSAGE: "promises",
    REASON_COLUMN: "reason",
    ANSWER_COLUMN: "opener's answer",
    REST_COLUMN: "rests in",
    CASE: "case",
    DEALS: "deals",
    OF: "out of",
    c.ALIKE: "deals that look like it",
    c.ASKED: "points asked",
    OPENER_CARDS: "opener's cards",
    c.OPENER_SPADES: "opener's spades",
    c.LAST_LEVEL: "last bid's level",
    c.OVER_TRUMPS: "tricks bid above trumps",
    c.DOUBLES: "doubles",
    c.POINTS: "total points",
    "tenth": "a tenth have at most",
    "median": "half have at most",
    "ninetieth": "nine tenths have at most",
}


def reading_table(table: pd.DataFrame, *shown: str) -> str:
    """Some columns of ``table`` (all by default) as a Markdown table.

    A share or other number that has limits is one column with its interval. Raises
    :class:`KeyError` for a column that is not there.
    """
    names = [name for name in shown or table.columns if name not in _LIMITS]
    lines = [_line(_heading(name) for name in names), _line("---" for _ in names)]
    for row in table.to_dict("records"):
        lines.append(_line(_cell(row, name) for name in names))
    return "\n".join(lines)


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _heading(name: str) -> str:
    for known in _WITH_LIMITS:
        if name in known:
            return known[name][1]
    return _HEADINGS.get(name, name.replace("_", " "))


def _cell(row: Row, name: str) -> str:
    value = row[name]
    if value is None or value != value:
        return "–"
    if name in _SHARES:
        return percent(row, _SHARES[name][0])
    if name in _NUMBERS:
        return three(row, _NUMBERS[name][0])
    if name in _DIFFERENCES:
        middle, low, high = (f"{100 * row[column]:+.3f}" for column in _DIFFERENCES[name][0])
        return f"{middle} ({low} to {high})"
    if name == EXACT:
        return f"{100 * value:.4f}%"
    if name == Z:
        return f"{value:+.2f}"
    if name == PLAIN:
        return f"{100 * value:.2f}%"
    if isinstance(value, str):
        return words(value, name)
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    return f"{value:,.4g}" if isinstance(value, float) else f"{value:,}"
