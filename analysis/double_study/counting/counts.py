"""What the study counts.

A :class:`~double_study.counting.tally.Count` is a name, a stage of the auction and a list of columns;
to count something new, add one to :data:`COUNTS`. The columns of the auction are declared in
:mod:`double_study.rules.auction`, those that only counts need here.

Three kinds of counts check the deals rather than the bidding. What was dealt is compared with exact
values on one deal in :data:`CHECKED_SHARE`, picked by its fingerprint, so that the check costs a run
little. Whether deals are independent, which every interval of the study assumes, shows in how far
each deal went by stretch of the run and beside the deal before. Both look at the first deals of every
block. A stretch is a part of two neighbouring blocks, so deals that repeat in the next block make the
spread too wide; which stretch a deal is in depends on its block's number and its place there alone,
so the tables of parts add up to those of the whole, however blocks are shared out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import HEARTS, MAJORS, NOTRUMP, SPADES, SUIT_NAMES
from double_study.cards.deal import BLOCK_DEALS
from double_study.cards.hands import (
    HCP_BITS,
    LENGTH_BITS,
    LENGTH_SHIFT,
    N_HCP,
    OF_CLASS,
    PARTNERSHIP_SHAPES,
    SHAPE,
    SHAPES,
    class_of,
    shape_of,
)
from double_study.columns import COLUMNS, Column, Combination
from double_study.counting.tally import BITS, Blocks, Count, Counts, fingerprint
from double_study.rules.answer import AnswerSituation
from double_study.rules.auction import after_overcall, responder
from double_study.rules.batch import DEALS, Array, Batch, column, stage
from double_study.rules.response import (
    ABOVE_CEILING,
    DOUBLE_CALL,
    FEWEST_TO_DEFEND,
    PASS_CALL,
    PROMISED_CARDS,
    WITHIN_LIMITS,
    double_needs,
)
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import SEQUENCE, cheapest_level, opener_holds

ABOVE_CEILING_CALL = COLUMNS["call"].names[ABOVE_CEILING]

# --- columns of doubles and passes that only counts need ---


@column("doubled", "total_points")
def _(b: Batch) -> Array:
    return responder(b).total_points


@column("doubled", "shape")
def _(b: Batch) -> Array:
    """The responder's shape, a position in SHAPES."""
    return shape_of(b.hands("responder").words)


@column("doubled", "hcp")
def _(b: Batch) -> Array:
    return b.hands("responder").hcp


@column("doubled", "combined_hcp")
def _(b: Batch) -> Array:
    return b.hands("responder").hcp + b.hands("opener").hcp


@column("doubled", "longest_promised")
def _(b: Batch) -> Array:
    """The opener's longest promised suit."""
    return AnswerSituation(b.hands("opener"), *after_overcall(b)).longest_promised


@column("doubled", "opener_cards")
def _(b: Batch) -> Array:
    return b.hands("opener").length_in(b["longest_promised"])


@column("doubled", "responder_cards")
def _(b: Batch) -> Array:
    return b.hands("responder").length_in(b["longest_promised"])


@column("doubled", "last_level")
def _(b: Batch) -> Array:
    return b["last_bid"] // 5 + 1


@column("doubled", "longest_fit")
def _(b: Batch) -> Array:
    return (b.hands("responder").lengths + b.hands("opener").lengths).max(axis=0)


@column("doubled", "in_fit")
def _(b: Batch) -> Array:
    return b["trumps"] >= FIT_TRUMPS


@stage("doubled", "doubled_in_first_seat")
def _(b: Batch) -> Array:
    return b["seat"] == 1


@stage("doubled", "in_a_suit")
def _(b: Batch) -> Array:
    """The last bid is in a suit."""
    return b["last_bid"] % 5 != NOTRUMP


@column("in_a_suit", "over_trumps")
def _(b: Batch) -> Array:
    """Tricks bid above the combined trumps; the ends stand for all beyond."""
    over = COLUMNS["over_trumps"].names
    return np.clip(b["last_bid"] // 5 + 7 - b["trumps"], over[0], over[-1])


@stage("overcalled", "jump_too_weak")
def _(b: Batch) -> Array:
    """Passes over a jump on what the double promises, with the points for the cheapest level."""
    # Few hands pass on what the double promises: the others need not be looked at.
    situation = b.decided("response").situation
    promise = (situation.in_shortest_promised >= PROMISED_CARDS) & WITHIN_LIMITS.met(situation)
    few = b.where((b["call"] == PASS_CALL) & promise)
    cheapest = cheapest_level(few["overcalled_suit"], few["opening"])
    enough = responder(few).total_points >= double_needs(
        few.agreement, cheapest, few["overcalled_suit"]
    )
    return few.rows[(few["level"] > cheapest) & enough]


@column("passed", "pass_made")
def _(b: Batch) -> Array:
    # Penalty passes come first.
    return b["call"] == PASS_CALL


@column("would_defend", "cards_in_theirs")
def _(b: Batch) -> Array:
    return b.hands("responder").length_in(b["overcalled_suit"]) > FEWEST_TO_DEFEND


@column("one_spade", "opener_spades")
def _(b: Batch) -> Array:
    return b.hands("opener").lengths[SPADES]


@column("one_spade", "responder_spades")
def _(b: Batch) -> Array:
    return b.hands("responder").lengths[SPADES]


@column("one_spade", "minor_opening")
def _(b: Batch) -> Array:
    return b["opening"]


def _unbid_majors(b: Batch) -> list[NDArray[np.intp]]:
    """Where each major is unbid after an opening in first seat."""
    situation, first = b.decided("response").situation, b["seat"] == 1
    return [np.flatnonzero(situation.is_unbid(suit) & first) for suit in MAJORS]


@stage("overcalled", "unbid_major")
def _(b: Batch) -> Array:
    """Deals opened in first seat, once for each major that nobody has bid."""
    return np.concatenate(_unbid_majors(b))


@column("unbid_major", "major")
def _(b: Batch) -> Array:
    assert b.parent is not None  # noqa: S101 - the stage before, for the type checker
    return np.repeat(np.arange(len(MAJORS)), [len(rows) for rows in _unbid_majors(b.parent)])


@column("unbid_major", "responder_cards")
def _(b: Batch) -> Array:
    return b.hands("responder").length_in(b["major"] + HEARTS)


@column("unbid_major", "opener_holds")
def _(b: Batch) -> Array:
    return opener_holds(b.hands("opener").length_in(b["major"] + HEARTS))


# --- what was dealt ---

CHECKED_SHARE = 8
"""One deal in this many is looked at for its cards, hands and splits."""

PARTNERSHIP_SHAPE = Combination("partnership_shape", SUIT_NAMES, PARTNERSHIP_SHAPES.tolist())


@column(DEALS, "fingerprint")
def _(b: Batch) -> Array:
    return fingerprint(b.cards)


@stage(DEALS, "checked")
def _(b: Batch) -> Array:
    """The deals whose fingerprint is among the lowest."""
    return b["fingerprint"] < np.uint64((1 << BITS) // CHECKED_SHARE)


@column("checked", "each_seat")
def _(b: Batch) -> Array:
    return np.array(COLUMNS["each_seat"].names)[:, np.newaxis]


@column("checked", "class_words")
def _(b: Batch) -> Array:
    """The words of all hands, flags left out; shape (4, n)."""
    return b["words"] & OF_CLASS


@column("checked", "shape")
def _(b: Batch) -> Array:
    return shape_of(b["class_words"])


@column("checked", "hcp")
def _(b: Batch) -> Array:
    return class_of(b["class_words"]) % np.int32(N_HCP)


@column("checked", "any_opening")
def _(b: Batch) -> Array:
    """What each hand opens in its seat, whatever those before it do; shape (4, n)."""
    return b["opening_in_seat"].astype(np.intp) + 1


@column("checked", "partners")
def _(b: Batch) -> Array:
    """Seats 1 and 3 as one word: no length passes 13 and no points 40, so nothing carries."""
    return b["class_words"][0] + b["class_words"][2]


@lru_cache
def _partnership_shape_codes() -> NDArray[np.int16]:
    """The position of a partnership's lengths in PARTNERSHIP_SHAPES, by length bits."""
    codes = np.zeros(1 << LENGTH_BITS, dtype=np.int16)
    three = PARTNERSHIP_SHAPES[:, :3].astype(np.int64) << (np.array(LENGTH_SHIFT) - HCP_BITS)
    codes[three.sum(axis=1)] = np.arange(len(PARTNERSHIP_SHAPES))
    return codes


@column("checked", "partnership_shape")
def _(b: Batch) -> Array:
    return _partnership_shape_codes()[b["partners"] >> np.uint32(HCP_BITS)]


@column("checked", "partners_hcp")
def _(b: Batch) -> Array:
    return b["partners"] & np.uint32((1 << HCP_BITS) - 1)


def _of_shape(
    lengths: NDArray[np.int16], shapes: Callable[[Batch], Array]
) -> Callable[[Batch], Array]:
    return lambda b: lengths.take(shapes(b))


for _suit in MAJORS:
    _name = SUIT_NAMES[_suit]
    column("checked", f"{_name}_1_and_3")(
        _of_shape(PARTNERSHIP_SHAPES[:, _suit], lambda b: b["partnership_shape"])
    )
    column("checked", f"{_name}_2")(_of_shape(SHAPES[:, _suit], lambda b: b["shape"][1]))

_EVERY_EIGHTH_BIT = np.uint64(0x0101010101010101)
_BYTE = 255


@dataclass(frozen=True)
class _CardCount(Count):
    """A table by card and seat, added up bit by bit: far quicker than one cell at a time."""

    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        cards = deals.cards.take(deals.at("checked").rows, axis=1)
        table = np.zeros((len(cards), 64), dtype=np.int64)
        for bit in range(8):
            # Every eighth card at once: its sum over as many deals as a byte can count.
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
DEALT_COUNTS = (
    CARDS_BY_SEAT,
    HAND_CLASSES,
    PARTNERSHIP_LENGTHS,
    PARTNERSHIP_HCP,
    MAJOR_SPLITS,
)
"""The tables that check the dealer. Seats 1 and 3 are partners; the other side has the rest."""

# --- whether deals are independent ---

LOOKED_AT = BLOCK_DEALS // CHECKED_SHARE
"""Deals looked at in each block, its first."""

STRETCH = 1250
"""Deals that each of two blocks gives to a stretch."""

STRETCHES = COLUMNS["stretch"].size
"""Stretches distinguished; the next ones are added to the first again, so the table never grows."""

STAGES = COLUMNS["stage"].names[1:]
"""The stages of a deal that was opened."""

_OUTCOMES = (
    (0, COLUMNS["stage"].names[0]),
    *((seat, stage) for seat in COLUMNS["seat"].names for stage in STAGES),
)
OUTCOME = Combination("outcome", ("any_seat", "stage"), _OUTCOMES)
"""The opener's seat, 0 for none, and how far the auction went."""

NEXT_OUTCOME = Combination("next_outcome", ("next_seat", "next_stage"), _OUTCOMES)


@column(DEALS, "outcome")
def _(b: Batch) -> Array:
    """How far each auction went, and from which seat, a position in OUTCOME."""
    seat, bid = b["any_seat"].astype(np.intp), b["opening_bid"]
    outcome = np.maximum(len(STAGES) * (seat - 1) + 1, 0) + ((bid >= 0) & (bid < NOTRUMP))
    overcalled = b.at("overcalled")
    outcome[overcalled["deal"]] += 1 + (overcalled["call"] == DOUBLE_CALL)
    return outcome


def _of_blocks(deals: Batch, blocks: Blocks) -> Iterator[tuple[int, Array]]:
    """Yield the number of each block, and the outcomes of its deals looked at."""
    first = 0
    for block, size in blocks:
        yield block, deals["outcome"][first : first + min(size, LOOKED_AT)]
        first += size


@dataclass(frozen=True)
class _StretchCount(Count):
    """Outcomes by stretch of the run."""

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

EVERY_OPENING = Count("openings", DEALS, ("any_seat", "any_opening"))
OPENINGS_BY_SEAT = Count("openings_by_seat", "checked", ("each_seat", "any_opening"))
"""What each hand opens in its seat, whatever those before it do; for the deals checked."""

NEXT_HANDS = Count("next_hands", "opened", ("seat", "opening", "action"))
CALL_COUNTS = Count("calls", "overcalled", ("seat", SEQUENCE, "call"))
DOUBLE_COUNTS = Count(
    "doubles",
    "doubled",
    (
        "seat",
        SEQUENCE,
        "reason",
        "advancer",
        "answer",
        "overcaller_again",
        "final_contract",
    ),
)
DOUBLE_SHAPES = Count("double_shapes", "doubled", (SEQUENCE, SHAPE))
DOUBLE_HCP = Count("double_hcp", "doubled", (SEQUENCE, "hcp"))
DOUBLE_POINTS = Count("double_points", "doubled", (SEQUENCE, "reason", "total_points"))
PROMISED = Count("promised", "doubled", (SEQUENCE, "responder_cards", "opener_cards"))
FIRST_SEAT_FITS = Count(
    "first_seat_fits", "doubled_in_first_seat", (SEQUENCE, "reason", "opener_cards")
)
"""Opener's cards in the promised suit given the double, the longer of two; opening in first seat."""

OPENER_MAJORS = Count(
    "opener_majors", "unbid_major", (SEQUENCE, "major", "responder_cards", "opener_holds")
)
CONTRACTS = Count(
    "contracts",
    "doubled",
    ("level", "advancer", "final_contract", "declarer", "last_level", "trumps"),
)
BEST_FITS = Count(
    "best_fits",
    "doubled",
    ("level", "advancer", "final_contract", "last_level", "in_fit", "longest_fit"),
)
COMBINED_HCP = Count("combined_hcp", "doubled", (SEQUENCE, "answer", "combined_hcp"))
LANDING_POINTS = Count(
    "landing_points", "in_a_suit", ("level", "final_contract", "over_trumps", "combined_hcp")
)
"""Tricks bid in a suit above the combined trumps in it, beside the combined points."""

JUMP_TOO_WEAK = Count("jump_too_weak", "jump_too_weak", (SEQUENCE,))
SPADE_RAISES = Count(
    "spade_raises",
    "one_spade",
    ("minor_opening", "opener_spades", "responder_spades", "spade_answer"),
)
PASS_COUNTS = Count("passes", "passed", ("seat", SEQUENCE, "pass_made", "advancer", "reopening"))
PENALTIES = Count(
    "penalties", "would_defend", (SEQUENCE, "cards_in_theirs", "advancer", "reopening")
)
"""Hands that would double for penalties, on four cards or on five and more.

They pass, to defend, by an agreement for which four are enough, and defend the overcall doubled
where the opener reopens with a double. By an agreement that requires five, hands with four call
something else.
"""


def _rule_used(step: str, b: Batch) -> Array:
    """The rule that decides at a step, counted from 1; 0 where the rules have nothing to say."""
    used = b.decided(step).rule + np.int8(1)
    return used * (b["call"] != ABOVE_CEILING) if step == "response" else used


def _rule_count(stage: str, step: str) -> Count:
    axis: Column = replace(COLUMNS["rule"], key=f"{step}_rule")
    column(stage, axis.key)(partial(_rule_used, step))
    return Count(f"{stage}_{axis.key}", stage, (axis,))


RULE_COUNTS = {
    (stage, step): _rule_count(stage, step)
    for stage, step in (
        ("overcalled", "response"),
        ("doubled", "reason"),
        ("doubled", "advancer"),
        ("passed", "advancer"),
        ("quiet", "answer"),
        ("quiet", "overcaller"),
        ("quiet", "end"),
        ("contested", "answer"),
        ("contested", "overcaller"),
        ("contested", "end"),
        ("one_spade", "spade_answer"),
        ("passed_round", "reopening"),
    )
}
"""How often each rule decides, by stage and step of the auction.

For the opening and the next hand, :data:`EVERY_OPENING` and :data:`NEXT_HANDS` tell it.
"""

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
    CONTRACTS,
    BEST_FITS,
    COMBINED_HCP,
    LANDING_POINTS,
    JUMP_TOO_WEAK,
    SPADE_RAISES,
    PASS_COUNTS,
    PENALTIES,
    OPENINGS_BY_SEAT,
    *DEALT_COUNTS,
    OUTCOMES_BY_STRETCH,
    NEIGHBOURS,
    *RULE_COUNTS.values(),
)
"""Every table of a run's tally."""
