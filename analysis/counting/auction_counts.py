"""What the study counts: the tables of its tally, each declared once.

To count something new, add a :class:`~analysis.counting.tally.Count` to :data:`COUNTS`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from analysis.bidding.after_overcall import PAIRS
from analysis.bidding.auction import Auctions
from analysis.bidding.contested_answer import ANSWERS
from analysis.bidding.double import PROMISED_CARDS, REASON, double_needs
from analysis.bidding.final_contract import FIT_TRUMPS, RESTS
from analysis.bidding.overcall import OVERCALL
from analysis.bidding.response import ABOVE_CEILING, CALLS, ONE_LEVEL_MAJOR_CALL, PASS_CALL
from analysis.bidding.rules import cheapest_level
from analysis.bidding.spade_raise import SPADE_RAISE, SpadeRaiseSituation
from analysis.bidding.stages import Doubles
from analysis.cards.bids import (
    HEARTS,
    MAJORS,
    MINORS,
    PASS,
    SPADES,
    SUIT_NAMES,
    SUITS,
    Bid,
    bid_code,
)
from analysis.cards.hand_classes import N_HCP, SHAPES, shape_of
from analysis.counting.dealt_counts import DEALT_COUNTS, looked_at
from analysis.counting.independence_counts import INDEPENDENCE_COUNTS
from analysis.counting.tally import Axis, Count

SEAT, OPENING, OVERCALL_COLUMN, CALL = "seat", "opening", "overcall", "call"
ACTION = "action"
REASON_COLUMN, ANSWER_COLUMN, REST_COLUMN = "reason", "answer", "rest"
OPENER_CARDS, MESSAGE = "opener_cards", "message"

ABOVE_CEILING_CALL = CALLS[ABOVE_CEILING]

ONE_BIDS = tuple(str(Bid(1, suit)) for suit in SUITS)
MAX_TOTAL = 50
MAX_COMBINED = 40

seats = Axis.of(SEAT, range(1, 5))
openings = Axis.of(OPENING, ONE_BIDS)
pairs = Axis(
    (OPENING, OVERCALL_COLUMN), tuple((ONE_BIDS[opening], str(bid)) for opening, bid in PAIRS)
)
calls = Axis.of(CALL, CALLS)
reasons = Axis.of(REASON_COLUMN, REASON.names)
answers = Axis.of(ANSWER_COLUMN, ANSWERS)
rests = Axis.of(REST_COLUMN, RESTS)

FEWER, MANY = 2, 4
opener_holds = Axis.of("opener_holds", (f"0 to {FEWER}", "3", f"{MANY} or more"))


MOST_OVER = 4
"""Tricks bid above or below the combined trumps that are still told apart."""
over_trumps = Axis.of("over_trumps", range(-MOST_OVER, MOST_OVER + 1))
OVERCALL_LEVELS = (1, 2, 3, 4)
overcall_levels = Axis.of("level", OVERCALL_LEVELS)
in_fit = Axis.of("in_fit", (0, 1))


def _length(column: str) -> Axis:
    return Axis.of(column, range(14))


def _every_opening(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.openings.seat, a.openings.bid.astype(np.int64) + 1


def _openings_by_seat(a: Auctions) -> tuple[ArrayLike, ...]:
    rows = looked_at(a)
    bids = a.opening_bids.take(rows, axis=1).astype(np.intp)
    return np.broadcast_to(np.arange(len(bids))[:, np.newaxis], bids.shape), bids + 1


def _next_hands(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.next_hands.seat - 1, a.next_hands.suit, a.next_hands.call


def _calls(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.responses.seat - 1, a.responses.pair, a.responses.call


def _pair(a: Auctions) -> ArrayLike:
    """The pair of each deal that was doubled."""
    return a.responses.pair[a.doubles.rows]


def _doubles(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    return a.responses.seat[d.rows] - 1, _pair(a), d.reason, d.answer, d.rest


def _last_level(d: Doubles) -> ArrayLike:
    """The level of the last bid, 0 where the auction goes on."""
    return np.where(d.last_bid < 0, 0, d.last_bid // 5 + 1)


def _promised_lengths(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    suit = d.opener.longest_promised
    at = np.arange(len(suit))
    return _pair(a), d.responder.hands.lengths[suit, at], d.opener.hands.lengths[suit, at]


def _combined(d: Doubles) -> np.ndarray:
    return d.responder.hands.lengths + d.opener.hands.lengths


def _first_seat_fits(a: Auctions) -> tuple[ArrayLike, ...]:
    """Doubles of an opening in first seat."""
    d, r = a.doubles, a.responses
    rows = np.flatnonzero(r.seat[d.rows] == 1)
    return r.pair[d.rows[rows]], d.reason[rows], d.opener.in_longest_promised[rows]


def _opener_majors(a: Auctions) -> tuple[ArrayLike, ...]:
    """Deals opened in first seat, once for each major that nobody has bid."""
    r = a.responses
    first = r.seat == 1
    rows = [np.flatnonzero(r.situation.is_unbid(suit) & first) for suit in MAJORS]
    row = np.concatenate(rows)
    major = np.repeat(np.arange(len(MAJORS)), [len(part) for part in rows])
    suit = major + HEARTS
    opener = r.opener.lengths[suit, row]
    # Fewer than three, three, four or more.
    held = np.clip(opener, FEWER, MANY) - FEWER
    return r.pair[row], major, r.situation.hands.lengths[suit, row], held


def _best_fits(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    return _pair(a), d.rest, d.trumps >= FIT_TRUMPS, _combined(d).max(axis=0)


def _combined_hcp(d: Doubles) -> np.ndarray:
    return d.responder.hands.hcp + d.opener.hands.hcp


def _landing_points(a: Auctions) -> tuple[ArrayLike, ...]:
    """Tricks bid in a suit above the combined trumps in it, beside the combined points."""
    d = a.doubles
    rows = np.flatnonzero(d.trumps > 0)
    over = d.last_bid[rows] // 5 + 7 - d.trumps[rows]
    level = np.broadcast_to(d.responder.level, d.rest.shape)[rows]
    return (
        level - 1,
        d.rest[rows],
        np.clip(over, -MOST_OVER, MOST_OVER) + MOST_OVER,
        _combined_hcp(d)[rows],
    )


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
    return (r.pair[rows[(level > cheapest) & enough]],)


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


_first_calls = Axis.of(OPENING, (PASS, *(str(Bid.from_code(code)) for code in range(35))))

EVERY_OPENING = Count("openings", (Axis.of(SEAT, range(5)), _first_calls), _every_opening)
OPENINGS_BY_SEAT = Count("openings_by_seat", (seats, _first_calls), _openings_by_seat)
"""What each hand opens in its seat, whatever those before it do; for the deals looked at."""

NEXT_HANDS = Count("next_hands", (seats, openings, Axis.of(ACTION, OVERCALL.names)), _next_hands)
CALL_COUNTS = Count("calls", (seats, pairs, calls), _calls)
DOUBLE_COUNTS = Count("doubles", (seats, pairs, reasons, answers, rests), _doubles)
DOUBLE_SHAPES = Count(
    "double_shapes",
    (pairs, Axis(("clubs", "diamonds", "hearts", "spades"), tuple(map(tuple, SHAPES.tolist())))),
    lambda a: (_pair(a), shape_of(a.doubles.responder.hands.words)),
)
DOUBLE_HCP = Count(
    "double_hcp",
    (pairs, Axis.of("hcp", range(N_HCP))),
    lambda a: (_pair(a), a.doubles.responder.hands.hcp),
)
DOUBLE_POINTS = Count(
    "double_points",
    (pairs, reasons, Axis.of("total_points", range(MAX_TOTAL))),
    lambda a: (_pair(a), a.doubles.reason, a.doubles.responder.total_points),
)
PROMISED = Count(
    "promised", (pairs, _length("responder_cards"), _length(OPENER_CARDS)), _promised_lengths
)
FIRST_SEAT_FITS = Count(
    "first_seat_fits", (pairs, reasons, _length(OPENER_CARDS)), _first_seat_fits
)
"""Opener's cards in the promised suit given the double, the longer of two; opening in first seat."""

OPENER_MAJORS = Count(
    "opener_majors",
    (
        pairs,
        Axis.of("major", [SUIT_NAMES[suit] for suit in MAJORS]),
        _length("responder_cards"),
        opener_holds,
    ),
    _opener_majors,
)
LANDINGS = Count(
    "landings",
    (pairs, rests, Axis.of("level", range(8)), _length("trumps")),
    lambda a: (_pair(a), a.doubles.rest, _last_level(a.doubles), a.doubles.trumps),
)
BEST_FITS = Count(
    "best_fits",
    (pairs, rests, in_fit, _length("longest_fit")),
    _best_fits,
)
COMBINED_HCP = Count(
    "combined_hcp",
    (pairs, answers, Axis.of("combined_hcp", range(MAX_COMBINED + 1))),
    lambda a: (_pair(a), a.doubles.answer, _combined_hcp(a.doubles)),
)
LANDING_POINTS = Count(
    "landing_points",
    (overcall_levels, rests, over_trumps, Axis.of("combined_hcp", range(MAX_COMBINED + 1))),
    _landing_points,
)
JUMP_TOO_WEAK = Count("jump_too_weak", (pairs,), _jump_too_weak)
SPADE_RAISES = Count(
    "spade_raises",
    (
        Axis.of(OPENING, [ONE_BIDS[suit] for suit in MINORS]),
        _length("opener_spades"),
        _length("responder_spades"),
        Axis.of(ANSWER_COLUMN, SPADE_RAISE.names),
    ),
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
    LANDINGS,
    BEST_FITS,
    COMBINED_HCP,
    LANDING_POINTS,
    JUMP_TOO_WEAK,
    SPADE_RAISES,
    OPENINGS_BY_SEAT,
    *DEALT_COUNTS,
    *INDEPENDENCE_COUNTS,
)
"""Every table of a run's tally."""
