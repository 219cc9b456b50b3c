"""Section 7: the opener's answer to the double over a bid of the advancer's.

The opener need not speak. The first of the text's rules makes three entries here, one for each name
that tables use.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import NOTRUMP, SPADES, bid_code
from double_study.cards.hands import Suit
from double_study.rules.answer import (
    ANSWER,
    LONG_SUIT,
    MAJOR_RAISED,
    RAISES,
    SECOND_SUIT,
    THREE_NOTRUMP_LEVEL,
    AnswerSituation,
    jump_needs,
)
from double_study.rules.terms import (
    GAME_LEVEL,
    OPENED,
    OVERCALLED,
    RAISE_WORDINGS,
    Condition,
    Rule,
    RuleTable,
    at_least,
    at_most,
    cheapest_level,
    holds,
)


@dataclass(frozen=True)
class ContestedSituation(AnswerSituation):
    """The opener after 1Y (overcall) double and a bid of the advancer's, whose code is ``over``.

    The cheapest levels are those over the advancer's bid.
    """

    over: Suit

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        """The cheapest level of a suit (4: notrump) over the advancer's bid."""
        return cheapest_level(suit, self.over)

    @cached_property
    def second_suit(self) -> NDArray[np.int8]:
        """The suit neither bid by anyone nor promised; -1 where there is none."""
        by_advancer = np.int8(1) << (np.asarray(self.over) % 5).astype(np.int8)
        return self.hands.longest_among(self.unbid_set & ~self.promised_set & ~by_advancer)

    @cached_property
    def second_suit_level(self) -> NDArray[np.integer]:
        """The cheapest level of the second suit."""
        return self.cheapest(self.second_suit)

    @cached_property
    def notrump_level(self) -> NDArray[np.integer]:
        """The cheapest level of notrump."""
        return self.cheapest(NOTRUMP)


def _raise_at(level: int) -> tuple[Condition[ContestedSituation], ...]:
    return (*RAISES, holds(f"a raise at level {level}", lambda s: s.raise_level == level))


def _support(need: Callable[[Agreement], int]) -> Condition[ContestedSituation]:
    return at_least("support points", lambda s: s.hands.support_points, lambda s: need(s.agreement))


def _hcp(need: Callable[[Agreement], int]) -> Condition[ContestedSituation]:
    return at_least("HCP", lambda s: s.hands.hcp, lambda s: need(s.agreement))


def _opened(cards: int, level: int) -> list[Condition[ContestedSituation]]:
    return [
        holds(OPENED.said(f"{{}} at level {level}"), lambda s: s.rebid_level == level),
        at_least(OPENED.cards, lambda s: s.in_opened, lambda s: cards),
    ]


def _second_suit(level: int) -> list[Condition[ContestedSituation]]:
    return [
        at_least(SECOND_SUIT.cards, lambda s: s.in_second_suit, lambda s: 5),
        holds(SECOND_SUIT.said(f"{{}} at level {level}"), lambda s: s.second_suit_level == level),
    ]


CONTESTED_ANSWER: RuleTable[ContestedSituation] = RuleTable(
    "The opener's answer to the double, over a bid of the advancer's",
    (
        Rule(
            "raise_game",
            RAISE_WORDINGS["raise_game"],
            lambda a: (
                f"four or more in a promised major: game in it with {a.answer.raise_game}+ support points "
                f"where it can be bid at level 2, {a.contested_answer.game_three}+ at 3, "
                f"{a.contested_answer.game_four}+ at 4"
            ),
            [
                [*_raise_at(2), MAJOR_RAISED, _support(lambda a: a.answer.raise_game)],
                [*_raise_at(3), MAJOR_RAISED, _support(lambda a: a.contested_answer.game_three)],
                [*_raise_at(4), MAJOR_RAISED, _support(lambda a: a.contested_answer.game_four)],
            ],
            lambda s: s.raised(GAME_LEVEL[SPADES]),
        ),
        Rule(
            "raise_jump",
            RAISE_WORDINGS["raise_jump"],
            lambda a: (
                f"four or more in a promised suit that can be bid at level 2, {a.answer.raise_jump}+ "
                f"support points in a major, {a.answer.minor_jump}+ in a minor: three of it"
            ),
            [
                [
                    *_raise_at(2),
                    at_least("support points", lambda s: s.hands.support_points, jump_needs),
                ]
            ],
            lambda s: s.raised(1),
        ),
        Rule(
            "raise_minimum",
            RAISE_WORDINGS["raise_minimum"],
            lambda a: (
                "four or more in a promised suit (no minor, where the suit opened is a major of six or "
                "more), at its cheapest level: any at level 2, with "
                f"{a.contested_answer.raise_three}+ support points at 3, a minor with "
                f"{a.contested_answer.minor_four}+ at 4"
            ),
            [
                [*_raise_at(2)],
                [*_raise_at(3), _support(lambda a: a.contested_answer.raise_three)],
                [
                    *_raise_at(4),
                    holds("a minor suit", lambda s: ~s.major_raised),
                    _support(lambda a: a.contested_answer.minor_four),
                ],
            ],
            lambda s: s.raised(0),
        ),
        Rule(
            "own_suit",
            "rebid of six or more",
            lambda a: (
                "six cards or more in the suit opened, if it can be bid at level 2; at 3 with "
                f"{a.contested_answer.own_suit_three}+ HCP or seven cards; at 4 a major of seven"
            ),
            [
                _opened(LONG_SUIT, 2),
                [*_opened(LONG_SUIT, 3), _hcp(lambda a: a.contested_answer.own_suit_three)],
                _opened(LONG_SUIT + 1, 3),
                [
                    holds("after a major opening", lambda s: s.major_opened),
                    *_opened(LONG_SUIT + 1, 4),
                ],
            ],
            lambda s: s.rebid,
        ),
        Rule(
            "second_suit",
            "a second suit",
            lambda a: (
                "five cards or more in a suit neither bid nor promised, at level 2; at 3 with "
                f"{a.contested_answer.second_suit_three}+ HCP"
            ),
            [
                _second_suit(2),
                [*_second_suit(3), _hcp(lambda a: a.contested_answer.second_suit_three)],
            ],
            lambda s: s.second_suit_bid,
        ),
        Rule(
            "notrump",
            "notrump",
            lambda a: (
                f"a stopper in the overcaller's suit and {a.contested_answer.notrump}+ HCP: notrump at "
                "its cheapest level, if that is 3 or lower"
            ),
            [
                [
                    holds(OVERCALLED.said("a stopper in {}"), lambda s: s.stopper),
                    _hcp(lambda a: a.contested_answer.notrump),
                    at_most(
                        "the level of notrump",
                        lambda s: s.notrump_level,
                        lambda s: THREE_NOTRUMP_LEVEL,
                    ),
                ]
            ],
            lambda s: bid_code(s.notrump_level, NOTRUMP),
        ),
        Rule(
            "strong_double",
            "strong double",
            lambda a: (
                f"{a.contested_answer.strong_double}+ HCP, or {a.contested_answer.short_double}+ and at "
                "most one card in the overcaller's suit: double, for the responder to choose"
            ),
            [
                [_hcp(lambda a: a.contested_answer.strong_double)],
                [
                    _hcp(lambda a: a.contested_answer.short_double),
                    at_most(OVERCALLED.cards, lambda s: s.in_overcalled, lambda s: 1),
                ],
            ],
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
    known=ANSWER.names,
)
