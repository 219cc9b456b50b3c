"""A hand and an auction -> the odds on partner's hand.

Everything is read off one table, the deals by partner's shape and points: exact where the opening
was in first seat, a conditional sample where other hands passed first. Beside each figure stands
the one that ignores the bidding, always exact: the difference is the lesson.

Game values are combined HCP, with a fit of eight or more cards for a suit. The figures are the lower
ones of each pair in The Foundation System, https://docslib.org/doc/10546224/ (HCP only: 25-26 for
3NT, 23-24 for four of a major, 27-28 for five of a minor); other authors ask for more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.asking.around_the_hand import both_bid, impossible, round_the_table, sample
from analysis.asking.conditional_deals import Cards, every_deal
from analysis.asking.question import Question
from analysis.bidding.after_overcall import GAME_LEVEL
from analysis.bidding.final_contract import FIT_TRUMPS
from analysis.cards.bids import NOTRUMP, SUIT, SUITS, Bid
from analysis.cards.hand_classes import HCP, N_CLASSES, N_HCP, SHAPES, class_of
from analysis.cards.hands import BoolArray, Hands, hand_words
from analysis.errors import InputError
from analysis.exact.beside_known_hand import (
    Floats,
    partner_after,
    partner_before,
)
from analysis.statistics.intervals import ESTIMATE, HIGH, LOW, wilson
from analysis.vocabulary.column import Flag
from analysis.vocabulary.dimension import Dimension, Numbers
from analysis.vocabulary.measure import Share, WholeNumber

CARDS = Numbers("cards", "cards", "Partner's cards in the suit.", range(14), "cards")
PROMISED = Flag("promised", "promised", "Whether a double promises the suit.")
GAME = Dimension(
    "game",
    "game",
    "A game that the two hands may have the values for.",
    {
        str(bid): bid.symbol
        for bid in (Bid(int(level), place) for place, level in enumerate(GAME_LEVEL))
    },
)
NEEDS_HCP = WholeNumber("combined_hcp", "HCP together", "Points that the game asks for.", "points")
LOWEST = WholeNumber("lowest_hcp", "from", "The lowest points of the range.", "points")
HIGHEST = WholeNumber("highest_hcp", "to", "The highest points of the range.", "points")
PLAIN = Share(
    "ignoring_bidding",
    "ignoring the bidding",
    "The chance that leaves the bidding out.",
    form=".2%",
)
COLUMNS = (SUIT, HCP, PROMISED, GAME, NEEDS_HCP, LOWEST, HIGHEST, PLAIN)

GAME_HCP = (27, 27, 23, 23, 25)
"""Combined HCP for game in clubs, diamonds, hearts, spades and notrump; source above."""

RANGES = ((0, 9), (10, 11), (12, 14), (15, 17), (18, 20), (21, 37))
"""The ranges of points that are shown together."""

SEED = 1
"""Seed of the conditional deals: the same question gets the same answer every time."""

_HCP_OF_CLASS = np.arange(N_HCP)


@dataclass(frozen=True, eq=False)
class Odds:
    """Partner's hand, by class.

    ``given`` and ``plain``: deals by partner's shape and HCP, float64 (560, 38), after the bidding
    and before any. ``chance``: of the auction, the hand given, with its limits (equal where exact).
    ``kept`` deals are behind ``given``, after ``dealt`` with shapes that allow the auction; None
    where it is exact.
    ``cards``: the player's own hand. ``bid_against``: the suit overcalled, if any; ``promised``: the
    suits that a double of the responder's promises. ``hands``: the deals themselves, uint64
    (4 seats, kept), if they were dealt.
    """

    cards: int
    given: Floats
    plain: Floats
    chance: tuple[float, float, float] = (1.0, 1.0, 1.0)
    kept: int | None = None
    dealt: int | None = None
    bid_against: int | None = None
    promised: tuple[int, ...] = ()
    hands: NDArray[np.uint64] | None = None

    @property
    def own(self) -> Hands:
        """The player's hand, in an array of one."""
        return Hands(hand_words(np.array([self.cards], dtype=np.uint64)))

    @property
    def our_suits(self) -> list[int]:
        """The suits that may be trumps: all but the overcaller's."""
        return [suit for suit in SUITS if suit != self.bid_against]

    def chances(self, cases: Sequence[BoolArray]) -> dict[str, Floats]:
        """Chances that partner's hand is one of some classes, each a bool array (560, 38).

        Returns the columns estimate, low, high (equal where exact, else Wilson's interval) and
        the figure ignoring the bidding. Without a deal the estimate is NaN and the interval 0 to 1.
        """
        given, plain = (
            np.array([table[np.broadcast_to(case, table.shape)].sum() for case in cases])
            for table in (self.given, self.plain)
        )
        with np.errstate(invalid="ignore"):
            estimate = given / self.given.sum()
        low, high = (estimate, estimate) if self.kept is None else wilson(given, self.kept)
        return {ESTIMATE: estimate, LOW: low, HIGH: high, PLAIN: plain / self.plain.sum()}


def odds_before_bidding(cards: int) -> Odds:
    """The odds on partner's hand when nobody has bid: by one's own 13 cards alone."""
    plain = partner_before(cards)
    return Odds(cards, plain, plain)


def odds(question: Question, seed: int = SEED) -> Odds:
    """The odds on partner's hand, given the bidding.

    Exact where the opening was in first seat and the responder is asked; otherwise from deals around
    the hand. Raises :class:`InputError` where no deal fits the hand and the auction.
    """
    cards, auction, agreement = question.cards, question.auction, question.agreement
    both = both_bid(question)
    given = partner_after(cards, both, agreement.hand.good_suit)
    if not given.any():
        raise InputError(
            f"auction {auction}: no deal fits it and this hand by the agreement {agreement.name}; "
            f"{impossible(question, both)}; allowed: an auction in which every other hand can hold "
            "what it bid"
        )
    kept = dealt = hands = None
    chance = (float(given.sum() / every_deal()),) * 3
    if auction.passes or auction.later:
        found = sample(question, both, seed)
        kept, dealt, chance = len(found.partner), found.dealt, found.chance
        if not kept:
            raise InputError(
                f"auction {auction}: none of {dealt:,} deals around this hand fits it by the agreement "
                f"{agreement.name}; allowed: an auction that the rules can bid"
            )
        given, hands = by_class(found.partner), round_the_table(question, found)
    return Odds(
        cards,
        given,
        partner_before(cards),
        chance,
        kept,
        dealt,
        auction.overcall.denomination,
        question.promised,
        hands,
    )


def by_class(partner: Cards) -> Floats:
    """Hands of 52 bits counted by shape and HCP; float64 (560, 38)."""
    counts = np.bincount(class_of(hand_words(partner)), minlength=N_CLASSES)
    return counts.reshape(len(SHAPES), N_HCP).astype(np.float64)


def lengths(odds: Odds) -> pd.DataFrame:
    """Chances of partner's length in every suit: suit, cards 0 to 13, and the chances."""
    labels = [(suit, cards) for suit in reversed(SUITS) for cards in range(14)]
    chances = odds.chances([(SHAPES[:, suit] == cards)[:, np.newaxis] for suit, cards in labels])
    named = SUIT.filled([suit for suit, _ in labels]) | {CARDS: [cards for _, cards in labels]}
    return pd.DataFrame(named | chances)


def points(odds: Odds) -> pd.DataFrame:
    """Chances of partner's points: hcp 0 to 37, and the chances."""
    chances = odds.chances([_HCP_OF_CLASS == number for number in range(N_HCP)])
    return pd.DataFrame({HCP: np.arange(N_HCP)} | chances)


def point_ranges(odds: Odds) -> pd.DataFrame:
    """Chances of partner's points in ranges: lowest and highest HCP, and the chances."""
    chances = odds.chances(
        [(_HCP_OF_CLASS >= low) & (_HCP_OF_CLASS <= high) for low, high in RANGES]
    )
    lowest, highest = zip(*RANGES, strict=True)
    return pd.DataFrame({LOWEST: lowest, HIGHEST: highest} | chances)


def fits(odds: Odds) -> pd.DataFrame:
    """Chances of eight cards or more between the two hands, in every suit that may be trumps."""
    promised = [suit in odds.promised for suit in odds.our_suits]
    named = SUIT.filled(odds.our_suits) | {PROMISED: promised}
    return pd.DataFrame(named | odds.chances([_fit(odds, suit) for suit in odds.our_suits]))


def games(odds: Odds) -> pd.DataFrame:
    """Chances of game values: the game, the combined HCP it asks for, and the chances.

    A game in a suit also asks for a fit; see the module's text for the source of the values.
    """
    together = int(odds.own.hcp[0]) + _HCP_OF_CLASS
    places = [*odds.our_suits, NOTRUMP]
    cases = [
        (together >= GAME_HCP[place]) & (_fit(odds, place) if place in SUITS else np.True_)
        for place in places
    ]
    named = GAME.filled(places) | {NEEDS_HCP: [GAME_HCP[place] for place in places]}
    return pd.DataFrame(named | odds.chances(cases))


def _fit(odds: Odds, suit: int) -> BoolArray:
    return (SHAPES[:, suit] + odds.own.lengths[suit] >= FIT_TRUMPS)[:, np.newaxis]
