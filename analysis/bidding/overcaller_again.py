"""Section 8's first half: the overcaller's second call, in a contested auction."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.advancer import ADVANCER
from analysis.bidding.after_overcall import Overcalled
from analysis.bidding.rules import (
    Condition,
    Rule,
    RuleTable,
    at_least,
    at_most,
    cheapest_level,
    holds,
)
from analysis.cards.bids import HEARTS, NO_BID, bid_code
from analysis.cards.hands import BoolArray

HIGHEST_SHORT_OF_GAME = 3
"""The highest level that either side bids on to, short of game."""


@dataclass(frozen=True)
class OvercallerSituation(Overcalled):
    """The overcaller after the opener's answer over the advancer's bid.

    ``advancer`` is a position in ``ADVANCER.names``; the bids are codes, opener's
    :data:`~analysis.cards.bids.NO_BID` for a pass or a double.
    """

    advancer: NDArray[np.int8]
    advancer_bid: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def advanced(self, name: str) -> BoolArray:
        """Whether the advancer's call is ``name``."""
        return self.advancer == ADVANCER.names.index(name)

    @cached_property
    def opener_bid(self) -> BoolArray:
        """Whether the opener bid."""
        return self.answer_bid != NO_BID

    @cached_property
    def last(self) -> NDArray[np.int8]:
        """The last bid."""
        return np.maximum(self.answer_bid, self.advancer_bid)

    @cached_property
    def own_level(self) -> NDArray[np.integer]:
        """The cheapest level of the overcaller's suit."""
        return cheapest_level(self.overcall, self.last)

    @cached_property
    def own_game(self) -> NDArray[np.integer]:
        """Four of the overcaller's suit."""
        return np.asarray(bid_code(4, np.asarray(self.overcall)))


_STRONG: Condition[OvercallerSituation] = holds(
    "after a strong raise", lambda s: s.advanced("strong_raise")
)

OVERCALLER: RuleTable[OvercallerSituation] = RuleTable(
    "The overcaller's second call, after a bid of the advancer's and the opener's answer",
    (
        Rule(
            "game",
            "game",
            lambda a: (
                f"after a strong raise, with {a.contested_end.overcaller_game}+ HCP and an overcall in a "
                "major: game, if the last bid is lower"
            ),
            [
                [
                    _STRONG,
                    at_least(
                        "HCP",
                        lambda s: s.hands.hcp,
                        lambda s: s.agreement.contested_end.overcaller_game,
                    ),
                    holds("a major suit", lambda s: np.asarray(s.overcall) >= HEARTS),
                    holds("a last bid lower than game", lambda s: s.last < s.own_game),
                ]
            ],
            lambda s: s.own_game,
        ),
        Rule(
            "own_suit",
            "their own suit again",
            lambda a: (
                "the overcaller's suit at its cheapest level: after a strong raise, if opener did not bid "
                "or that level is 3 or lower; after a raise and a bid of opener's with six cards or more, "
                "if that level is 3"
            ),
            [
                [_STRONG, holds("after no bid of opener's", lambda s: ~s.opener_bid)],
                [
                    _STRONG,
                    at_most(
                        "the level of the suit",
                        lambda s: s.own_level,
                        lambda s: HIGHEST_SHORT_OF_GAME,
                    ),
                ],
                [
                    holds("after a raise", lambda s: s.advanced("raise")),
                    holds("after a bid of opener's", lambda s: s.opener_bid),
                    at_least(
                        "cards in the suit overcalled", lambda s: s.in_overcalled, lambda s: 6
                    ),
                    holds("at level 3", lambda s: s.own_level == HIGHEST_SHORT_OF_GAME),
                ],
            ],
            lambda s: bid_code(s.own_level, np.asarray(s.overcall)),
        ),
        Rule("pass", "pass", lambda a: "anything else: pass"),
    ),
)
