"""Section 1: the opening.

The first hand that does not pass is the opener. Of five cards or more the suit opened is the hand's
longest, between equals the higher-ranking. With no suit of five it is the longer minor, or by an
agreement of four-card majors a suit of four.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, NOTRUMP, SUITS, bid_code
from double_study.cards.hands import BoolArray
from double_study.rules.terms import Condition, Rule, RuleTable, Situation, at_least, holds, within

LAST_SEAT = 4


@dataclass(frozen=True)
class OpeningSituation(Situation):
    """A hand that may open: nobody has bid yet. ``seat`` is 1 to 4 from the dealer."""

    seat: int | NDArray[np.integer]

    @cached_property
    def longest(self) -> NDArray[np.int8]:
        """The hand's longest suit."""
        return self.hands.longest(*SUITS)

    @cached_property
    def longest_length(self) -> NDArray[np.int16]:
        """Cards in it."""
        return self.hands.lengths.max(axis=0)

    @cached_property
    def suit_to_open(self) -> NDArray[np.int16]:
        """The suit of an opening of one."""
        four_card_majors = self.agreement.opening.major_cards == 4
        without_five = self._suit_of_four if four_card_majors else self._longer_minor
        return np.where(self.longest_length >= 5, self.longest, without_five).astype(np.int16)

    @cached_property
    def _longer_minor(self) -> NDArray[np.integer]:
        """The longer minor of a hand without a suit of five.

        Only 4-4-3-2 with both majors holds more diamonds than clubs without holding four.
        """
        clubs, diamonds = self.hands.lengths[CLUBS], self.hands.lengths[DIAMONDS]
        promised = diamonds >= self.agreement.opening.diamond_cards
        return np.where((diamonds == 4) | (promised & (diamonds > clubs)), DIAMONDS, CLUBS)

    @cached_property
    def _suit_of_four(self) -> NDArray[np.integer]:
        """The suit of four that a hand without a suit of five opens by four-card majors."""
        clubs, diamonds, hearts, spades = self.hands.lengths == 4
        exceptions = {
            DIAMONDS: diamonds & clubs & (spades | hearts),
            CLUBS: spades & hearts & clubs,
            HEARTS: spades & hearts,
        }
        return np.select(list(exceptions.values()), list(exceptions), default=self.longest)

    @cached_property
    def good_longest(self) -> BoolArray:
        """Whether the longest suit is good."""
        return self.hands.good_in(self.longest)


def _balanced() -> Condition[OpeningSituation]:
    return holds("balanced", lambda s: s.hands.balanced)


def _weak(length: Condition[OpeningSituation]) -> list[Condition[OpeningSituation]]:
    return [
        holds("in seat 1, 2 or 3", lambda s: np.asarray(s.seat) < LAST_SEAT),
        within("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.opening.weak),
        holds("a good longest suit", lambda s: s.good_longest),
        length,
    ]


def _exactly(length: int) -> Condition[OpeningSituation]:
    return holds(
        f"exactly {length} cards in the longest suit", lambda s: s.longest_length == length
    )


def _without_five(a: Agreement) -> str:
    """Which suit a hand without a suit of five opens, in words."""
    if a.opening.major_cards == 4:
        return (
            "a suit of four: of two, hearts with both majors, otherwise the higher-ranking; of three, "
            "1♦ with a singleton spade or heart, 1♣ with a singleton diamond, 1♥ with a singleton club"
        )
    equals = "equal minors: 1♦ with four each, 1♣ with three each"
    if a.opening.diamond_cards == 4:
        equals += "; 1♣, not 1♦ on three, with 4-4-3-2 and both majors"
    return f"the longer minor ({equals})"


_HCP = "HCP"

OPENING: RuleTable[OpeningSituation] = RuleTable(
    "The opening",
    (
        Rule(
            "strong",
            "strong artificial opening",
            lambda a: f"{a.opening.strong}+ HCP: the strong artificial opening, 2♣",
            [[at_least(_HCP, lambda s: s.hands.hcp, lambda s: s.agreement.opening.strong)]],
            lambda s: bid_code(2, CLUBS),
        ),
        Rule(
            "two_notrump",
            "2NT",
            lambda a: f"balanced, {a.opening.two_notrump} HCP: 2NT",
            [
                [
                    _balanced(),
                    within(_HCP, lambda s: s.hands.hcp, lambda s: s.agreement.opening.two_notrump),
                ]
            ],
            lambda s: bid_code(2, NOTRUMP),
        ),
        Rule(
            "one_notrump",
            "1NT",
            lambda a: f"balanced, {a.opening.one_notrump} HCP, a five-card major allowed: 1NT",
            [
                [
                    _balanced(),
                    within(_HCP, lambda s: s.hands.hcp, lambda s: s.agreement.opening.one_notrump),
                ]
            ],
            lambda s: bid_code(1, NOTRUMP),
        ),
        Rule(
            "one_of_a_suit",
            "one of a suit",
            lambda a: (
                f"{a.opening.suit}+ HCP, or {a.opening.light}+ HCP where HCP and the lengths of the "
                f"two longest suits make {a.opening.light_sum} or more: one of the longest suit of "
                f"five cards or more, otherwise of {_without_five(a)}"
            ),
            [
                [at_least(_HCP, lambda s: s.hands.hcp, lambda s: s.agreement.opening.suit)],
                [
                    at_least(_HCP, lambda s: s.hands.hcp, lambda s: s.agreement.opening.light),
                    at_least(
                        "HCP plus the two longest suits",
                        lambda s: s.hands.hcp + s.hands.two_longest,
                        lambda s: s.agreement.opening.light_sum,
                    ),
                ],
            ],
            lambda s: bid_code(1, s.suit_to_open),
        ),
        Rule(
            "weak_two",
            "weak two",
            lambda a: (
                f"seats 1 to 3, {a.opening.weak} HCP, six good cards in the longest suit, not clubs: "
                "a weak two"
            ),
            [
                [
                    *_weak(_exactly(6)),
                    holds("a suit other than clubs", lambda s: s.longest != CLUBS),
                ]
            ],
            lambda s: bid_code(2, s.longest),
        ),
        Rule(
            "three_level",
            "three-level opening",
            lambda a: f"seats 1 to 3, {a.opening.weak} HCP, seven good cards: three of the suit",
            [_weak(_exactly(7))],
            lambda s: bid_code(3, s.longest),
        ),
        Rule(
            "four_level",
            "four-level opening",
            lambda a: (
                f"seats 1 to 3, {a.opening.weak} HCP, eight or more good cards: four of the suit"
            ),
            [_weak(at_least("cards in the longest suit", lambda s: s.longest_length, lambda s: 8))],
            lambda s: bid_code(4, s.longest),
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
)
