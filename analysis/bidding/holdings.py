"""What opener and responder hold in a suit, as counts and exact tables tell it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.cards.bids import MAJORS, SUIT_NAMES
from analysis.vocabulary.dimension import Dimension, Numbers

FEWER, MANY = 2, 4
"""Opener's cards at either end of :data:`OPENER_HOLDS`: so many or fewer, so many or more."""

MAJOR = Dimension(
    "major", "major", "A major.", {name: name for name in (SUIT_NAMES[suit] for suit in MAJORS)}
)
RESPONDER_CARDS = Numbers(
    "responder_cards", "responder's cards", "The responder's cards in the suit.", range(14), "cards"
)
OPENER_CARDS = Numbers(
    "opener_cards",
    "opener's cards",
    "The opener's cards in its longest promised suit.",
    range(14),
    "cards",
)
OPENER_HOLDS = Dimension(
    "opener_holds",
    "opener holds",
    "The opener's cards in the major.",
    {name: name for name in (f"0 to {FEWER}", "3", f"{MANY} or more")},
)
FOUR_OR_MORE = OPENER_HOLDS.names[-1]


def opener_holds(cards: ArrayLike) -> NDArray[np.integer]:
    """The code in :data:`OPENER_HOLDS` of so many cards."""
    return np.clip(cards, FEWER, MANY) - FEWER
