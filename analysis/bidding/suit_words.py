"""How rules speak of the suits of an auction: in words that fit every auction, and by name in one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from analysis.cards.bids import SUIT_NAMES


class SuitWords(str):
    """What a condition looks at, where that is a suit, in words for every auction; and for one."""

    def __new__(cls, words: str, suits: Suits) -> SuitWords:
        """``words`` have ``{}`` in place of the suit."""
        return super().__new__(cls, words.format(suits.phrase))

    def __init__(self, words: str, suits: Suits) -> None:
        self.words, self.suits = words, suits

    def here(self, situation: Any) -> str:
        """The same with the suits by name: ``spades`` for cards in a suit, ``a stopper in spades``."""
        names = self.suits.names(situation)
        return names if self.words == _CARDS_IN else self.words.format(names)


_CARDS_IN = "cards in {}"


@dataclass(frozen=True)
class Suits:
    """Suits that rules speak of: how they are called in any auction, and which they are in one.

    ``of`` gives them for the first hand of a situation, by number, and ``between`` joins their names.
    Where there are none (a number below 0) they keep the general name.
    """

    phrase: str
    of: Callable[[Any], ArrayLike]
    between: Callable[[Any], str] = lambda _: " and "

    @property
    def cards(self) -> SuitWords:
        """How many cards are held there."""
        return self.said(_CARDS_IN)

    def said(self, words: str) -> SuitWords:
        """Something about them, with ``{}`` in their place."""
        return SuitWords(words, self)

    def names(self, situation: Any) -> str:
        """Their names in an auction."""
        there = [suit for suit in np.atleast_1d(self.of(situation)).tolist() if suit >= 0]
        return self.between(situation).join(SUIT_NAMES[suit] for suit in there) or self.phrase
