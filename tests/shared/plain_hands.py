"""Hands as the plain reading takes them, of hands as 52 bits."""

from typing import Any

import numpy as np
import plain.bidding as plain
from numpy.typing import NDArray


def plain_hands(cards: NDArray[np.uint64]) -> list[plain.Hand]:
    """Return four holdings for each hand; ``cards`` has shape (n,)."""
    holdings = [((cards >> np.uint64(13 * suit)) & np.uint64(8191)).tolist() for suit in range(4)]
    return list(zip(*holdings, strict=True))


def plain_hand(cards: int) -> plain.Hand:
    """Return four holdings of a hand of 52 bits."""
    [hand] = plain_hands(np.array([cards], dtype=np.uint64))
    return hand


def plain_board(board: Any) -> tuple[plain.Hand, plain.Hand, tuple[int, int, int]]:
    """Return opener's and responder's hands; opening, overcall and level."""
    bidding = board.bidding
    opener, responder = map(plain_hand, (bidding.opener_cards, bidding.responder_cards))
    overcall = bidding.auction.overcall
    return opener, responder, (bidding.auction.opening, overcall.denomination, overcall.level)


def dealt_around(cards: int, deals: int, seed: int) -> list[tuple[plain.Hand, ...]]:
    """Return the other three hands, of random deals around a hand of 52 bits."""
    unseen = np.array([1 << card for card in range(52) if not cards >> card & 1], dtype=np.uint64)
    stream = np.random.Generator(np.random.PCG64(seed))
    dealt = stream.permuted(np.tile(unseen, (deals, 1)), axis=1).reshape(deals, 3, 13).sum(axis=2)
    return list(zip(*map(plain_hands, dealt.T), strict=True))
