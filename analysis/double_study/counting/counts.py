"""What was dealt, counted so that the deals themselves can be compared with exact values.

These counts look at few of the deals, enough to find a fault of the dealer at little cost to the
run. Deals are picked by their fingerprint.

Whether deals are independent: what becomes of them by stretch of the run, and by the deal before.

Every interval of the study takes deals for independent. Two tables can tell: how far each deal went
in each stretch of the run, whose spread is known for independent deals, and how far each deal went
beside the one before it. Both look at the first deals of every block only. A stretch is a part of
two neighbouring blocks, so deals that repeat in the next block make the spread too wide. Which
stretch a deal is in depends on its block's number and its place there: the tables of parts add up to
those of the whole, however a run's blocks are shared out.

The final contracts of the doubles: who plays what, on what fit, with what points.

What follows a pass of the responder's: who speaks, and whether a penalty is had after all.

What the study counts: the tables of its tally, each declared once.

To count something new, add a :class:`~double_study.counting.tally.Count` to :data:`COUNTS`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import (
    HEARTS,
    MAJORS,
    NOTRUMP,
    SPADES,
    SUIT_NAMES,
    Bid,
    bid_code,
)
from double_study.cards.deal import BLOCK_DEALS
from double_study.cards.hands import (
    HCP_BITS,
    LENGTH_BITS,
    LENGTH_SHIFT,
    N_HCP,
    PARTNERSHIP_SHAPES,
    SHAPE,
    SHAPE_HCP_BITS,
    class_of,
    shape_of,
)
from double_study.columns import COLUMNS, Combination
from double_study.counting.tally import BITS, Blocks, Count, Counts, fingerprints
from double_study.rules.answer import SPADE_RAISE, SpadeRaiseSituation
from double_study.rules.auction import Auctions, Doubles
from double_study.rules.contested_end import FIT_TRUMPS
from double_study.rules.response import (
    ABOVE_CEILING,
    DOUBLE_CALL,
    FEWEST_TO_DEFEND,
    ONE_LEVEL_MAJOR_CALL,
    PASS_CALL,
    PROMISED_CARDS,
    double_needs,
)
from double_study.rules.terms import (
    SEQUENCE,
    cheapest_level,
    opener_holds,
)

CHECKED_SHARE = 8
"""One deal in so many is looked at for its cards, hands and splits."""


_NO_FLAGS = np.uint32((1 << SHAPE_HCP_BITS) - 1)


@lru_cache(maxsize=1)
def looked_at(auctions: Auctions) -> NDArray[np.intp]:
    """The deals looked at, whose fingerprint is among the lowest."""
    return np.flatnonzero(fingerprints(auctions) < np.uint64((1 << BITS) // CHECKED_SHARE))


@lru_cache(maxsize=1)
def _words(auctions: Auctions) -> NDArray[np.uint32]:
    """The words of their hands, flags left out; shape (4, deals)."""
    return auctions.words.take(looked_at(auctions), axis=1) & _NO_FLAGS


def _partners(auctions: Auctions) -> NDArray[np.uint32]:
    """Seats 1 and 3 as one word: no length passes 13 and no points 40, so nothing carries."""
    north, _, south, _ = _words(auctions)
    return north + south


def _length(words: NDArray[np.uint32], suit: int) -> NDArray[np.uint32]:
    return (words >> np.uint32(LENGTH_SHIFT[suit])) & np.uint32(15)


def _hand_classes(auctions: Auctions) -> tuple[ArrayLike, ...]:
    shape, hcp = np.divmod(class_of(_words(auctions)), np.int32(N_HCP))
    return np.array(COLUMNS["each_seat"].names)[:, np.newaxis], shape, hcp


@lru_cache
def _partnership_shape_codes() -> NDArray[np.int16]:
    """The position of a partnership's lengths in PARTNERSHIP_SHAPES, by the word's length bits."""
    codes = np.zeros(1 << LENGTH_BITS, dtype=np.int16)
    bits = (PARTNERSHIP_SHAPES.astype(np.int64) << (np.array(LENGTH_SHIFT) - HCP_BITS)).sum(axis=1)
    codes[bits] = np.arange(len(bits))
    return codes


def _major_splits(auctions: Auctions) -> tuple[ArrayLike, ...]:
    words = _partners(auctions), _words(auctions)[1]
    return tuple(_length(word, suit) for suit in (HEARTS, SPADES) for word in words)


_EVERY_EIGHTH_BIT = np.uint64(0x0101010101010101)
_BYTE = 255


@dataclass(frozen=True)
class _CardCount(Count):
    """A table by card and seat, added up bit by bit: far quicker than one cell at a time."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of the auctions of some blocks; int64, of :attr:`shape`."""
        cards = auctions.cards.take(looked_at(auctions), axis=1)
        table = np.zeros((COLUMNS["each_seat"].size, 64), dtype=np.int64)
        for bit in range(8):
            # Every eighth card at once: its sum over as many deals as a byte can count.
            lanes = (cards >> np.uint64(bit)) & _EVERY_EIGHTH_BIT
            sums = np.add.reduceat(lanes, np.arange(0, lanes.shape[1], _BYTE), axis=1)
            by_byte = sums.astype("<u8").view(np.uint8).reshape(COLUMNS["each_seat"].size, -1, 8)
            table[:, bit::8] = by_byte.sum(axis=1)
        return table[:, : COLUMNS["card"].size].T


PARTNERSHIP_SHAPE = Combination(SUIT_NAMES, PARTNERSHIP_SHAPES.tolist())


CARDS_BY_SEAT = _CardCount("cards_by_seat", ("card", "each_seat"), lambda auctions: ())
HAND_CLASSES = Count("hand_classes", ("each_seat", SHAPE, "hcp"), _hand_classes)
PARTNERSHIP_LENGTHS = Count(
    "partnership_lengths",
    (PARTNERSHIP_SHAPE,),
    lambda a: (_partnership_shape_codes()[_partners(a) >> np.uint32(HCP_BITS)],),
)
PARTNERSHIP_HCP = Count(
    "partnership_hcp",
    ("partners_hcp",),
    lambda a: (_partners(a) & np.uint32((1 << HCP_BITS) - 1),),
)
MAJOR_SPLITS = Count(
    "major_splits",
    (
        "hearts_1_and_3",
        "hearts_2",
        "spades_1_and_3",
        "spades_2",
    ),
    _major_splits,
)

DEALT_COUNTS = (
    CARDS_BY_SEAT,
    HAND_CLASSES,
    PARTNERSHIP_LENGTHS,
    PARTNERSHIP_HCP,
    MAJOR_SPLITS,
)
"""The tables that check the dealer. Seats 1 and 3 are partners; the other side has the rest."""


LOOKED_AT = BLOCK_DEALS // CHECKED_SHARE
"""Deals looked at in each block, its first."""

STRETCH = 1250
"""Deals that each of two blocks gives to a stretch."""

STRETCHES = 1000
"""Stretches told apart; the next ones are added to the first again, so the table never grows."""

STAGES = COLUMNS["stage"].names[1:]
"""The stages of a deal that was opened."""

_OUTCOMES = (
    (0, COLUMNS["stage"].names[0]),
    *((seat, stage) for seat in COLUMNS["seat"].names for stage in STAGES),
)
OUTCOME = Combination(("any_seat", "stage"), _OUTCOMES)
"""The opener's seat, 0 for none, and how far the auction went."""

NEXT_OUTCOME = Combination(
    ("next_seat", "next_stage"),
    _OUTCOMES,
)


def _outcomes(auctions: Auctions, first: int, end: int) -> NDArray[np.intp]:
    """What became of the deals from ``first`` to before ``end``, as codes of OUTCOME."""
    seat = auctions.openings.seat[first:end].astype(np.intp)
    bid = auctions.openings.bid[first:end]
    outcome = np.maximum(len(STAGES) * (seat - 1) + 1, 0) + ((bid >= 0) & (bid < NOTRUMP))
    overcalled = auctions.responses
    here = slice(*np.searchsorted(overcalled.rows, (first, end)))
    outcome[overcalled.rows[here] - first] += 1 + (overcalled.call[here] == DOUBLE_CALL)
    return outcome


def _of_blocks(auctions: Auctions, blocks: Blocks) -> Iterator[tuple[int, NDArray[np.intp]]]:
    """The number of each block, and what became of its deals looked at."""
    first = 0
    for block, deals in blocks:
        yield block, _outcomes(auctions, first, first + min(deals, LOOKED_AT))
        first += deals


@dataclass(frozen=True)
class _StretchCount(Count):
    """What became of deals, by stretch of the run."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of some blocks; int64, of :attr:`shape`."""
        table = np.zeros(self.shape, dtype=np.int64)
        for block, outcomes in _of_blocks(auctions, blocks):
            stretch = block // 2 * (LOOKED_AT // STRETCH)
            for start in range(0, len(outcomes), STRETCH):
                part = outcomes[start : start + STRETCH]
                table[stretch % STRETCHES] += np.bincount(part, minlength=OUTCOME.size)
                stretch += 1
        return table


@dataclass(frozen=True)
class _NeighbourCount(Count):
    """What became of two successive deals of a block."""

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of some blocks; int64, of :attr:`shape`."""
        both = np.zeros(OUTCOME.size**2, dtype=np.int64)
        for _, outcomes in _of_blocks(auctions, blocks):
            both_outcomes = OUTCOME.size * outcomes[:-1] + outcomes[1:]
            both += np.bincount(both_outcomes, minlength=len(both))
        return both.reshape(self.shape)


OUTCOMES_BY_STRETCH = _StretchCount(
    "outcomes_by_stretch", ("stretch", OUTCOME), lambda auctions: ()
)
NEIGHBOURS = _NeighbourCount("neighbours", (OUTCOME, NEXT_OUTCOME), lambda auctions: ())

INDEPENDENCE_COUNTS = (OUTCOMES_BY_STRETCH, NEIGHBOURS)
"""The tables that check that deals are independent."""


MOST_OVER = 4
"""Tricks bid above or below the combined trumps that are still told apart."""


def sequence_of(a: Auctions) -> ArrayLike:
    """The opening and overcall of each deal that was doubled."""
    return a.responses.sequence[a.doubles.rows]


def _level(d: Doubles) -> np.ndarray:
    """The level of the overcall."""
    return np.broadcast_to(d.responder.level, d.trumps.shape)


def _last_level(d: Doubles) -> ArrayLike:
    """The level of the last bid, 0 where the auction goes on."""
    return np.where(d.last_bid < 0, 0, d.last_bid // 5 + 1)


def _combined(d: Doubles) -> np.ndarray:
    return d.responder.hands.lengths + d.opener.hands.lengths


def _best_fits(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    fit = d.trumps >= FIT_TRUMPS, _combined(d).max(axis=0)
    return _level(d), d.advancer_call, d.final_contract, _last_level(d), *fit


def _contracts(a: Auctions) -> tuple[ArrayLike, ...]:
    d = a.doubles
    contract = d.final_contract, d.declarer, _last_level(d), d.trumps
    return _level(d), d.advancer_call, *contract


def _combined_hcp(d: Doubles) -> np.ndarray:
    return d.responder.hands.hcp + d.opener.hands.hcp


def _landing_points(a: Auctions) -> tuple[ArrayLike, ...]:
    """Tricks bid in a suit above the combined trumps in it, beside the combined points."""
    d = a.doubles
    rows = np.flatnonzero(d.trumps > 0)
    over = d.last_bid[rows] // 5 + 7 - d.trumps[rows]
    over = np.clip(over, -MOST_OVER, MOST_OVER)
    return _level(d)[rows], d.final_contract[rows], over, _combined_hcp(d)[rows]


CONTRACTS = Count(
    "contracts",
    ("level", "advancer", "final_contract", "declarer", "last_level", "trumps"),
    _contracts,
)
BEST_FITS = Count(
    "best_fits",
    ("level", "advancer", "final_contract", "last_level", "in_fit", "longest_fit"),
    _best_fits,
)
COMBINED_HCP = Count(
    "combined_hcp",
    (SEQUENCE, "answer", "combined_hcp"),
    lambda a: (sequence_of(a), a.doubles.answer, _combined_hcp(a.doubles)),
)
LANDING_POINTS = Count(
    "landing_points", ("level", "final_contract", "over_trumps", "combined_hcp"), _landing_points
)

CONTRACT_COUNTS = (CONTRACTS, BEST_FITS, COMBINED_HCP, LANDING_POINTS)
"""The tables of what the doubles come to."""


def _passes(a: Auctions) -> tuple[ArrayLike, ...]:
    r, p = a.responses, a.passes
    # Penalty passes come first.
    made = r.call[p.rows] == PASS_CALL
    return r.seat[p.rows], r.sequence[p.rows], made, p.advancer_call, p.reopening


def _penalties(a: Auctions) -> tuple[ArrayLike, ...]:
    r, p = a.responses, a.penalties
    cards = r.situation.in_overcalled[p.rows] > FEWEST_TO_DEFEND
    return r.sequence[p.rows], cards, p.advancer_call, p.reopening


PASS_COUNTS = Count("passes", ("seat", SEQUENCE, "pass_made", "advancer", "reopening"), _passes)
PENALTIES = Count("penalties", (SEQUENCE, "cards_in_theirs", "advancer", "reopening"), _penalties)
"""Hands that would double for penalties, on four cards or on five and more.

They pass, to defend, by an agreement for which four are enough, and the penalty is had where the
opener reopens with a double. By an agreement that asks five, hands with four call something else.
"""


ABOVE_CEILING_CALL = COLUMNS["call"].names[ABOVE_CEILING]


def _every_opening(a: Auctions) -> tuple[ArrayLike, ...]:
    return a.openings.seat, a.openings.bid.astype(np.int64) + 1


def _openings_by_seat(a: Auctions) -> tuple[ArrayLike, ...]:
    rows = looked_at(a)
    bids = a.opening_bids.take(rows, axis=1).astype(np.intp)
    return np.broadcast_to(np.array(COLUMNS["seat"].names)[:, np.newaxis], bids.shape), bids + 1


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


EVERY_OPENING = Count("openings", ("any_seat", "any_opening"), _every_opening)
OPENINGS_BY_SEAT = Count("openings_by_seat", ("seat", "any_opening"), _openings_by_seat)
"""What each hand opens in its seat, whatever those before it do; for the deals looked at."""

NEXT_HANDS = Count("next_hands", ("seat", "opening", "action"), _next_hands)
CALL_COUNTS = Count("calls", ("seat", SEQUENCE, "call"), _calls)
DOUBLE_COUNTS = Count(
    "doubles",
    ("seat", SEQUENCE, "reason", "advancer", "answer", "final_contract"),
    _doubles,
)
DOUBLE_SHAPES = Count(
    "double_shapes",
    (SEQUENCE, SHAPE),
    lambda a: (sequence_of(a), shape_of(a.doubles.responder.hands.words)),
)
DOUBLE_HCP = Count(
    "double_hcp", (SEQUENCE, "hcp"), lambda a: (sequence_of(a), a.doubles.responder.hands.hcp)
)
DOUBLE_POINTS = Count(
    "double_points",
    (SEQUENCE, "reason", "total_points"),
    lambda a: (sequence_of(a), a.doubles.reason, a.doubles.responder.total_points),
)
PROMISED = Count("promised", (SEQUENCE, "responder_cards", "opener_cards"), _promised_lengths)
FIRST_SEAT_FITS = Count("first_seat_fits", (SEQUENCE, "reason", "opener_cards"), _first_seat_fits)
"""Opener's cards in the promised suit given the double, the longer of two; opening in first seat."""

OPENER_MAJORS = Count(
    "opener_majors", (SEQUENCE, "major", "responder_cards", "opener_holds"), _opener_majors
)
JUMP_TOO_WEAK = Count("jump_too_weak", (SEQUENCE,), _jump_too_weak)
SPADE_RAISES = Count(
    "spade_raises",
    ("minor_opening", "opener_spades", "responder_spades", "spade_answer"),
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
