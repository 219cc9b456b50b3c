"""Section 6: the advancer, the overcaller's partner, after a double or a pass of the responder's.

Left out of the strong raise is its limit to level 3: an overcall that is no jump leaves the suit
opened a cheapest level of 2.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import NOTRUMP, bid_code
from double_study.cards.hands import BoolArray, IntArray
from double_study.rules.terms import (
    GAME_LEVEL,
    Condition,
    Overcalled,
    Rule,
    RuleTable,
    at_least,
    holds,
    need_by_level,
)

OVERCALL_CARDS = 5
"""Cards that an overcall shows; a jump shows four more than its level."""
PREEMPTIVE_TRUMPS = 9
_SUPPORT_CARDS = 3


@dataclass(frozen=True)
class AdvancerSituation(Overcalled):
    """The advancer; ``doubled``: whether the responder doubled, or passed."""

    doubled: bool

    @cached_property
    def trumps(self) -> IntArray:
        """t: cards in the overcaller's suit that the overcaller has shown and the advancer holds."""
        shown = np.where(self.jump, np.asarray(self.level) + 4, OVERCALL_CARDS)
        return (self.in_overcalled + shown).astype(np.int16)

    @cached_property
    def preemptive_level(self) -> NDArray[np.integer]:
        """The level of a raise on nine trumps or more, not beyond game."""
        return np.minimum(self.trumps - 6, GAME_LEVEL.take(self.overcall))

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """The longest suit neither bid nor promised; -1 where there is none."""
        promised = self.promised_set if self.doubled else np.int8(0)
        return self.hands.longest_among(self.unbid_set & ~promised)

    @cached_property
    def suit_level(self) -> NDArray[np.integer]:
        """The cheapest level of that suit, 0 where there is none."""
        return self.cheapest(self.suit) * (self.suit >= 0)

    @cached_property
    def stopper_in_opened(self) -> BoolArray:
        """Whether the suit opened is stopped."""
        return self.hands.stopper_in(self.opening)


def _raises_needs(s: AdvancerSituation) -> ArrayLike:
    needs = s.agreement.advancer
    return need_by_level(s.level, needs.raise_one, needs.raise_two)


def _suit_needs(s: AdvancerSituation) -> ArrayLike:
    needs = s.agreement.advancer
    return need_by_level(s.suit_level, needs.new_suit, needs.new_suit, needs.new_suit_three)


def _notrump_needs(s: AdvancerSituation) -> ArrayLike:
    needs = s.agreement.advancer
    return need_by_level(s.level, needs.notrump_one, needs.notrump_two)


_NO_JUMP: Condition[AdvancerSituation] = holds("over no jump", lambda s: ~s.jump)
_SUPPORT: Condition[AdvancerSituation] = at_least(
    "cards in the overcaller's suit", lambda s: s.in_overcalled, lambda s: _SUPPORT_CARDS
)

ADVANCER: RuleTable[AdvancerSituation] = RuleTable(
    "The advancer, the overcaller's partner",
    (
        Rule(
            "strong_raise",
            "strong raise",
            lambda a: (
                "three cards or more in the overcaller's suit, which was no jump, and "
                f"{a.advancer.strong_raise}+ support points: bid the suit opened"
            ),
            [
                [
                    _NO_JUMP,
                    _SUPPORT,
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.advancer.strong_raise,
                    ),
                ]
            ],
            lambda s: bid_code(s.rebid_level, np.asarray(s.opening)),
        ),
        Rule(
            "preemptive_raise",
            "raise on nine trumps",
            lambda a: (
                "nine trumps or more, by what the overcall showed (five cards, a jump four more than its "
                f"level), and {a.advancer.preemptive_raise}+ support points: as many tricks as trumps, "
                "not beyond game"
            ),
            [
                [
                    at_least("trumps", lambda s: s.trumps, lambda s: PREEMPTIVE_TRUMPS),
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.advancer.preemptive_raise,
                    ),
                    holds(
                        "room for a raise to the level of the trumps",
                        lambda s: s.preemptive_level > np.asarray(s.level),
                    ),
                ]
            ],
            lambda s: bid_code(s.preemptive_level, np.asarray(s.overcall)),
        ),
        Rule(
            "raise",
            "raise",
            lambda a: (
                f"three cards or more in the overcaller's suit and {a.advancer.raise_one}+ support points "
                f"at level 1, {a.advancer.raise_two}+ at 2: raise it one level"
            ),
            [
                [
                    _SUPPORT,
                    at_least("support points", lambda s: s.hands.support_points, _raises_needs),
                ]
            ],
            lambda s: bid_code(np.asarray(s.level) + 1, np.asarray(s.overcall)),
        ),
        Rule(
            "new_suit",
            "a new suit",
            lambda a: (
                "the longest suit neither bid nor promised (equals: the higher-ranking), five good cards "
                f"or more, over no jump, {a.advancer.new_suit}+ total points at level 1 or 2, "
                f"{a.advancer.new_suit_three}+ at 3: its cheapest level"
            ),
            [
                [
                    _NO_JUMP,
                    holds("a suit neither bid nor promised", lambda s: s.suit >= 0),
                    at_least(
                        "cards in the longest such suit",
                        lambda s: s.hands.length_in(s.suit),
                        lambda s: 5,
                    ),
                    holds("a good suit", lambda s: s.hands.good_in(s.suit)),
                    at_least(
                        "total points",
                        lambda s: s.hands.hcp + s.hands.length_points,
                        _suit_needs,
                    ),
                ]
            ],
            lambda s: bid_code(s.suit_level, s.suit),
        ),
        Rule(
            "notrump",
            "notrump",
            lambda a: (
                "exactly two cards in the overcaller's suit, which was no jump, a stopper in the suit "
                f"opened, {a.advancer.notrump_one}+ HCP at level 1, {a.advancer.notrump_two}+ at 2: "
                "notrump"
            ),
            [
                [
                    _NO_JUMP,
                    holds("two cards in the overcaller's suit", lambda s: s.in_overcalled == 2),
                    holds("a stopper in the suit opened", lambda s: s.stopper_in_opened),
                    at_least("HCP", lambda s: s.hands.hcp, _notrump_needs),
                ]
            ],
            lambda s: bid_code(np.asarray(s.level), NOTRUMP),
        ),
        Rule("pass", "pass", lambda a: "anything else: pass; there is no redouble"),
    ),
)
