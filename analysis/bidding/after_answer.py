"""The responder after opener's answer: what the rules of sections 5 and 8 look at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import GAME_LEVEL, Overcalled
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.rules import Condition, at_least, cheapest_level, holds
from analysis.cards.bids import HEARTS, bid_code
from analysis.cards.hands import BoolArray, Hands, IntArray

Need = Callable[[Agreement], int]
"""The setting that a condition asks for."""


@dataclass(frozen=True)
class AfterAnswer(Overcalled):
    """The responder after opener's answer; ``hands`` are the responder's.

    ``answer`` is a code of :data:`~analysis.bidding.contested_answer.ANSWER_GIVEN`, ``answer_bid``
    the code of the bid it made.
    """

    opener: Hands
    answer: NDArray[np.int8]
    answer_bid: NDArray[np.int8]

    def answered(self, *names: str) -> BoolArray:
        """Whether opener's answer is one of ``names``."""
        return np.array([answer in names for answer in ANSWER_GIVEN.names]).take(self.answer)

    @cached_property
    def suit(self) -> NDArray[np.int8]:
        """The denomination that opener bid."""
        return self.answer_bid % np.int8(5)

    @cached_property
    def answer_level(self) -> NDArray[np.int8]:
        """The level that opener bid."""
        return self.answer_bid // np.int8(5) + np.int8(1)

    @cached_property
    def at_game(self) -> BoolArray:
        """Whether opener's bid is game or higher."""
        return self.answer_level >= GAME_LEVEL.take(self.suit)

    @cached_property
    def room(self) -> BoolArray:
        """Whether an invitation fits below game."""
        return self.answer_level + 1 < GAME_LEVEL.take(self.suit)

    @cached_property
    def extra(self) -> NDArray[np.integer]:
        """What responder needs more because the suit is a minor."""
        return (self.suit < HEARTS) * np.int16(self.agreement.continuation.minor_extra)

    @cached_property
    def jumped(self) -> BoolArray:
        """Whether opener rebid the opened suit above its cheapest level."""
        return self.answered("own_suit") & (self.answer_bid > self.rebid)

    @cached_property
    def reversed(self) -> BoolArray:
        """Whether opener bid a second suit not lower than the cheapest rebid."""
        return self.answered("second_suit") & (self.answer_bid > self.rebid)

    @cached_property
    def in_promised(self) -> IntArray:
        """Responder's cards in the one promised suit, 0 where two were promised."""
        return self.in_longest_promised * self.one_suit_promised

    def over_answer(self, suit: ArrayLike) -> NDArray[np.integer]:
        """The cheapest level of ``suit`` over opener's bid."""
        return cheapest_level(suit, self.answer_bid)


def answer_was(what: str, *names: str) -> Condition[AfterAnswer]:
    """Opener's answer is one of ``names``."""
    return holds(f"opener's answer: {what}", lambda s: s.answered(*names))


def support(need: Need) -> Condition[AfterAnswer]:
    """Responder's support points reach a figure, raised where the suit is a minor."""
    return at_least(
        "support points",
        lambda s: s.hands.support_points,
        lambda s: need(s.agreement) + s.extra,
    )


def hcp(need: Need) -> Condition[AfterAnswer]:
    """Responder's HCP reach a figure."""
    return at_least("HCP", lambda s: s.hands.hcp, lambda s: need(s.agreement))


def total(need: Need) -> Condition[AfterAnswer]:
    """Responder's total points, without length in the overcaller's suit, reach a figure."""
    return at_least("total points", lambda s: s.total_points, lambda s: need(s.agreement))


MINIMUM: Condition[AfterAnswer] = answer_was("a minimum raise", "raise_minimum")
JUMP: Condition[AfterAnswer] = answer_was("a jump raise", "raise_jump")
INVITES: tuple[Condition[AfterAnswer], ...] = (
    holds("room to invite", lambda s: s.room),
    support(lambda a: a.continuation.invite),
)
ACCEPTS: Condition[AfterAnswer] = at_least(
    "support points of opener's",
    lambda s: s.opener.support_points,
    lambda s: s.agreement.continuation.accept,
)


def game(s: AfterAnswer) -> ArrayLike:
    """Game in the denomination that opener bid."""
    return bid_code(GAME_LEVEL.take(s.suit), s.suit)


def stay(s: AfterAnswer) -> ArrayLike:
    """The bid that opener made."""
    return s.answer_bid


def one_up(s: AfterAnswer) -> ArrayLike:
    """One level above the bid that opener made."""
    return s.answer_bid + 5
