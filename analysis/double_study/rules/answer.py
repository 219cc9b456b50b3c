"""Section 4: the opener's answer to the double, the advancer passing.

Two of the document's rules make several entries here, one for each name that tables use. Choices
where the text leaves room: opener's limits 15/16-18/19 are two settings, the lowest figure of each
stronger raise; "no room for the jump" means that one level above the cheapest rebid is beyond three
of a minor or four of a major.

The end of section 4: the opener's answer to 1♠ over 1♥, which shows five spades.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.cards.bids import CLUBS, HEARTS, MINORS, NOTRUMP, SPADES, SUITS, bid_code
from double_study.cards.hands import BoolArray, IntArray, suit_set
from double_study.rules.response import PROMISED_CARDS
from double_study.rules.terms import (
    A_PROMISED_SUIT,
    GAME_LEVEL,
    OPENED,
    OVERCALLED,
    RAISE_WORDINGS,
    Condition,
    Overcalled,
    Rule,
    RuleTable,
    Situation,
    Suits,
    at_least,
    holds,
)

THREE_NOTRUMP_LEVEL = 3
LONG_SUIT = 6
"""Cards in the suit opened that are rebid."""


@dataclass(frozen=True)
class AnswerSituation(Overcalled):
    """The opener after 1Y (overcall) double (pass): ``hands`` are the opener's."""

    @cached_property
    def raise_level(self) -> NDArray[np.integer]:
        """The cheapest level of opener's longest promised suit."""
        return self.cheapest(self.longest_promised)

    def raised(self, up: int) -> NDArray[np.integer]:
        """A raise ``up`` levels above the cheapest, not beyond game, never below the cheapest."""
        level = np.minimum(self.raise_level + up, GAME_LEVEL.take(self.longest_promised))
        return bid_code(np.maximum(level, self.raise_level), self.longest_promised)

    @cached_property
    def room_to_jump(self) -> BoolArray:
        """Whether a rebid one level up stays within three of a minor or four of a major."""
        return self.rebid_level + 1 <= self.major_opened + np.int8(3)

    @cached_property
    def second_suit(self) -> NDArray[np.int8]:
        """The suit neither bid nor promised; -1 where there is none."""
        return self.hands.longest_among(self.unbid_set & ~self.promised_set)

    @cached_property
    def in_second_suit(self) -> IntArray:
        """Cards in the second suit, 0 where there is none."""
        return self.hands.length_in(self.second_suit) * (self.second_suit >= 0)

    @cached_property
    def second_suit_bid(self) -> NDArray[np.integer]:
        """The second suit at its cheapest level."""
        return np.asarray(bid_code(self.cheapest(self.second_suit), self.second_suit))

    @cached_property
    def major_raised(self) -> BoolArray:
        """Whether the longest promised suit is a major."""
        return np.asarray(self.longest_promised >= HEARTS)

    @cached_property
    def own_major_first(self) -> BoolArray:
        """Whether a promised minor gives way to a major opened, of six or more."""
        return ~self.major_raised & self.major_opened & (self.in_opened >= LONG_SUIT)

    @cached_property
    def three_card_suit(self) -> NDArray[np.int8]:
        """A promised suit held in exactly three cards (equals: spades, clubs); -1 where none."""
        three = [
            suit_set([suit]) * (self.hands.lengths[suit] == 3).astype(np.int8) for suit in SUITS
        ]
        held = np.sum(three, axis=0, dtype=np.int8) & self.promised_set
        both_minors = held == suit_set(MINORS)
        return np.where(both_minors, np.int8(CLUBS), self.hands.longest_among(held))


SECOND_SUIT = Suits("a second suit", lambda s: np.ravel(s.second_suit)[:1])


RAISES: tuple[Condition[AnswerSituation], ...] = (
    at_least(A_PROMISED_SUIT.cards, lambda s: s.in_longest_promised, lambda s: PROMISED_CARDS),
    holds("without a major of six to bid before a minor", lambda s: ~s.own_major_first),
)
MAJOR_RAISED: Condition[AnswerSituation] = holds("a major suit", lambda s: s.major_raised)


def jump_needs(s: AnswerSituation) -> NDArray[np.integer]:
    """Support points of a jump raise."""
    needs = s.agreement.answer
    return np.where(s.major_raised, needs.raise_jump, needs.minor_jump)


def _six_opened() -> Condition[AnswerSituation]:
    return at_least(OPENED.cards, lambda s: s.in_opened, lambda s: LONG_SUIT)


def _own_suit_bid(s: AnswerSituation) -> ArrayLike:
    needs, hcp = s.agreement.answer, s.hands.hcp
    long = (s.in_opened >= LONG_SUIT + 1) & (hcp >= needs.own_suit_long_jump)
    jumps = ((hcp >= needs.own_suit_jump) | long) & s.room_to_jump
    game = (s.major_opened & (s.in_opened >= LONG_SUIT + 2)) * GAME_LEVEL[SPADES]
    return bid_code(np.maximum(s.rebid_level + jumps, game), np.asarray(s.opening))


def _notrump_bid(s: AnswerSituation) -> ArrayLike:
    lowest = np.asarray(s.level)
    jump = np.maximum(lowest, np.minimum(lowest + 1, THREE_NOTRUMP_LEVEL))
    return bid_code(np.where(s.hands.hcp >= s.agreement.answer.notrump_jump, jump, lowest), NOTRUMP)


ANSWER: RuleTable[AnswerSituation] = RuleTable(
    "The opener's answer to the double",
    (
        Rule(
            "penalty_pass",
            "penalty pass",
            lambda a: "five good cards or more in the overcaller's suit: a penalty pass",
            [
                [
                    at_least(OVERCALLED.cards, lambda s: s.in_overcalled, lambda s: 5),
                    holds(OVERCALLED.said("a good holding in {}"), lambda s: s.good_overcalled),
                ]
            ],
        ),
        Rule(
            "raise_game",
            RAISE_WORDINGS["raise_game"],
            lambda a: (
                f"four or more in a promised major and {a.answer.raise_game}+ support points: game in it"
            ),
            [
                [
                    *RAISES,
                    MAJOR_RAISED,
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.answer.raise_game,
                    ),
                ]
            ],
            lambda s: s.raised(GAME_LEVEL[SPADES]),
        ),
        Rule(
            "raise_jump",
            RAISE_WORDINGS["raise_jump"],
            lambda a: (
                f"four or more in a promised major and {a.answer.raise_jump}+ support points, or in a "
                f"promised minor and {a.answer.minor_jump}+: one level above its cheapest, not beyond game"
            ),
            [
                [
                    *RAISES,
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        jump_needs,
                    ),
                ]
            ],
            lambda s: s.raised(1),
        ),
        Rule(
            "raise_minimum",
            RAISE_WORDINGS["raise_minimum"],
            lambda a: (
                "four or more in a promised suit, otherwise (unless it is a minor, and the suit opened a "
                "major of six or more): its cheapest level"
            ),
            [RAISES],
            lambda s: s.raised(0),
        ),
        Rule(
            "cue_bid",
            "bid of their suit",
            lambda a: (
                f"{a.answer.cue_bid}+ HCP and no stopper in the overcaller's suit, or six cards in the "
                "suit opened and no room to jump in it: bid the overcaller's suit"
            ),
            [
                [
                    at_least("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.answer.cue_bid),
                    holds(OVERCALLED.said("without a stopper in {}"), lambda s: ~s.stopper),
                ],
                [
                    at_least("HCP", lambda s: s.hands.hcp, lambda s: s.agreement.answer.cue_bid),
                    _six_opened(),
                    holds("short of room to jump", lambda s: ~s.room_to_jump),
                ],
            ],
            lambda s: bid_code(np.asarray(s.level) + 1, np.asarray(s.overcall)),
        ),
        Rule(
            "own_suit",
            "rebid of six or more",
            lambda a: (
                "six cards or more in the suit opened: rebid it, one level higher if there is room with "
                f"{a.answer.own_suit_jump}+ HCP, or with seven cards and {a.answer.own_suit_long_jump}+; "
                "a major of eight or more: game"
            ),
            [[_six_opened()]],
            _own_suit_bid,
        ),
        Rule(
            "second_suit",
            "a second suit",
            lambda a: "five cards or more in the remaining suit: its cheapest level",
            [[at_least(SECOND_SUIT.cards, lambda s: s.in_second_suit, lambda s: 5)]],
            lambda s: s.second_suit_bid,
        ),
        Rule(
            "notrump",
            "notrump",
            lambda a: (
                "a stopper in the overcaller's suit: notrump at its cheapest level, with "
                f"{a.answer.notrump_jump}+ HCP one higher, not beyond 3NT"
            ),
            [[holds(OVERCALLED.said("a stopper in {}"), lambda s: s.stopper)]],
            _notrump_bid,
        ),
        Rule(
            "second_suit",
            "a second suit",
            lambda a: (
                "four cards in the remaining suit, if its cheapest bid is lower than the cheapest "
                f"rebid, or with {a.answer.second_suit}+ HCP"
            ),
            [
                [
                    at_least(SECOND_SUIT.cards, lambda s: s.in_second_suit, lambda s: 4),
                    holds("lower than the rebid", lambda s: s.second_suit_bid < s.rebid),
                ],
                [
                    at_least(SECOND_SUIT.cards, lambda s: s.in_second_suit, lambda s: 4),
                    at_least(
                        "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.answer.second_suit
                    ),
                ],
            ],
            lambda s: s.second_suit_bid,
        ),
        Rule(
            "three_card_raise",
            "raise on three cards",
            lambda a: (
                "exactly three cards in a promised suit (three in each: ♠ or ♣): its cheapest level"
            ),
            [[holds(A_PROMISED_SUIT.said("three cards in {}"), lambda s: s.three_card_suit >= 0)]],
            lambda s: bid_code(s.cheapest(s.three_card_suit), s.three_card_suit),
        ),
        Rule(
            "rebid",
            "rebid of last resort",
            lambda a: "anything else: the suit opened at its cheapest level",
            (),
            lambda s: s.rebid,
        ),
    ),
)


@dataclass(frozen=True)
class SpadeRaiseSituation(Situation):
    """The opener after a minor, 1♥ and 1♠, which shows five spades."""

    @property
    def spades(self) -> IntArray:
        """Opener's spades."""
        return self.hands.lengths[SPADES]


def _three_spades(
    *more: Condition[SpadeRaiseSituation],
) -> list[Condition[SpadeRaiseSituation]]:
    return [at_least("spades", lambda s: s.spades, lambda s: 3), *more]


SPADE_RAISE: RuleTable[SpadeRaiseSituation] = RuleTable(
    "The opener's answer to 1♠ over 1♥",
    (
        Rule(
            "raise_game",
            RAISE_WORDINGS["raise_game"],
            lambda a: f"three spades or more and {a.answer.spade_game}+ support points: 4♠",
            [
                _three_spades(
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.answer.spade_game,
                    )
                )
            ],
            lambda s: bid_code(4, SPADES),
        ),
        Rule(
            "raise_jump",
            RAISE_WORDINGS["raise_jump"],
            lambda a: f"three spades or more and {a.answer.spade_jump}+ support points: 3♠",
            [
                _three_spades(
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.answer.spade_jump,
                    )
                )
            ],
            lambda s: bid_code(3, SPADES),
        ),
        Rule(
            "raise_minimum",
            RAISE_WORDINGS["raise_minimum"],
            lambda a: "three spades or more, otherwise: 2♠",
            [_three_spades()],
            lambda s: bid_code(2, SPADES),
        ),
        Rule(
            "no_raise",
            "no raise",
            lambda a: "fewer than three spades: no raise; not followed further",
        ),
    ),
)
