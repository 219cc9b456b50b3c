"""What follows a pass of the responder's: who speaks, and whether a penalty is had after all."""

from __future__ import annotations

from numpy.typing import ArrayLike

from analysis.bidding.advancer import ADVANCER_CALL
from analysis.bidding.after_overcall import SEQUENCE
from analysis.bidding.auction import Auctions
from analysis.bidding.reopening import REOPENING_CALL
from analysis.bidding.response import CALL, FEWEST_TO_DEFEND, PASS_CALL, PENALTY_PASS_CALL
from analysis.cards.bids import SEAT
from analysis.counting.tally import Count
from analysis.vocabulary.dimension import Dimension

PASS_MADE = Dimension(
    str(CALL),
    CALL.heading,
    "The responder's pass: to defend, or for want of a call.",
    {CALL.names[code]: CALL.wordings[CALL.names[code]] for code in (PENALTY_PASS_CALL, PASS_CALL)},
)
CARDS_IN_THEIRS = Dimension(
    "cards_in_theirs",
    "cards in their suit",
    "The responder's cards in the suit overcalled.",
    {"four": "four", "five_or_more": "five or more"},
)


def _passes(a: Auctions) -> tuple[ArrayLike, ...]:
    r, p = a.responses, a.passes
    # Penalty passes come first.
    made = r.call[p.rows] == PASS_CALL
    return r.seat[p.rows], r.sequence[p.rows], made, p.advancer_call, p.reopening


def _penalties(a: Auctions) -> tuple[ArrayLike, ...]:
    r, p = a.responses, a.penalties
    cards = r.situation.in_overcalled[p.rows] > FEWEST_TO_DEFEND
    return r.sequence[p.rows], cards, p.advancer_call, p.reopening


PASS_COUNTS = Count("passes", (SEAT, SEQUENCE, PASS_MADE, ADVANCER_CALL, REOPENING_CALL), _passes)
PENALTIES = Count(
    "penalties", (SEQUENCE, CARDS_IN_THEIRS, ADVANCER_CALL, REOPENING_CALL), _penalties
)
"""Hands that would double for penalties, on four cards or on five and more.

They pass, to defend, by an agreement for which four are enough, and the penalty is had where the
opener reopens with a double. By an agreement that asks five, hands with four call something else.
"""
