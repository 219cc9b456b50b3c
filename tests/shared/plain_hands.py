"""Hands as the plain reading takes them, of hands as 52 bits or as numbers of cards."""

from collections.abc import Iterable

import numpy as np
import plain.bidding as plain
from numpy.typing import NDArray


def plain_hands(cards: NDArray[np.uint64]) -> list[plain.Hand]:
    """Return four holdings for each hand; ``cards`` has shape (n,)."""
    holdings = [((cards >> np.uint64(13 * suit)) & np.uint64(8191)).tolist() for suit in range(4)]
    return list(zip(*holdings, strict=True))


def plain_hand(cards: Iterable[int]) -> plain.Hand:
    """Return four holdings of cards by their numbers, 13 to a suit."""
    [hand] = plain_hands(np.array([sum(1 << int(card) for card in cards)], dtype=np.uint64))
    return hand
