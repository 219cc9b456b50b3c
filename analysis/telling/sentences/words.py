"""How names and numbers read in the study's sentences, tables and figures."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from functools import wraps
from typing import Any, Concatenate, ParamSpec

import numpy as np

from analysis.cards.bids import DOUBLE, Bid
from analysis.counting.auction_counts import CALL_COUNTS, OVERCALL_COLUMN, calls
from analysis.counting.run import Run
from analysis.lessons.look_alikes import PITFALLS
from analysis.statistics.intervals import CONFIDENCE, ESTIMATE, HIGH, LOW
from analysis.telling.tables.columns import PITFALL, ROLE

P = ParamSpec("P")
Row = Mapping[Hashable, Any]
"""A row of a table: column to value."""

_WORDS = {
    "opened": "one of a suit is opened",
    "overcalled": "the next hand overcalls in a suit",
    "within_reach": "the overcall is within the double's reach",
    "doubled": "the responder doubles",
    "both_majors": "both majors",
    "either_major": "either major",
    "both_minors": "both minors",
    "exactly_four_spades": "exactly four spades",
    "other_major": "the other major",
    "both_suits": "both unbid suits",
    "five_or_more": "five or more, not bid",
    "four_and_strong": "four and strong",
    "four_and_ordinary": "four and ordinary",
    "raise_major": "raise of opener's major",
    "one_level_major": "a major at level 1",
    "penalty_pass": "pass to defend",
    "new_major": "a new major",
    "double": "the double",
    "new_minor": "a new minor",
    "notrump": "notrump",
    "raise_minor": "raise of opener's minor",
    "cue_bid": "bid of their suit",
    "pass": "pass",
    "above_ceiling": "above the double's ceiling",
    "raise_minimum": "raise at the cheapest level",
    "raise_jump": "jump raise",
    "raise_game": "raise to game",
    "own_suit": "rebid of six or more",
    "second_suit": "a second suit",
    "three_card_raise": "raise on three cards",
    "rebid": "rebid of last resort",
    "no_raise": "no raise",
    "game": "game in a suit",
    "three_notrump": "3NT or higher",
    "part_score_fit": "part-score with a fit",
    "part_score_no_fit": "part-score without a fit",
    "notrump_part_score": "part-score in notrump",
    "goes_on": "goes on, not followed",
    "fit_found": "a fit, and found",
    "fit_missed": "a fit, but another suit played",
    "fit_but_notrump": "a fit, but notrump played",
    "no_fit_in_suit": "no fit, a suit played",
    "no_fit_in_notrump": "no fit, notrump played",
    "total_points": "responder's total points",
    "hcp": "responder's HCP",
    "combined_hcp": "both hands' HCP",
    "promised": "the promised suit (the longest)",
    "promised_shorter": "the shorter promised suit",
    "other": "the other unbid suit",
    "any": "any",
    "passed_out": "passed out",
    "other_opening": "an opening not of one of a suit",
    "no_suit_overcall": "no overcall in a suit",
}
_IN_COLUMN = {
    (ROLE, "opened"): "the suit opened",
    (ROLE, "overcalled"): "the suit overcalled",
    **{(PITFALL, case.name): case.title for case in PITFALLS},
}
"""Names that mean something else in one column than in others."""


def words(name: object, column: str = "") -> str:
    """A name of the tables, found in ``column``, as readers see it; a bid with its symbol."""
    text = str(name)
    if len(text) in (2, 3) and text[0] in "1234567" and text[1] in "CDHSN":
        return Bid.parse(text).symbol
    return _IN_COLUMN.get((column, text)) or _WORDS.get(text, text)


def series_words(kind: object, column: str) -> str:
    """A value as a label that stands alone: level 2, seat 3, both majors."""
    if isinstance(kind, int | np.integer):
        return f"{column.replace('_', ' ')} {kind}"
    return words(kind, column)


def listed(parts: Iterable[str]) -> str:
    """Parts joined as in a sentence: a, b and c."""
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last


def decimals(low: float, high: float) -> int:
    """Decimals that show an interval's width and no more: 0 to 4; 2 where it has none."""
    width = high - low
    if not np.isfinite(width) or width <= 0:
        return 2
    return int(np.clip(np.ceil(-np.log10(width)), 0, 4))


def interval(estimate: float, low: float, high: float, least: int = 0) -> str:
    """An estimate with its interval, such as ``3.76 (3.74 to 3.79)``."""
    if low == estimate == high:
        return f"{estimate:,.{decimals(low, high)}f} (at both limits)"
    places = max(decimals(low, high), least)
    texts = ("∞" if np.isinf(x) else f"{x:,.{places}f}" for x in (estimate, low, high))
    middle, lower, upper = texts
    return (
        f"{middle} (too few for an interval)" if np.isnan(low) else f"{middle} ({lower} to {upper})"
    )


_ALL = 100.0


def percent(row: Row, columns: tuple[str, str, str] = (ESTIMATE, LOW, HIGH)) -> str:
    """A row's share with its interval, such as ``3.76% (3.74 to 3.79)``."""
    estimate, low, high = (_ALL * float(row[column]) for column in columns)
    if low == estimate == high:
        return f"{estimate:.2f}%"  # worked out, not counted
    # A limit of 0% or 100% is exact, and needs no decimals to say so.
    places = 1 if low == 0 or high == _ALL else int(np.clip(decimals(low, high), 1, 3))
    return f"{estimate:.{places}f}% ({low:.{places}f} to {high:.{places}f})"


def three(row: Row, columns: tuple[str, str, str], least: int = 0) -> str:
    """A row's number with its interval."""
    estimate, low, high = (float(row[column]) for column in columns)
    return interval(estimate, low, high, least)


def auction(row: Row) -> str:
    """A row's opening and overcall, such as ``1♦ (1♠)``."""
    return f"{words(row['opening'])} ({words(row[OVERCALL_COLUMN])})"


def doubles_counted(run: Run) -> int:
    """How many doubles the run counted."""
    return int(run.tally[CALL_COUNTS.name][..., calls.labels.index((DOUBLE,))].sum())


def about_doubles(
    build: Callable[Concatenate[Run, P], str],
) -> Callable[Concatenate[Run, P], str]:
    """A sentence about doubles, which says that it does not apply to a run without any."""

    @wraps(build)
    def said(run: Run, /, *args: P.args, **kwargs: P.kwargs) -> str:
        if doubles_counted(run):
            return build(run, *args, **kwargs)
        if not run.agreement.response.double:
            return (
                f"*This does not apply: by the agreement “{run.agreement.name}” the responder's "
                "double is not played.*"
            )
        return f"*This does not apply: in {run.tally.deals:,} deals the responder never doubled.*"

    return said


INTERVALS = f"In brackets: {CONFIDENCE:.0%} intervals, each for its own number."
"""What the brackets of sentences and tables hold."""
