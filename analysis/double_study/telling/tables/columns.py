"""The dictionary of columns: every column that a table file holds, as declared where it arises.

A table file may hold no column that is not here.
"""

from __future__ import annotations

from double_study.asking import odds
from double_study.cards.bids import SEAT
from double_study.checking.comparison import CELLS, DF, FAILS_BELOW, PASSES, POOLED, STATISTIC
from double_study.checking.families import CASE, FAMILY
from double_study.columns import Column, Dimension, Estimate
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import AFTER_OPENING, AFTER_OVERCALL, CALL_OR_ANY, NAIVE
from double_study.counting.counts import CARDS_IN_THEIRS, LAST_LEVEL, OVER_TRUMPS, POINTS, TRUMPS
from double_study.counting.sessions import SESSION, UNTIL
from double_study.counting.tally import DEALS
from double_study.lessons.case import TOPIC
from double_study.lessons.examples import DRAWN, EXPECTED
from double_study.lessons.pitfalls import PITFALL
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.answer import SPADE_ANSWER
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import DECLARER, FINAL_CONTRACT
from double_study.rules.reopening import REOPENING_CALL
from double_study.rules.response import REASON_GIVEN
from double_study.rules.terms import (
    LEVEL,
    MAJOR,
    MESSAGE,
    OPENER_CARDS,
    OPENER_HOLDS,
    OPENING_BID,
    OVERCALL_BID,
)
from double_study.stats import ESTIMATE, EXACT, OF, P_VALUE, Z
from double_study.telling.tables import agreements, prices
from double_study.telling.tables.contested import PENALTY_OUTCOME
from double_study.telling.tables.doubles import GROUPING, OF_ALL
from double_study.telling.tables.exact_doubles import (
    DOUBLED,
    GIVEN_DOUBLE,
    OF_OVERCALLS,
    OVERCALLED,
)
from double_study.telling.tables.funnel import GIVEN, STEP
from double_study.telling.tables.given_up import DOUBLES, RATIO
from double_study.telling.tables.partner import OPENER_SPADES, OUTCOME
from double_study.telling.tables.responder import CARDS, MEASURE, PATTERN, ROLE
from double_study.telling.tables.shares import ASKED, MEAN, QUANTILES
from double_study.telling.tables.teaching import ALIKE, CUMULATED, RANK, RIGHT

EVERY_ANSWER = Dimension(
    "answer",
    ANSWER_GIVEN.heading,
    "The opener's answer to the double; in the table of spade raises, to 1♠.",
    ANSWER_GIVEN.wordings | SPADE_ANSWER.wordings,
)

_IN_FILES: tuple[Column, ...] = (
    *(SEAT, OPENING_BID, OVERCALL_BID, LEVEL, CALL_OR_ANY, MESSAGE, REASON_GIVEN, EVERY_ANSWER),
    *(
        ADVANCER_CALL,
        REOPENING_CALL,
        FINAL_CONTRACT,
        DEALS,
        OF,
        ESTIMATE,
        EXACT,
        Z,
        STEP,
        GIVEN,
        SESSION,
        UNTIL,
        OF_ALL,
        GROUPING,
        CASE,
    ),
    *(
        RANK,
        TOPIC,
        CUMULATED,
        PITFALL,
        ALIKE,
        RIGHT,
        MEASURE,
        ASKED,
        MEAN,
        *QUANTILES,
        POINTS,
        ROLE,
    ),
    *(CARDS, PATTERN, OPENER_CARDS, OUTCOME, LAST_LEVEL, OVER_TRUMPS, OPENER_SPADES, DOUBLES),
    *(DECLARER, TRUMPS, CARDS_IN_THEIRS, PENALTY_OUTCOME, RATIO, PROBABILITY, FAMILY, CELLS),
    *(POOLED, STATISTIC, DF, P_VALUE, FAILS_BELOW, PASSES),
    *(OVERCALLED, OF_OVERCALLS, DOUBLED, NAIVE, AFTER_OVERCALL, GIVEN_DOUBLE),
)
_IN_PAGES: tuple[Column, ...] = (
    *(agreements.AGREEMENT, agreements.DIFFERENCE, agreements.FIRST_ONLY, agreements.SECOND_ONLY),
    *(agreements.CAME_TO, agreements.SAME_HAND, agreements.UNMENTIONED, agreements.DOUBLED_BEFORE),
    *(agreements.SETTING, agreements.MEANING, agreements.STANDING, agreements.MOVED),
    *(agreements.BY, agreements.REACH, agreements.CEILING, agreements.CHANCE),
    *(prices.DOUBLES, prices.WAITED, prices.LOST, prices.EXACT_DOUBLES, prices.EXACT_WAITED),
    *(prices.PASS_CARDS, prices.REOPENS_ON, MAJOR, OPENER_HOLDS),
    *(AFTER_OPENING, EXPECTED, DRAWN, *odds.COLUMNS),
)


def _every(declared: tuple[Column, ...]) -> dict[str, Column]:
    """By name, an estimate's limits among them."""
    columns = {str(column): column for column in declared}
    for estimate in declared:
        if isinstance(estimate, Estimate):
            columns |= {str(column): column for column in estimate.columns}
    return columns


COLUMNS = _every(_IN_FILES)
"""Every column of a table file by its name."""

SHOWN = _every(_IN_PAGES) | COLUMNS
"""Every column that a table for readers may show."""
