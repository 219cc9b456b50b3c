"""Random deals around a known hand, of which only those are kept that fit the auction.

A player's 13 cards are fixed and the other 39 dealt to partner, the next opponent and the fourth
hand; a deal on which the bidding could not have happened is thrown away. What is kept is a plain
random sample of the deals on which it could.

How a deal is made
------------------
Most deals would fail by their shapes alone, and those are left out from the start: a pair of shapes
for partner and opponent is drawn, among those that the rules allow, in proportion to the ways to
deal them; then each suit's cards are put in random order and handed out. Every deal with allowed
shapes is as likely as every other. The order comes from sorting random keys of 56 bits; that two
of 39 keys are equal, where the lower card would go first, happens once in 10^14 deals.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import comb
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray
from scipy.special import factorial

from analysis.cards.dealing import BIT_GENERATOR
from analysis.cards.hands import SUIT_CARDS
from analysis.cards.notation import HAND_CARDS
from analysis.statistics.intervals import CONFIDENCE, wilson

HALF_WIDTH = 0.01
"""How far the interval of a share may reach either side of its middle: one percentage point."""

MAX_DEALS = 2_000_000
"""Deals after which a rare auction is given up."""

_CHUNK = 20_000
_UNSEEN = 39
_CARD_BITS = 6
_KEY_BITS = 56
_DOUBLE_BITS = 53

Cards = NDArray[np.uint64]
Shapes = NDArray[np.integer]


@dataclass(frozen=True, eq=False)
class FittingDeals:
    """The other hands in deals that fit, uint64 of 52 bits, each (kept,), at most :func:`enough`.

    ``fitted`` of the ``dealt`` deals fitted; those were dealt from the ``share`` of all deals around
    the hand that the shapes leave.
    """

    partner: Cards
    opponent: Cards
    fourth: Cards
    fitted: int
    dealt: int
    share: float

    @property
    def chance(self) -> tuple[float, float, float]:
        """How much of all deals around the hand fits, with the limits of Wilson's interval."""
        low, high = wilson(self.fitted, self.dealt)
        return (
            self.share * self.fitted / self.dealt,
            self.share * float(low),
            self.share * float(high),
        )


def enough(half_width: float = HALF_WIDTH, confidence: float = CONFIDENCE) -> int:
    """Deals after which Wilson's interval of any share at all is narrow enough.

    It is widest for a share of a half, where its half-width is z / (2 sqrt(n + z^2)).
    """
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    return int(np.ceil((z / (2 * half_width)) ** 2 - z * z))


def deals_that_fit(
    cards: int,
    shapes: tuple[Shapes, Shapes],
    fits: Callable[[Cards, Cards, Cards], NDArray[np.bool_]],
    seed: int,
    max_deals: int = MAX_DEALS,
) -> FittingDeals:
    """Deal around a hand until :func:`enough` deals are kept or ``max_deals`` dealt.

    A pure function of its arguments.

    Parameters
    ----------
    cards : int
        The known hand, 52 bits.
    shapes : pair of integer arrays, each (pairs, 4)
        Partner's and the opponent's lengths: at least the pairs that may fit, each once.
    fits
        Asked which deals fit, by partner's, the opponent's and the fourth hand's cards.
    seed, max_deals : int
    """
    stream = BIT_GENERATOR(np.random.SeedSequence(seed))
    rest = _Rest(cards, *shapes)
    wanted, kept, dealt, found = enough(), [], 0, 0
    while found < wanted and dealt < max_deals:
        others = rest.deal(stream)
        kept.append(np.stack(others)[:, fits(*others)])
        found += kept[-1].shape[1]
        dealt += _CHUNK
    partner, opponent, fourth = np.concatenate(kept, axis=1)[:, :wanted]
    return FittingDeals(partner, opponent, fourth, found, dealt, rest.share)


def every_deal() -> int:
    """Ways to deal the unseen cards to the three other hands."""
    return comb(_UNSEEN, HAND_CARDS) * comb(_UNSEEN - HAND_CARDS, HAND_CARDS)


class _Rest:
    """The 39 unseen cards, in order: each suit a run of columns."""

    def __init__(self, cards: int, partner: Shapes, opponent: Shapes) -> None:
        unseen = np.array([card for card in range(4 * SUIT_CARDS) if not cards >> card & 1])
        self._values = np.uint64(1) << unseen.astype(np.uint64)
        self._suit = unseen // SUIT_CARDS
        held = np.bincount(self._suit, minlength=4)
        self._place = np.arange(_UNSEEN) - (np.cumsum(held) - held)[self._suit]
        self._first = partner.astype(np.int8)
        self._second = (partner + opponent).astype(np.int8)
        below = factorial(partner) * factorial(opponent) * factorial(held - partner - opponent)
        self._up_to = np.cumsum((factorial(held) / below).prod(axis=1))
        self.share = float(self._up_to[-1] / every_deal())
        """The part of all deals around the hand that has one of the pairs of shapes."""

    def deal(self, stream: np.random.BitGenerator) -> tuple[Cards, Cards, Cards]:
        """One chunk of deals: the cards of partner, the opponent and the fourth hand."""
        draws = (stream.random_raw(_CHUNK) >> np.uint64(64 - _DOUBLE_BITS)) * 2.0**-_DOUBLE_BITS
        pair = np.searchsorted(self._up_to, draws * self._up_to[-1], side="right")
        keys = stream.random_raw(_CHUNK * _UNSEEN).reshape(_CHUNK, _UNSEEN)
        keys >>= np.uint64(64 - _KEY_BITS)
        keys <<= np.uint64(_CARD_BITS)
        keys |= (self._suit << (_KEY_BITS + _CARD_BITS)).astype(np.uint64)
        keys |= np.arange(_UNSEEN, dtype=np.uint64)
        keys.sort(axis=1)
        cards = self._values[keys & np.uint64((1 << _CARD_BITS) - 1)]
        to_partner = self._place < self._first[pair][:, self._suit]
        to_either = self._place < self._second[pair][:, self._suit]
        partner, either = (
            np.where(mine, cards, np.uint64(0)).sum(axis=1) for mine in (to_partner, to_either)
        )
        return partner, either ^ partner, self._values.sum() ^ either
