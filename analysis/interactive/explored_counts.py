"""The responder's hands, stored once, so that a changed threshold is counted without dealing again.

What the responder may call depends on shape, points, and in the overcaller's suit on a stopper and
on whether it is good. Deals by those classes are stored; any responder's rules are then applied to
the classes, in milliseconds. The table depends on the settings of hand, opening and overcall, and
is made anew only when one of those changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.bidding.after_overcall import PAIRS, Overcalled
from analysis.bidding.auction import Auctions
from analysis.bidding.response import CALLS, DOUBLE_CALL, decide_call
from analysis.cards.bids import SUIT_SYMBOLS, SUITS, Bid
from analysis.cards.dealing import deal_block
from analysis.cards.hands import GOOD_SHIFT, SHAPE_HCP_BITS, STOPPER_SHIFT, Hands
from analysis.counting.auction_counts import CALL
from analysis.counting.sampling import blocks_of
from analysis.counting.tally import DEALS
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW, per_session, wilson

SHARE, SHARE_LOW, SHARE_HIGH = "share", "share_low", "share_high"
"""Columns of a call's share of the responder's hands, beside its frequency on all deals."""

MAX_HCP, MAX_LENGTH = 37, 13
_WORD_BITS = 32


@dataclass(frozen=True, eq=False)
class Stored:
    """Responder's hands by class: for each pair of opening and overcall, words and their deals."""

    deals: int
    seed: int
    words: tuple[NDArray[np.uint32], ...]
    counts: tuple[NDArray[np.int64], ...]


@dataclass(frozen=True)
class Holding:
    """Which of the responder's hands to look at: HCP and lengths, each from a lowest to a highest."""

    hcp: tuple[int, int] = (0, MAX_HCP)
    lengths: tuple[tuple[int, int], ...] = ((0, MAX_LENGTH),) * len(SUITS)

    def of(self, hands: Hands) -> NDArray[np.bool_]:
        """Which hands these are."""
        held: NDArray[np.bool_] = (hands.hcp >= self.hcp[0]) & (hands.hcp <= self.hcp[1])
        for length, (low, high) in zip(hands.lengths, self.lengths, strict=True):
            held &= (length >= low) & (length <= high)
        return held

    def __str__(self) -> str:
        parts = [] if self.hcp == Holding.hcp else [f"{_span(self.hcp)} HCP"]
        for suit in reversed(SUITS):
            if self.lengths[suit] != (0, MAX_LENGTH):
                parts.append(f"{_span(self.lengths[suit])} {SUIT_SYMBOLS[suit]}")
        return f" with {', '.join(parts)}" if parts else ""


def _span(ends: Sequence[int]) -> str:
    low, high = ends
    return str(low) if low == high else f"{low}–{high}"


def stored(agreement: Agreement, deals: int, seed: int) -> Stored:
    """The stored hands for an agreement's openings and overcalls; made once for each of those."""
    return _stored(
        replace(
            REFERENCE,
            hand=agreement.hand,
            opening=agreement.opening,
            overcall=agreement.overcall,
        ),
        deals,
        seed,
    )


@lru_cache(maxsize=8)
def _stored(agreement: Agreement, deals: int, seed: int) -> Stored:
    overcalled = np.array([bid.denomination for _, bid in PAIRS], dtype=np.uint32)
    every = np.uint32((1 << SHAPE_HCP_BITS) - 1)
    flags = np.uint32((1 << GOOD_SHIFT[0]) | (1 << STOPPER_SHIFT[0])) << overcalled
    keys = []
    for block, kept in blocks_of(deals):
        responses = Auctions(deal_block(seed, block)[:, :kept], agreement).responses
        words = responses.situation.hands.words & (every | flags[responses.pair])
        keys.append((responses.pair.astype(np.int64) << _WORD_BITS) | words)
    classes, counts = np.unique(np.concatenate(keys), return_counts=True)
    ends = np.searchsorted(classes >> _WORD_BITS, np.arange(1, len(PAIRS)))
    words = (classes & ((1 << _WORD_BITS) - 1)).astype(np.uint32)
    return Stored(deals, seed, tuple(np.split(words, ends)), tuple(np.split(counts, ends)))


def calls(
    hands: Stored, agreement: Agreement, pair: int, holding: Holding | None = None
) -> pd.DataFrame:
    """The responder's calls after one opening and overcall.

    Returns a row a call: its name, deals, frequency on all deals (estimate, low, high) and share
    of the responder's hands that ``holding`` allows, all with Wilson's intervals; a share of no
    hands is NaN.
    """
    opening, overcall = PAIRS[pair]
    chosen = slice(None) if holding is None else holding.of(Hands(hands.words[pair]))
    situation = Overcalled(
        Hands(hands.words[pair][chosen]),
        agreement,
        opening,
        overcall.denomination,
        overcall.level,
    )
    deals = np.bincount(
        decide_call(situation), weights=hands.counts[pair][chosen], minlength=len(CALLS)
    ).astype(np.int64)
    low, high = wilson(deals, hands.deals)
    share_low, share_high = wilson(deals, deals.sum())
    with np.errstate(invalid="ignore"):
        share = deals / np.float64(deals.sum())
    return pd.DataFrame(
        {
            CALL: CALLS,
            DEALS: deals,
            ESTIMATE: deals / hands.deals,
            LOW: low,
            HIGH: high,
            SHARE: share,
            SHARE_LOW: share_low,
            SHARE_HIGH: share_high,
        }
    )


def pair_symbols(pair: int) -> str:
    """An opening and overcall as readers see them: 1♦ (1♠)."""
    opening, overcall = PAIRS[pair]
    return f"{Bid(1, opening).symbol} ({overcall.symbol})"


def double_sentence(table: pd.DataFrame, pair: int, holding: Holding) -> str:
    """What the table of :func:`calls` says of the double, in words."""
    row = table.iloc[DOUBLE_CALL]
    hands = int(table[DEALS].sum())
    if not hands:
        return f"After {pair_symbols(pair)} no hand{holding} was dealt to the responder."
    # Either side may open: the case falls to one named partnership on half of its deals.
    ours = per_session(row[ESTIMATE] / 2)
    return (
        f"After {pair_symbols(pair)} the responder doubles on {row[ESTIMATE]:.3%} of deals "
        f"({100 * row[LOW]:.3f}–{100 * row[HIGH]:.3f}%), for one partnership {ours:.3f} times a "
        f"session; that is {row[SHARE]:.1%} ({100 * row[SHARE_LOW]:.1f}–"
        f"{100 * row[SHARE_HIGH]:.1f}%) of the {hands} responder's hands{holding}."
    )
