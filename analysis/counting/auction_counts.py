"""What the study counts: the tables of its tally, each declared once.

To count something new, add a :class:`~analysis.counting.tally.Count` to :data:`COUNTS`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from analysis.bidding.advancer import ADVANCER_CALL
from analysis.bidding.after_overcall import ONE_BIDS, OPENING_BID, SEQUENCE
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import PROMISED_CARDS, REASON_GIVEN, double_needs
from analysis.bidding.final_contract import FINAL_CONTRACT
from analysis.bidding.holdings import (
    MAJOR,
    OPENER_CARDS,
    OPENER_HOLDS,
    RESPONDER_CARDS,
    opener_holds,
)
from analysis.bidding.overcall import ACTION
from analysis.bidding.response import ABOVE_CEILING, CALL, ONE_LEVEL_MAJOR_CALL, PASS_CALL
from analysis.bidding.rules import cheapest_level
from analysis.bidding.spade_raise import SPADE_ANSWER, SPADE_RAISE, SpadeRaiseSituation
from analysis.cards.bids import HEARTS, MAJORS, MINORS, PASS, SEAT, SPADES, Bid, bid_code
from analysis.cards.hand_classes import HCP, SHAPE, shape_of
from analysis.counting.contract_counts import CONTRACT_COUNTS, sequence_of
from analysis.counting.dealt_counts import DEALT_COUNTS, EVERY_SEAT, looked_at
from analysis.counting.independence_counts import INDEPENDENCE_COUNTS
from analysis.counting.pass_counts import PASS_COUNTS, PENALTIES
from analysis.counting.tally import Count
from analysis.vocabulary.dimension import Dimension, Numbers

ABOVE_CEILING_CALL = CALL.names[ABOVE_CEILING]

EVERY_BID = Dimension(
    "opening",
    "opening",
    "The opening bid, or pass.",
    {PASS: PASS} | {str(bid): bid.symbol for bid in map(Bid.from_code, range(35))},
)
MINOR_OPENING = Dimension(
    "opening",
    "opening",
    "The opening bid, a minor.",
    {name: OPENING_BID.wordings[name] for name in (str(ONE_BIDS[suit]) for suit in MINORS)},
)
POINTS = Numbers(
    "total_points",
    "total points",
    "The responder's, without length in the overcaller's suit.",
    range(50),
    "total points",
)
SPADES_OF_OPENER, SPADES_OF_RESPONDER = (
    Numbers(f"{who}_spades", f"{who}'s spades", f"The {who}'s spades.", range(14), "cards")
    for who in ("opener", "responder")
)


def _every_opening(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.openings.seat, a.openings.bid.astype(np.int64) + 1


def _openings_by_seat(a: Auctions) -> tuple[ArrayLike, ...]:
    rows = looked_at(a)
    bids = a.opening_bids.take(rows, axis=1).astype(np.intp)
    return np.broadcast_to(np.array(SEAT.names)[:, np.newaxis], bids.shape), bids + 1


def _next_hands(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.next_hands.seat, a.next_hands.suit, a.next_hands.action


def _calls(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.responses.seat, a.responses.sequence, a.responses.call


def _doubles(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    seat = a.responses.seat[d.rows]
    return seat, sequence_of(a), d.reason, d.advancer_call, d.answer, d.final_contract


def _promised_lengths(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    suit = d.opener.longest_promised
    at = np.arange(len(suit))
    return sequence_of(a), d.responder.hands.lengths[suit, at], d.opener.hands.lengths[suit, at]


def _first_seat_fits(a: Auctions) -> tuple[ArrayLike, ...]:
    """Doubles of an opening in first seat."""
    d, r = a.doubles, a.responses
    rows = np.flatnonzero(r.seat[d.rows] == 1)
    return r.sequence[d.rows[rows]], d.reason[rows], d.opener.in_longest_promised[rows]


def _opener_majors(a: Auctions) -> tuple[ArrayLike, ...]:
    """Deals opened in first seat, once for each major that nobody has bid."""
    r = a.responses
    first = r.seat == 1
    rows = [np.flatnonzero(r.situation.is_unbid(suit) & first) for suit in MAJORS]
    row = np.concatenate(rows)
    major = np.repeat(np.arange(len(MAJORS)), [len(part) for part in rows])
    suit = major + HEARTS
    held = opener_holds(r.opener.lengths[suit, row])
    return r.sequence[row], major, r.situation.hands.lengths[suit, row], held


def _jump_too_weak(a: Auctions) -> tuple[ArrayLike, ...]:
    """Passes over a jump on what the double promises, with the points for the cheapest level."""
    r = a.responses
    # Few hands pass on what the double promises: the others need not be looked at.
    rows = np.flatnonzero(
        (r.call == PASS_CALL) & (r.situation.in_shortest_promised >= PROMISED_CARDS)
    )
    opening, overcall, level = (part[rows] for part in r.situation.auction)
    cheapest = cheapest_level(overcall, opening)
    enough = r.situation.total_points[rows] >= double_needs(a.agreement, cheapest, overcall)
    return (r.sequence[rows[(level > cheapest) & enough]],)


def _spade_raises(a: Auctions) -> tuple[ArrayLike, ...]:
    r = a.responses
    suit, overcall, level = r.situation.auction
    rows = np.flatnonzero(
        (r.call == ONE_LEVEL_MAJOR_CALL) & (bid_code(level, overcall) == Bid(1, HEARTS).code)
    )
    opener = r.opener.rows(rows)
    responder = r.situation.hands.rows(rows)
    raised = SPADE_RAISE.decide(SpadeRaiseSituation(opener, a.agreement)).name
    return suit[rows], opener.lengths[SPADES], responder.lengths[SPADES], raised


EVERY_OPENING = Count("openings", (EVERY_SEAT, EVERY_BID), _every_opening)
OPENINGS_BY_SEAT = Count("openings_by_seat", (SEAT, EVERY_BID), _openings_by_seat)
"""What each hand opens in its seat, whatever those before it do; for the deals looked at."""

NEXT_HANDS = Count("next_hands", (SEAT, OPENING_BID, ACTION), _next_hands)
CALL_COUNTS = Count("calls", (SEAT, SEQUENCE, CALL), _calls)
DOUBLE_COUNTS = Count(
    "doubles",
    (SEAT, SEQUENCE, REASON_GIVEN, ADVANCER_CALL, ANSWER_GIVEN, FINAL_CONTRACT),
    _doubles,
)
DOUBLE_SHAPES = Count(
    "double_shapes",
    (SEQUENCE, SHAPE),
    lambda a: (sequence_of(a), shape_of(a.doubles.responder.hands.words)),
)
DOUBLE_HCP = Count(
    "double_hcp", (SEQUENCE, HCP), lambda a: (sequence_of(a), a.doubles.responder.hands.hcp)
)
DOUBLE_POINTS = Count(
    "double_points",
    (SEQUENCE, REASON_GIVEN, POINTS),
    lambda a: (sequence_of(a), a.doubles.reason, a.doubles.responder.total_points),
)
PROMISED = Count("promised", (SEQUENCE, RESPONDER_CARDS, OPENER_CARDS), _promised_lengths)
FIRST_SEAT_FITS = Count("first_seat_fits", (SEQUENCE, REASON_GIVEN, OPENER_CARDS), _first_seat_fits)
"""Opener's cards in the promised suit given the double, the longer of two; opening in first seat."""

OPENER_MAJORS = Count(
    "opener_majors", (SEQUENCE, MAJOR, RESPONDER_CARDS, OPENER_HOLDS), _opener_majors
)
JUMP_TOO_WEAK = Count("jump_too_weak", (SEQUENCE,), _jump_too_weak)
SPADE_RAISES = Count(
    "spade_raises",
    (MINOR_OPENING, SPADES_OF_OPENER, SPADES_OF_RESPONDER, SPADE_ANSWER),
    _spade_raises,
)

COUNTS = (
    EVERY_OPENING,
    NEXT_HANDS,
    CALL_COUNTS,
    DOUBLE_COUNTS,
    DOUBLE_SHAPES,
    DOUBLE_HCP,
    DOUBLE_POINTS,
    PROMISED,
    FIRST_SEAT_FITS,
    OPENER_MAJORS,
    *CONTRACT_COUNTS,
    JUMP_TOO_WEAK,
    SPADE_RAISES,
    PASS_COUNTS,
    PENALTIES,
    OPENINGS_BY_SEAT,
    *DEALT_COUNTS,
    *INDEPENDENCE_COUNTS,
)
"""Every table of a run's tally."""
