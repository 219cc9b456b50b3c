"""The dictionary of columns: every column that a table file holds, as declared where it arises.

A table file may hold no column that is not here.
"""

from __future__ import annotations

from analysis.asking import odds
from analysis.bidding.advancer import ADVANCER_CALL
from analysis.bidding.after_overcall import LEVEL, MESSAGE, OPENING_BID, OVERCALL_BID
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import REASON_GIVEN
from analysis.bidding.final_contract import DECLARER, FINAL_CONTRACT
from analysis.bidding.holdings import MAJOR, OPENER_CARDS, OPENER_HOLDS
from analysis.bidding.reopening import REOPENING_CALL
from analysis.bidding.spade_raise import SPADE_ANSWER
from analysis.cards.bids import SEAT
from analysis.checking.comparison import CELLS, DF, FAILS_BELOW, PASSES, POOLED, STATISTIC
from analysis.checking.family import CASE, FAMILY
from analysis.counting.auction_counts import POINTS
from analysis.counting.contract_counts import LAST_LEVEL, OVER_TRUMPS, TRUMPS
from analysis.counting.pass_counts import CARDS_IN_THEIRS
from analysis.counting.sessions import SESSION, UNTIL
from analysis.counting.tally import DEALS
from analysis.exact.opener_majors import AFTER_OPENING, AFTER_OVERCALL, NAIVE
from analysis.exact.responses import PROBABILITY
from analysis.exact.table import CALL_OR_ANY
from analysis.lessons.check import DRAWN, EXPECTED
from analysis.lessons.pitfalls import PITFALL
from analysis.lessons.topics import TOPIC
from analysis.statistics.goodness_of_fit import EXACT, P_VALUE, Z
from analysis.statistics.intervals import ESTIMATE, OF
from analysis.telling.tables import agreements, prices
from analysis.telling.tables.contested import PENALTY_OUTCOME
from analysis.telling.tables.doubles import GROUPING, OF_ALL
from analysis.telling.tables.exact_doubles import DOUBLED, GIVEN_DOUBLE, OF_OVERCALLS, OVERCALLED
from analysis.telling.tables.funnel import GIVEN, STEP
from analysis.telling.tables.given_up import DOUBLES, RATIO
from analysis.telling.tables.partner import OPENER_SPADES, OUTCOME
from analysis.telling.tables.responder import CARDS, MEASURE, PATTERN, ROLE
from analysis.telling.tables.shares import ASKED, MEAN, QUANTILES
from analysis.telling.tables.teaching import ALIKE, CUMULATED, RANK, RIGHT
from analysis.vocabulary.column import Column
from analysis.vocabulary.dimension import Dimension
from analysis.vocabulary.measure import Estimate

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
