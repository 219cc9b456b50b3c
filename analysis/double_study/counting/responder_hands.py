"""The responder's hands by class, so that a changed threshold is counted without dealing again.

The responder's call depends on shape, points and, in the overcaller's suit, on a stopper and on whether
the suit is good. Deals are counted by these classes, to which any responder's rules can be applied in
milliseconds. The table depends on the settings of hand, opening and overcall, and is computed again
only when one of them changes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import SUIT_SYMBOLS, SUITS
from double_study.cards.hands import GOOD_SHIFT, OF_CLASS, STOPPER_SHIFT, SUIT_CARDS, Hands
from double_study.columns import COLUMNS
from double_study.combinatorics.table import up_to_overcall
from double_study.counting.run import batches, blocks_of
from double_study.rules.response import decide_call
from double_study.rules.terms import SEQUENCES, after_sequence
from double_study.stats import with_intervals

_WORD_BITS = 32


@dataclass(frozen=True, eq=False)
class ResponderHands:
    """Responder's hands by class: for each of SEQUENCES, words of hands and their deals."""

    deals: int
    seed: int
    words: tuple[NDArray[np.uint32], ...]
    counts: tuple[NDArray[np.int64], ...]


@dataclass(frozen=True)
class Holding:
    """A filter of the responder's hands: HCP and lengths, each from a lowest to a highest."""

    hcp: tuple[int, int] = (0, COLUMNS["hcp"].names[-1])
    lengths: tuple[tuple[int, int], ...] = ((0, SUIT_CARDS),) * len(SUITS)

    def of(self, hands: Hands) -> NDArray[np.bool_]:
        held: NDArray[np.bool_] = (hands.hcp >= self.hcp[0]) & (hands.hcp <= self.hcp[1])
        for length, (low, high) in zip(hands.lengths, self.lengths, strict=True):
            held &= (length >= low) & (length <= high)
        return held

    def __str__(self) -> str:
        parts = [] if self.hcp == Holding.hcp else [f"{_span(self.hcp)} HCP"]
        for suit in reversed(SUITS):
            if self.lengths[suit] != (0, SUIT_CARDS):
                parts.append(f"{_span(self.lengths[suit])} {SUIT_SYMBOLS[suit]}")
        return f" with {', '.join(parts)}" if parts else ""


def _span(ends: Sequence[int]) -> str:
    low, high = ends
    return str(low) if low == high else f"{low}–{high}"


def count_hands(agreement: Agreement, deals: int, seed: int) -> ResponderHands:
    return _counted(up_to_overcall(agreement), deals, seed)


@lru_cache(maxsize=8)
def _counted(agreement: Agreement, deals: int, seed: int) -> ResponderHands:
    overcalled = np.array([bid.denomination for _, bid in SEQUENCES], dtype=np.uint32)
    flags = np.uint32((1 << GOOD_SHIFT[0]) | (1 << STOPPER_SHIFT[0])) << overcalled
    keys = []
    for batch, _ in batches(seed, blocks_of(deals), agreement):
        b = batch.at("overcalled")
        words = b.hands("responder").words & (OF_CLASS | flags[b["auction"]])
        keys.append((b["auction"].astype(np.int64) << _WORD_BITS) | words)
    classes, counts = np.unique(np.concatenate(keys), return_counts=True)
    ends = np.searchsorted(classes >> _WORD_BITS, np.arange(1, len(SEQUENCES)))
    words = (classes & ((1 << _WORD_BITS) - 1)).astype(np.uint32)
    return ResponderHands(deals, seed, tuple(np.split(words, ends)), tuple(np.split(counts, ends)))


def calls(
    hands: ResponderHands, agreement: Agreement, sequence: int, holding: Holding | None = None
) -> pd.DataFrame:
    """Return the responder's calls after one opening and overcall.

    Returns one row per call: its name, deals, frequency on all deals (estimate, low, high) and share
    of the responder's hands that ``holding`` allows, all with Wilson's intervals; a share of no
    hands is NaN.
    """
    chosen = slice(None) if holding is None else holding.of(Hands(hands.words[sequence]))
    held = Hands(hands.words[sequence][chosen])
    called = decide_call(after_sequence(sequence, held, agreement))
    weights = hands.counts[sequence][chosen]
    deals = np.bincount(called, weights, COLUMNS["call"].size).astype(np.int64)
    table = with_intervals(COLUMNS["call"].frame().assign(deals=deals), total=hands.deals)
    return with_intervals(table, total=deals.sum(), name="share")
