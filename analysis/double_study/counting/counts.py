"""The counts of the study.

A :class:`~double_study.counting.tally.Count` is a name, a stage of the auction and a list of columns;
to count something new, add one to :data:`COUNTS`. The columns of the auction are declared in
:mod:`double_study.rules.auction`, and the columns that only counts need are declared here.

Three kinds of counts check the deals rather than the bidding. One compares the cards dealt with exact
values, on one deal in :data:`CHECKED_SHARE`, picked by its fingerprint, so that the check is cheap. The
other two test whether deals are independent, which every interval of the study assumes. On the first
deals of every block they count how far each auction went, by stretch of the run and by how far the
previous deal's auction went. A stretch is a part of two neighbouring blocks, so if deals repeat in the
next block, the counts vary too much between stretches. The stretch of a deal depends only on its
block's number and its place there, so the tables of parts add up to those of the whole, however the
blocks are distributed.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from double_study.cards import hands
from double_study.cards.bids import HEARTS, MAJORS, NOTRUMP, SPADES, SUIT_NAMES
from double_study.cards.deal import BLOCK_DEALS
from double_study.cards.hands import SHAPE
from double_study.columns import COLUMNS, Column, Combination
from double_study.counting.tally import BITS, Blocks, Count, Counts, fingerprint
from double_study.rules import response
from double_study.rules.answer import AnswerSituation
from double_study.rules.auction import after_overcall, responder
from double_study.rules.batch import DEALS, TABLE_AT, Array, Batch, columns, stage
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import SEQUENCE, cheapest_level, opener_holds

# --- columns of doubles and passes that only counts need ---

columns(
    "doubled",
    total_points=lambda b: responder(b).total_points,
    shape=lambda b: hands.shape_of(b.hands("responder").words),
    hcp=lambda b: b.hands("responder").hcp,
    combined_hcp=lambda b: b.hands("responder").hcp + b.hands("opener").hcp,
    # The opener's longest promised suit.
    longest_promised=lambda b: (
        AnswerSituation(b.hands("opener"), *after_overcall(b)).longest_promised
    ),
    opener_cards=lambda b: b.hands("opener").length_in(b["longest_promised"]),
    responder_cards=lambda b: b.hands("responder").length_in(b["longest_promised"]),
    last_level=lambda b: b["last_bid"] // 5 + 1,
    longest_fit=lambda b: (b.hands("responder").lengths + b.hands("opener").lengths).max(axis=0),
    in_fit=lambda b: b["trumps"] >= FIT_TRUMPS,
)
stage("doubled", "doubled_in_first_seat", lambda b: b["seat"] == 1)
stage("doubled", "in_a_suit", lambda b: b["last_bid"] % 5 != NOTRUMP)
# Tricks bid less combined trumps; the lowest and the highest category include everything beyond.
_OVER = COLUMNS["over_trumps"].names
columns(
    "in_a_suit",
    over_trumps=lambda b: np.clip(b["last_bid"] // 5 + 7 - b["trumps"], _OVER[0], _OVER[-1]),
)


def _jump_too_weak(b: Batch) -> Array:
    """Return passes over a jump on hands that would double at the cheapest level."""
    # Few passes have the shape that the double promises, so the others are skipped.
    situation = b.decided("response").situation
    promise = (
        situation.in_shortest_promised >= response.PROMISED_CARDS
    ) & response.WITHIN_LIMITS.met(situation)
    few = b.where((b["call"] == response.PASS_CALL) & promise)
    cheapest = cheapest_level(few["overcalled_suit"], few["opening"])
    needs = response.double_needs(few.agreement, cheapest, few["overcalled_suit"])
    return few.rows[(few["level"] > cheapest) & (responder(few).total_points >= needs)]


stage("overcalled", "jump_too_weak", _jump_too_weak)
columns("passed", pass_made=lambda b: b["call"] == response.PASS_CALL)  # penalty passes come first
columns(
    "would_defend",
    cards_in_theirs=lambda b: (
        b.hands("responder").length_in(b["overcalled_suit"]) > response.FEWEST_TO_DEFEND
    ),
)
columns(
    "one_spade",
    opener_spades=lambda b: b.hands("opener").lengths[SPADES],
    responder_spades=lambda b: b.hands("responder").lengths[SPADES],
    minor_opening=lambda b: b["opening"],
)


def _unbid_majors(b: Batch) -> list[NDArray[np.intp]]:
    situation, first = b.decided("response").situation, b["seat"] == 1
    return [np.flatnonzero(situation.is_unbid(suit) & first) for suit in MAJORS]


def _major(b: Batch) -> Array:
    assert b.parent is not None  # noqa: S101 - it has a stage before it
    return np.repeat(np.arange(len(MAJORS)), [len(rows) for rows in _unbid_majors(b.parent)])


# Deals opened in first seat, once for each major that nobody has bid.
stage("overcalled", "unbid_major", lambda b: np.concatenate(_unbid_majors(b)))
columns(
    "unbid_major",
    major=_major,
    responder_cards=lambda b: b.hands("responder").length_in(b["major"] + HEARTS),
    opener_holds=lambda b: opener_holds(b.hands("opener").length_in(b["major"] + HEARTS)),
)

# --- what was dealt ---

CHECKED_SHARE = 8
"""One deal in this many is examined for its cards, hands and splits."""

PARTNERSHIP_SHAPE = Combination("partnership_shape", SUIT_NAMES, hands.PARTNERSHIP_SHAPES.tolist())


@lru_cache
def _partnership_shape_codes() -> NDArray[np.int16]:
    """Return the position in PARTNERSHIP_SHAPES of a partnership's lengths, by length bits."""
    codes = np.zeros(1 << hands.LENGTH_BITS, dtype=np.int16)
    three = hands.PARTNERSHIP_SHAPES[:, :3].astype(np.int64) << (
        np.array(hands.LENGTH_SHIFT) - hands.HCP_BITS
    )
    codes[three.sum(axis=1)] = np.arange(len(hands.PARTNERSHIP_SHAPES))
    return codes


columns(DEALS, fingerprint=lambda b: fingerprint(b.cards))
# The deals with the lowest fingerprints, one in CHECKED_SHARE on average.
stage(DEALS, "checked", lambda b: b["fingerprint"] < np.uint64((1 << BITS) // CHECKED_SHARE))
columns(
    "checked",
    each_seat=lambda b: np.array(COLUMNS["each_seat"].names)[:, np.newaxis],
    # By seat, shape (4, n): the words stripped of flags; shapes; HCP; and the opening of each hand in
    # its seat if nobody opens before it.
    class_words=lambda b: b["words"] & hands.OF_CLASS,
    shape=lambda b: hands.shape_of(b["class_words"]),
    hcp=lambda b: hands.Hands(b["class_words"]).hcp,
    any_opening=lambda b: b["opening_in_seat"].astype(np.intp) + 1,
    # Seats 1 and 3 as one word: no length passes 13 and no points 40, so nothing carries.
    partners=lambda b: b["class_words"][0] + b["class_words"][2],
    partnership_shape=lambda b: _partnership_shape_codes()[
        b["partners"] >> np.uint32(hands.HCP_BITS)
    ],
    partners_hcp=lambda b: b["partners"] & np.uint32((1 << hands.HCP_BITS) - 1),
    hearts_1_and_3=lambda b: hands.PARTNERSHIP_SHAPES[:, HEARTS].take(b["partnership_shape"]),
    spades_1_and_3=lambda b: hands.PARTNERSHIP_SHAPES[:, SPADES].take(b["partnership_shape"]),
    hearts_2=lambda b: hands.SHAPES[:, HEARTS].take(b["shape"][1]),
    spades_2=lambda b: hands.SHAPES[:, SPADES].take(b["shape"][1]),
)

_EVERY_EIGHTH_BIT = np.uint64(0x0101010101010101)
_BYTE = 255


@dataclass(frozen=True)
class _CardCount(Count):
    """A table by card and seat, added up bit by bit, which is far faster than cell by cell."""

    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        cards = deals.cards.take(deals.at("checked").rows, axis=1)
        table = np.zeros((len(cards), 64), dtype=np.int64)
        for bit in range(8):
            # Count every eighth card at once, each in a byte, over as many deals as a byte can count.
            lanes = (cards >> np.uint64(bit)) & _EVERY_EIGHTH_BIT
            sums = np.add.reduceat(lanes, np.arange(0, lanes.shape[1], _BYTE), axis=1)
            by_byte = sums.astype("<u8").view(np.uint8).reshape(len(cards), -1, 8)
            table[:, bit::8] = by_byte.sum(axis=1)
        return table[:, : COLUMNS["card"].size].T


CARDS_BY_SEAT = _CardCount("cards_by_seat", "checked", ("card", "each_seat"))
HAND_CLASSES = Count("hand_classes", "checked", ("each_seat", SHAPE, "hcp"))
PARTNERSHIP_LENGTHS = Count("partnership_lengths", "checked", (PARTNERSHIP_SHAPE,))
PARTNERSHIP_HCP = Count("partnership_hcp", "checked", ("partners_hcp",))
MAJOR_SPLITS = Count(
    "major_splits", "checked", ("hearts_1_and_3", "hearts_2", "spades_1_and_3", "spades_2")
)
DEALT_COUNTS = (CARDS_BY_SEAT, HAND_CLASSES, PARTNERSHIP_LENGTHS, PARTNERSHIP_HCP, MAJOR_SPLITS)
"""The tables that check the dealer. Seats 1 and 3 are partners; the other side has the rest."""

# --- whether deals are independent ---

LOOKED_AT = BLOCK_DEALS // CHECKED_SHARE
"""The number of deals examined in each block, the first ones."""

STRETCH = 1250
"""The number of deals that each of its two blocks adds to a stretch."""

STRETCHES = COLUMNS["stretch"].size
"""The number of stretches; later ones are added to the first ones, so the table never grows."""

STAGES = COLUMNS["stage"].names[1:]
"""The stages of a deal that was opened."""

_OUTCOMES = (
    (0, COLUMNS["stage"].names[0]),
    *((seat, stage) for seat in COLUMNS["seat"].names for stage in STAGES),
)
OUTCOME = Combination("outcome", ("any_seat", "stage"), _OUTCOMES)
"""The opener's seat, 0 for none, and how far the auction went."""

NEXT_OUTCOME = Combination("next_outcome", ("next_seat", "next_stage"), _OUTCOMES)


def _outcome(b: Batch) -> Array:
    seat, bid = b["any_seat"], b["opening_bid"]
    outcome = np.maximum(np.int8(len(STAGES)) * (seat - np.int8(1)) + np.int8(1), np.int8(0))
    outcome += (bid >= 0) & (bid < NOTRUMP)
    overcalled = b.at("overcalled")
    outcome[overcalled["deal"]] += 1 + (overcalled["call"] == response.DOUBLE_CALL)
    return outcome


columns(DEALS, outcome=_outcome)


def _of_blocks(deals: Batch, blocks: Blocks) -> Iterator[tuple[int, Array]]:
    """Yield the number of each block, and the outcomes of the deals examined in it."""
    first = 0
    for block, size in blocks:
        yield block, deals["outcome"][first : first + min(size, LOOKED_AT)].astype(np.intp)
        first += size


@dataclass(frozen=True)
class _StretchCount(Count):
    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        table = np.zeros(self.shape, dtype=np.int64)
        for block, outcomes in _of_blocks(deals, blocks):
            stretch = block // 2 * (LOOKED_AT // STRETCH)
            for start in range(0, len(outcomes), STRETCH):
                part = outcomes[start : start + STRETCH]
                table[stretch % STRETCHES] += np.bincount(part, minlength=OUTCOME.size)
                stretch += 1
        return table


@dataclass(frozen=True)
class _NeighbourCount(Count):
    """Outcomes of two successive deals of a block."""

    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        both = np.zeros(OUTCOME.size**2, dtype=np.int64)
        for _, outcomes in _of_blocks(deals, blocks):
            both_outcomes = OUTCOME.size * outcomes[:-1] + outcomes[1:]
            both += np.bincount(both_outcomes, minlength=len(both))
        return both.reshape(self.shape)


OUTCOMES_BY_STRETCH = _StretchCount("outcomes_by_stretch", DEALS, ("stretch", OUTCOME))
NEIGHBOURS = _NeighbourCount("neighbours", DEALS, (OUTCOME, NEXT_OUTCOME))

# --- the bidding ---

# fmt: off
EVERY_OPENING = Count("openings", DEALS, ("any_seat", "any_opening"))
OPENINGS_BY_SEAT = Count("openings_by_seat", "checked", ("each_seat", "any_opening"))
"""What each hand opens in its seat, whatever those before it do; for the deals checked."""
NEXT_HANDS = Count("next_hands", "opened", ("seat", "opening", "action"))
CALL_COUNTS = Count("calls", "overcalled", ("seat", SEQUENCE, "call"))
DOUBLE_COUNTS = Count("doubles", "doubled", ("seat", SEQUENCE, "reason", "advancer", "answer",
                                             "overcaller_again", "final_contract"))
DOUBLE_SHAPES = Count("double_shapes", "doubled", (SEQUENCE, SHAPE))
DOUBLE_HCP = Count("double_hcp", "doubled", (SEQUENCE, "hcp"))
DOUBLE_POINTS = Count("double_points", "doubled", (SEQUENCE, "reason", "total_points"))
PROMISED = Count("promised", "doubled", (SEQUENCE, "responder_cards", "opener_cards"))
FIRST_SEAT_FITS = Count("first_seat_fits", "doubled_in_first_seat",
                        (SEQUENCE, "reason", "opener_cards"))
"""Opener's cards in the promised suit (the longer of two), after a first-seat opening and a double."""
OPENER_MAJORS = Count("opener_majors", "unbid_major",
                      (SEQUENCE, "major", "responder_cards", "opener_holds"))
CONTRACTS = Count("contracts", "doubled", ("level", "advancer", "final_contract", "declarer",
                                           "last_level", "trumps"))
BEST_FITS = Count("best_fits", "doubled", ("level", "advancer", "final_contract", "last_level",
                                           "in_fit", "longest_fit"))
COMBINED_HCP = Count("combined_hcp", "doubled", (SEQUENCE, "answer", "combined_hcp"))
LANDING_POINTS = Count("landing_points", "in_a_suit",
                       ("level", "final_contract", "over_trumps", "combined_hcp"))
"""Tricks bid in a suit less the combined trumps, by combined points."""
JUMP_TOO_WEAK = Count("jump_too_weak", "jump_too_weak", (SEQUENCE,))
SPADE_RAISES = Count("spade_raises", "one_spade",
                     ("minor_opening", "opener_spades", "responder_spades", "spade_answer"))
PASS_COUNTS = Count("passes", "passed", ("seat", SEQUENCE, "pass_made", "advancer", "reopening"))
PENALTIES = Count("penalties", "would_defend",
                  (SEQUENCE, "cards_in_theirs", "advancer", "reopening"))
"""Hands that would double for penalties, on four cards or on five and more.

Under an agreement that requires only four, they pass to defend, and they defend the overcall doubled
if the opener reopens with a double. Under an agreement that requires five, hands with four make
another call.
"""


def _rule_used(step: str, b: Batch) -> Array:
    """Return the number of the rule that decides at a step, from 1; 0 if no rule applies."""
    used = b.decided(step).rule + np.int8(1)
    return used * (b["call"] != response.ABOVE_CEILING) if step == "response" else used


def _rule_count(stage: str, step: str) -> Count:
    axis: Column = replace(COLUMNS["rule"], key=f"{step}_rule")
    columns(stage, **{axis.key: partial(_rule_used, step)})
    return Count(f"{stage}_{axis.key}", stage, (axis,))


RULE_COUNTS = [
    (table, _rule_count(stage, step))
    for (stage, step), table in TABLE_AT.items()
    if not stage.startswith("would_defend")  # these hands are among those that pass
]
"""How often each rule decides: every table of rules with the counts of its uses.

The rules of the opening and of the next hand are counted in :data:`EVERY_OPENING` and
:data:`NEXT_HANDS`.
"""

COUNTS = (
    EVERY_OPENING, NEXT_HANDS, CALL_COUNTS, DOUBLE_COUNTS, DOUBLE_SHAPES, DOUBLE_HCP, DOUBLE_POINTS,
    PROMISED, FIRST_SEAT_FITS, OPENER_MAJORS, CONTRACTS, BEST_FITS, COMBINED_HCP, LANDING_POINTS,
    JUMP_TOO_WEAK, SPADE_RAISES, PASS_COUNTS, PENALTIES, OPENINGS_BY_SEAT, *DEALT_COUNTS,
    OUTCOMES_BY_STRETCH, NEIGHBOURS, *(count for _, count in RULE_COUNTS),
)
# fmt: on
