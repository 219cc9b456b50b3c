"""Section 9: the opener in the pass-out seat, after passes of the responder and the advancer.

The first of the text's rules, for three cards or more in the overcaller's suit, makes four entries
here, one for each name that tables use.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import NOTRUMP, bid_code
from double_study.columns import COLUMNS
from double_study.rules.terms import (
    OPENED,
    OVERCALLED,
    Condition,
    Overcalled,
    Rule,
    RuleTable,
    Suits,
    at_least,
    at_most,
    holds,
)

_HIGHEST = 3
"""The highest level that the opener reopens at."""
_LONG = 3
"""Cards in the overcaller's suit with which the opener lets it be more often."""


@dataclass(frozen=True)
class ReopeningSituation(Overcalled):
    """The opener after 1Y (overcall) pass (pass): ``hands`` are the opener's."""

    @cached_property
    def second_suit(self) -> NDArray[np.int8]:
        """The longest suit that nobody bid."""
        return self.hands.longest_among(self.unbid_set)

    @cached_property
    def second_suit_level(self) -> NDArray[np.integer]:
        """Its cheapest level."""
        return self.cheapest(self.second_suit)

    @cached_property
    def in_shortest_unbid(self) -> NDArray[np.int8]:
        """Cards in the shorter of the two suits that nobody bid."""
        return self.hands.shortest_length_among(self.unbid_set)


LONGEST_UNBID = Suits("the longest unbid suit", lambda s: np.ravel(s.second_suit)[:1])


def _hcp(need: Callable[[Agreement], int]) -> Condition[ReopeningSituation]:
    return at_least("HCP", lambda s: s.hands.hcp, lambda s: need(s.agreement))


def _opened(cards: int, lowest: int) -> list[Condition[ReopeningSituation]]:
    """So many cards in the suit opened, whose cheapest level is no higher than ``lowest``."""
    return [
        at_least(OPENED.cards, lambda s: s.in_opened, lambda s: cards),
        at_most(OPENED.said("the level of {}"), lambda s: s.rebid_level, lambda s: lowest),
    ]


def _second_suit(lowest: int) -> list[Condition[ReopeningSituation]]:
    """Five cards in a second suit, whose cheapest level is no higher than ``lowest``."""
    return [
        at_least(
            LONGEST_UNBID.cards,
            lambda s: s.hands.length_in(s.second_suit),
            lambda s: 5,
        ),
        at_most("the level of that suit", lambda s: s.second_suit_level, lambda s: lowest),
    ]


_THREE_OF_THEIRS: Condition[ReopeningSituation] = at_least(
    OVERCALLED.cards, lambda s: s.in_overcalled, lambda s: _LONG
)
_TWO_UNBID: Condition[ReopeningSituation] = at_least(
    "cards in each unbid suit", lambda s: s.in_shortest_unbid, lambda s: 2
)
_MOST_FOR_OWN_SUIT: Condition[ReopeningSituation] = at_most(
    "HCP", lambda s: s.hands.hcp, lambda s: s.agreement.reopening.own_suit
)
_FOR_ANY_LEVEL: list[list[Condition[ReopeningSituation]]] = [
    [at_most("the level of the overcall", lambda s: s.level, lambda s: 2)],
    [
        at_most(
            OVERCALLED.cards,
            lambda s: s.in_overcalled,
            lambda s: s.agreement.reopening.high_double_cards,
        )
    ],
    [_hcp(lambda a: a.reopening.high_double)],
]

REOPENING: RuleTable[ReopeningSituation] = RuleTable(
    "The opener after two passes",
    (
        Rule(
            "notrump",
            "notrump",
            lambda a: (
                f"three cards or more in the overcaller's suit, {a.reopening.notrump}+ HCP, a stopper in it, "
                "no singleton or void, the overcall no higher than level 3: notrump"
            ),
            [
                [
                    _THREE_OF_THEIRS,
                    _hcp(lambda a: a.reopening.notrump),
                    holds(OVERCALLED.said("a stopper in {}"), lambda s: s.stopper),
                    at_least(
                        "cards in the shortest suit",
                        lambda s: s.hands.lengths.min(axis=0),
                        lambda s: 2,
                    ),
                    at_most("the level of the overcall", lambda s: s.level, lambda s: _HIGHEST),
                ]
            ],
            lambda s: bid_code(np.asarray(s.level), NOTRUMP),
        ),
        Rule(
            "double",
            "double",
            lambda a: (
                f"three cards or more in the overcaller's suit, {a.reopening.long_double}+ HCP: double"
            ),
            [[_THREE_OF_THEIRS, _hcp(lambda a: a.reopening.long_double)]],
        ),
        Rule(
            "own_suit",
            "rebid of six or more",
            lambda a: (
                "three cards or more in the overcaller's suit, six or more in the suit opened, if its "
                "cheapest level is 2: bid it"
            ),
            [[_THREE_OF_THEIRS, *_opened(6, 2)]],
            lambda s: s.rebid,
        ),
        Rule(
            "pass",
            "pass",
            lambda a: "otherwise with three cards or more in the overcaller's suit: pass",
            [[_THREE_OF_THEIRS]],
        ),
        Rule(
            "second_suit",
            "a second suit",
            lambda a: (
                "five cards or more in the longest unbid suit (equals: the higher-ranking), if its "
                f"cheapest level is 2 or lower, or 3 with {a.reopening.second_suit_three}+ HCP: bid it"
            ),
            [
                _second_suit(2),
                [*_second_suit(_HIGHEST), _hcp(lambda a: a.reopening.second_suit_three)],
            ],
            lambda s: bid_code(s.second_suit_level, s.second_suit),
        ),
        Rule(
            "own_suit",
            "rebid of six or more",
            lambda a: (
                f"at most {a.reopening.own_suit} HCP, six cards or more in the suit opened, if its cheapest "
                "level is 2, or seven where it is 3: bid it"
            ),
            [
                [_MOST_FOR_OWN_SUIT, *_opened(6, 2)],
                [_MOST_FOR_OWN_SUIT, *_opened(7, _HIGHEST)],
            ],
            lambda s: s.rebid,
        ),
        Rule(
            "double",
            "double",
            lambda a: (
                f"{a.reopening.double}+ HCP, or two cards or more in each unbid suit; and, over an overcall "
                f"at level 3 or 4, at most {a.reopening.high_double_cards} in the overcaller's suit or "
                f"{a.reopening.high_double}+ HCP: double"
            ),
            [
                [either, *besides]
                for either in (_hcp(lambda a: a.reopening.double), _TWO_UNBID)
                for besides in _FOR_ANY_LEVEL
            ],
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
    known=("notrump", "second_suit", "own_suit", "double", "pass"),
)

NOT_REACHED = COLUMNS["reopening"].code("not_reached")
DOUBLE_AGAIN = COLUMNS["reopening"].code("double")
