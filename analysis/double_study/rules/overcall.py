"""Section 2: the next hand, left of the opener.

The overcall of a suit is always in Z, the hand's longest suit other than the one opened, whatever
its length; no other suit is tried in its place. The two-suited call needs five cards in two suits
other than the opened one; after a minor opening spades with the other minor do not count.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import (
    DIAMONDS,
    HEARTS,
    MAJORS,
    NO_BID,
    NOTRUMP,
    SPADES,
    SUITS,
    bid_code,
)
from double_study.cards.hands import BoolArray, IntArray, Suit
from double_study.rules.terms import (
    Condition,
    Decided,
    Rule,
    RuleTable,
    Situation,
    at_least,
    at_most,
    cheapest_level,
    holds,
    played,
    within,
)

MAX_JUMP = 4
"""The highest level of a weak jump, reached with eight cards or more."""


@dataclass(frozen=True)
class OvercallSituation(Situation):
    """The hand after a 1-level opening in the suit ``opening`` (Y of the rules)."""

    opening: Suit

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """Z, the longest suit other than Y."""
        return self.hands.longest_but(self.opening)

    @cached_property
    def length(self) -> IntArray:
        """Cards in Z."""
        return self.hands.length_in(self.suit)

    @cached_property
    def good(self) -> BoolArray:
        """Whether Z is good."""
        return self.hands.good_in(self.suit)

    @cached_property
    def cheapest(self) -> NDArray[np.integer]:
        """c, the cheapest level of Z over 1Y."""
        return cheapest_level(self.suit, bid_code(1, np.asarray(self.opening)))

    @cached_property
    def jump(self) -> NDArray[np.integer]:
        """The level of a weak jump: 2 with six cards, 3 with seven, 4 with more."""
        return np.minimum(self.length - 4, MAX_JUMP)

    @cached_property
    def two_suits(self) -> BoolArray:
        """Five cards or more in each of two suits that make a two-suited call."""
        opening = np.asarray(self.opening)
        long = (self.hands.lengths >= 5) & np.stack(
            [np.broadcast_to(opening != s, self.hands.words.shape) for s in SUITS]
        )
        other_minor = long[:HEARTS].any(axis=0) & (opening < HEARTS)
        return (long.sum(axis=0) >= 2) & ~(long[SPADES] & other_minor)

    @cached_property
    def support_elsewhere(self) -> IntArray:
        """Cards in the shortest of the three suits other than Y."""
        return np.min(
            [np.where(np.asarray(self.opening) == s, 13, self.hands.lengths[s]) for s in SUITS],
            axis=0,
        )


def _one_level(suits: tuple[int, ...], what: str) -> list[list[Condition[OvercallSituation]]]:
    """Overcalls at level 1 in one of ``suits``: lighter when the suit is good."""
    shape: list[Condition[OvercallSituation]] = [
        holds("a suit that can be bid at level 1", lambda s: s.cheapest == 1),
        holds(what, lambda s: np.isin(s.suit, suits)),
        at_least("cards in the longest suit to bid", lambda s: s.length, lambda s: 5),
    ]
    return [
        [
            *shape,
            holds("a good suit", lambda s: s.good),
            within("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.one_level_good),
        ],
        [
            *shape,
            within("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.one_level),
        ],
    ]


_AT_LEVEL_TWO: list[Condition[OvercallSituation]] = [
    holds("a suit that is bid at level 2", lambda s: s.cheapest == 2),
    holds("a good suit", lambda s: s.good),
]

OVERCALL: RuleTable[OvercallSituation] = RuleTable(
    "The next hand",
    (
        Rule(
            "notrump_overcall",
            "1NT overcall",
            lambda a: f"balanced, {a.overcall.notrump} HCP, a stopper in the suit opened: 1NT",
            [
                [
                    holds("balanced", lambda s: s.hands.balanced),
                    within("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.notrump),
                    holds(
                        "a stopper in the suit opened",
                        lambda s: s.hands.stopper_in(s.opening),
                    ),
                ]
            ],
            lambda s: bid_code(1, NOTRUMP),
        ),
        Rule(
            "strong_double",
            "strong takeout double",
            lambda a: f"{a.overcall.strong_double}+ HCP: a takeout double",
            [
                [
                    at_least(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.strong_double
                    )
                ]
            ],
        ),
        Rule(
            "two_suited",
            "two-suited call",
            lambda a: (
                f"{a.overcall.two_suited}+ HCP and five or more cards in each of two other suits "
                "(save spades with the other minor after a minor opening): a two-suited call"
                if a.overcall.two_suited_calls
                else "two-suited calls are not played"
            ),
            [
                [
                    played("two-suited calls", lambda a: a.overcall.two_suited_calls),
                    at_least(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.two_suited
                    ),
                    holds("five cards in each of two other suits", lambda s: s.two_suits),
                ]
            ],
        ),
        Rule(
            "weak_jump",
            "weak jump overcall",
            lambda a: (
                f"{a.overcall.weak_jump} HCP and the longest suit good: a jump to level 2 with six "
                "cards, 3 with seven, 4 with eight or more, where that is a jump"
            ),
            [
                [
                    at_least("cards in the longest suit to bid", lambda s: s.length, lambda s: 6),
                    holds("a good suit", lambda s: s.good),
                    within("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.weak_jump),
                    holds("a jump", lambda s: s.jump > s.cheapest),
                ]
            ],
            lambda s: bid_code(s.jump, s.suit),
        ),
        Rule(
            "one_level_major",
            "a major at level 1",
            lambda a: (
                f"five cards or more in a major that can be bid at level 1, {a.overcall.one_level_good} "
                f"HCP with a good suit or {a.overcall.one_level} with any: one of the suit"
            ),
            _one_level(MAJORS, "a major"),
            lambda s: bid_code(1, s.suit),
        ),
        Rule(
            "takeout_double",
            "takeout double",
            lambda a: (
                f"{a.overcall.takeout}+ HCP, at most two cards in the suit opened, at least three in "
                "each other: a takeout double"
            ),
            [
                [
                    at_least("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.takeout),
                    at_most(
                        "cards in the suit opened",
                        lambda s: s.hands.length_in(s.opening),
                        lambda s: 2,
                    ),
                    at_least(
                        "cards in the shortest other suit",
                        lambda s: s.support_elsewhere,
                        lambda s: 3,
                    ),
                ]
            ],
        ),
        Rule(
            "one_level_diamond",
            "1♦ overcall",
            lambda a: "over 1♣, five diamonds or more on the values of a one-level major: 1♦",
            _one_level((DIAMONDS,), "diamonds"),
            lambda s: bid_code(1, s.suit),
        ),
        Rule(
            "two_level",
            "overcall at level 2",
            lambda a: (
                f"a good suit that must be bid at level 2: six cards or more and "
                f"{a.overcall.two_level_six} HCP, or five and {a.overcall.two_level_five}: two of it"
            ),
            [
                [
                    *_AT_LEVEL_TWO,
                    at_least("cards in the suit", lambda s: s.length, lambda s: 6),
                    within(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.two_level_six
                    ),
                ],
                [
                    *_AT_LEVEL_TWO,
                    holds("exactly five cards in the suit", lambda s: s.length == 5),
                    within(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.overcall.two_level_five
                    ),
                ],
            ],
            lambda s: bid_code(2, s.suit),
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
)


def suit_overcall(decided: Decided[OvercallSituation]) -> NDArray[np.int8]:
    """The code of each suit overcall, :data:`~double_study.cards.bids.NO_BID` where there was none."""
    bids = decided.bid
    return np.where((bids % 5 == NOTRUMP) & (bids != NO_BID), NO_BID, bids).astype(np.int8)
