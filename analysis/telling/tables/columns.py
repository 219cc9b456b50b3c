"""The dictionary of columns: what every column of every table file is, each said once.

A table file may hold no column that is not here. Types and constraints are those of the
Frictionless Data Package v2 standard's Table Schema.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from analysis.bidding.after_overcall import MESSAGES
from analysis.bidding.spade_raise import SPADE_RAISE
from analysis.cards.bids import BOARDS_PER_SESSION, Bid
from analysis.checking.comparison import CELLS, DF, FAILS_BELOW, P_VALUE, PASSES, POOLED, STATISTIC
from analysis.checking.family import CASE, EXACT, FAMILY, OF, Z
from analysis.counting.auction_counts import (
    ANSWER_COLUMN,
    CALL,
    MOST_OVER,
    ONE_BIDS,
    OPENER_CARDS,
    OPENING,
    OVERCALL_COLUMN,
    REASON_COLUMN,
    REST_COLUMN,
    SEAT,
    answers,
    calls,
    opener_holds,
    pairs,
    reasons,
    rests,
)
from analysis.counting.auction_counts import (
    MESSAGE as MESSAGE,
)
from analysis.counting.tally import DEALS, Axis
from analysis.exact.table import ANY, PROBABILITY
from analysis.lessons.look_alikes import PITFALLS
from analysis.statistics.intervals import CERTAINTY, ESTIMATE, HIGH, LOW

LEVEL = "level"
STEP, RANK, PITFALL, MEASURE, ROLE, PATTERN = (
    "step",
    "rank",
    "pitfall",
    "measure",
    "role",
    "pattern",
)
GIVEN, GIVEN_LOW, GIVEN_HIGH = "given", "given_low", "given_high"
SESSION, SESSION_LOW, SESSION_HIGH = "per_session", "per_session_low", "per_session_high"
UNTIL, UNTIL_LOW, UNTIL_HIGH = "sessions", "sessions_low", "sessions_high"
CUMULATED, CUMULATED_LOW, CUMULATED_HIGH = "cumulated", "cumulated_low", "cumulated_high"
ALIKE, RIGHT, RIGHT_LOW, RIGHT_HIGH = "alike", "right", "right_low", "right_high"
MEAN, MEAN_LOW, MEAN_HIGH, ASKED = "mean", "mean_low", "mean_high", "asked"
QUANTILES = {"tenth": 0.1, "median": 0.5, "ninetieth": 0.9}
POINTS, CARDS, OUTCOME = "total_points", "cards", "outcome"
LAST_LEVEL, OVER_TRUMPS, OPENER_SPADES = "last_level", "over_trumps", "opener_spades"
DOUBLES = "doubles"
RATIO, RATIO_LOW, RATIO_HIGH = "ratio", "ratio_low", "ratio_high"

NO_UNIT = "none"
"""The unit of names and pure numbers."""


@dataclass(frozen=True)
class Column:
    """A column: its type, its unit, what it means, and what values it may hold."""

    type: str
    unit: str
    meaning: str
    constraints: dict[str, Any] = field(default_factory=dict)
    optional: bool = False
    """Whether a cell may be empty."""

    def descriptor(self, name: str) -> dict[str, Any]:
        """The column as a field descriptor of the Table Schema, with its unit."""
        return {
            "name": name,
            "type": self.type,
            "unit": self.unit,
            "description": self.meaning,
            "constraints": {"required": not self.optional} | self.constraints,
        }


def name_of(meaning: str, values: Iterable[Any], optional: bool = False) -> Column:
    """A column of names, one of ``values``."""
    return Column("string", NO_UNIT, meaning, {"enum": list(values)}, optional)


def whole(unit: str, meaning: str, low: int, high: int | None = None) -> Column:
    """A column of whole numbers from ``low``, to ``high`` if there is a highest."""
    top = {} if high is None else {"maximum": high}
    return Column("integer", unit, meaning, {"minimum": low} | top)


def share(meaning: str, optional: bool = False) -> Column:
    """A column of proportions."""
    return Column("number", "proportion", meaning, {"minimum": 0, "maximum": 1}, optional)


def number(unit: str, meaning: str, optional: bool = False) -> Column:
    """A column of numbers that are not negative, infinity included."""
    return Column("number", unit, meaning, {"minimum": 0}, optional)


def limits(low: str, high: str, of: str, like: Column) -> dict[str, Column]:
    """The two limits of an interval, columns of the same kind as the estimate they belong to."""
    said = f"limit of the pointwise 95% interval of {of}."
    return {
        low: replace(like, meaning=f"Low {said}"),
        high: replace(like, meaning=f"High {said}"),
    }


def _labels(axis: Axis, position: int = 0) -> list[Any]:
    return list(dict.fromkeys(label[position] for label in axis.labels))


STEPS = ("opened", "overcalled", "within_reach", "doubled")
GROUPING = "grouping"
GROUPINGS = (CALL, LEVEL, MESSAGE, REASON_COLUMN, SEAT)
MEASURES = ("total_points", "hcp", "combined_hcp")
ROLES = ("promised", "promised_shorter", "opened", "overcalled", "other")
OUTCOMES = (
    "fit_found",
    "fit_missed",
    "fit_but_notrump",
    "no_fit_in_suit",
    "no_fit_in_notrump",
    "defended",
    "goes_on",
)

_SESSIONS = number(
    f"times in {BOARDS_PER_SESSION} boards",
    "How often one partnership meets the case in a session; it opens on half of the deals.",
)
_UNTIL = number(
    f"sessions of {BOARDS_PER_SESSION} boards",
    f"Sessions after which it has met the case at least once with {CERTAINTY:.0%} certainty.",
)

COLUMNS: dict[str, Column] = {
    SEAT: whole("seat", "Where the opener sits, clockwise from the dealer, who is 1.", 1, 4),
    OPENING: name_of("The opening bid, level and suit (C D H S).", ONE_BIDS),
    OVERCALL_COLUMN: name_of(
        "The next hand's overcall, level and suit (C D H S).",
        sorted(_labels(pairs, 1), key=Bid.parse),
    ),
    LEVEL: whole("level", "The level of the overcall.", 1, 4),
    CALL: name_of(
        f"The responder's call, as the rules of the agreement name it; {ANY} where the row is about "
        "the overcall, whatever the responder did.",
        [ANY, *_labels(calls)],
    ),
    MESSAGE: name_of("What the double promises.", MESSAGES),
    REASON_COLUMN: name_of("Why the double was chosen.", _labels(reasons)),
    ANSWER_COLUMN: name_of(
        "The opener's answer to the double; in the table of spade raises, to 1♠.",
        dict.fromkeys([*_labels(answers), *SPADE_RAISE.names]),
    ),
    REST_COLUMN: name_of("Where the auction comes to rest.", _labels(rests)),
    DEALS: whole("deals", "Deals counted in the row's case.", 0),
    ESTIMATE: share("The row's deals as a share of the deals they are taken from."),
    LOW: share("Low limit of the estimate's pointwise 95% Wilson interval."),
    HIGH: share("High limit of the estimate's pointwise 95% Wilson interval."),
    EXACT: share("The same probability worked out without sampling.", optional=True),
    Z: Column(
        "number",
        "standard errors",
        "Standard errors by which the estimate lies above the exact value.",
        optional=True,
    ),
    OF: whole("deals", "Deals that the row's deals are a share of.", 0),
    STEP: name_of("How far the auction went; each step is a part of the one before.", STEPS),
    GIVEN: share("The row's deals as a share of the deals of the step before.", optional=True),
    **limits(GIVEN_LOW, GIVEN_HIGH, GIVEN, share("", optional=True)),
    SESSION: _SESSIONS,
    **limits(SESSION_LOW, SESSION_HIGH, SESSION, _SESSIONS),
    UNTIL: _UNTIL,
    **limits(UNTIL_LOW, UNTIL_HIGH, UNTIL, _UNTIL),
    GROUPING: name_of("What tells the cases from one another.", GROUPINGS),
    CASE: Column("string", NO_UNIT, "The case, by its name in the column that the grouping names."),
    RANK: whole(NO_UNIT, "The case's place when cases stand by how often they come up.", 1),
    CUMULATED: share("Share of all doubles that this case and those ranked above it make up."),
    **limits(CUMULATED_LOW, CUMULATED_HIGH, CUMULATED, share("")),
    PITFALL: name_of("A case that is easily got wrong.", [pitfall.name for pitfall in PITFALLS]),
    ALIKE: whole("deals", "Deals of the case that looks like it and calls for something else.", 0),
    RIGHT: share("The case's deals as a share of its own and those that look like it."),
    **limits(RIGHT_LOW, RIGHT_HIGH, RIGHT, share("")),
    MEASURE: name_of("What is averaged: points of the responder, or of both hands.", MEASURES),
    ASKED: whole(
        "total points", "The fewest total points that the double asks in these auctions.", 0
    ),
    MEAN: number("points", "The mean."),
    **limits(MEAN_LOW, MEAN_HIGH, MEAN, Column("number", "points", "", optional=True)),
    **{
        name: whole("points", f"The fewest points that {part:.0%} of the hands do not pass.", 0)
        for name, part in QUANTILES.items()
    },
    POINTS: whole("total points", "The responder's, without length in the overcaller's suit.", 0),
    ROLE: name_of(
        "Which suit: opened, overcalled, promised (the longest), its shorter, or the other.", ROLES
    ),
    CARDS: whole("cards", "The responder's cards in it.", 0, 13),
    PATTERN: Column(
        "string", NO_UNIT, "The four lengths from longest to shortest, such as 4-4-3-2."
    ),
    OPENER_CARDS: whole("cards", "The opener's cards in its longest promised suit.", 0, 13),
    OUTCOME: name_of("Whether a fit of eight cards was there, and whether it was found.", OUTCOMES),
    LAST_LEVEL: whole("level", "The level of the last bid.", 1, 7),
    OVER_TRUMPS: whole(
        "tricks",
        "Tricks bid above the combined trumps; the lowest and highest values stand for all beyond.",
        -MOST_OVER,
        MOST_OVER,
    ),
    OPENER_SPADES: name_of("The opener's spades.", _labels(opener_holds)),
    DOUBLES: whole("deals", "Deals on which the responder doubled, at the same level.", 0),
    RATIO: number("doubles a penalty pass", "Doubles for every penalty pass.", optional=True),
    **limits(RATIO_LOW, RATIO_HIGH, RATIO, number("doubles a penalty pass", "", optional=True)),
    PROBABILITY: share("Exact probability on one deal, whatever else the deal may be."),
    FAMILY: Column("string", NO_UNIT, "Cells that exclude each other, tested together."),
    CELLS: whole("cells", "Cells of the family.", 1),
    POOLED: whole("cells", "Cells put together because they expect too few deals.", 0),
    STATISTIC: number(NO_UNIT, "Pearson's chi-square; for deals that came twice, their number."),
    DF: whole(NO_UNIT, "Degrees of freedom of the chi-square.", 0),
    P_VALUE: share("Chance that a right machine differs from the exact values at least so much."),
    FAILS_BELOW: share("The p-value below which the family fails."),
    PASSES: Column("boolean", NO_UNIT, "Whether the family passes."),
}
"""Every column by its name. Add a column here before a table uses it."""
