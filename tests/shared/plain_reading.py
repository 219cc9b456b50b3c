"""What the plain reading takes and plays by: hands of 52 bits, deals around one, other settings.

It gives every setting the name that a user gives it, and was written apart from the package.
"""

from contextlib import AbstractContextManager
from functools import cache
from itertools import takewhile
from typing import Any

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import REFERENCE, Agreement
from numpy.typing import NDArray


def plain_values(agreement: Agreement) -> dict[str, Any]:
    """Return every setting of an agreement by its key, as a file and the plain reading have it."""
    found = agreement.settings()
    return {one.key: one.field.metadata["kind"].written(one.value) for one in found}


def plainly(agreement: Agreement) -> AbstractContextManager[None]:
    """Have the plain reading play by ``agreement`` inside the block."""
    standing = plain_values(REFERENCE)
    moved = {key: to for key, to in plain_values(agreement).items() if to != standing[key]}
    return plain.played(moved)


def plain_hands(cards: NDArray[np.uint64]) -> list[plain.Hand]:
    """Return four holdings for each hand; ``cards`` has shape (n,)."""
    holdings = [((cards >> np.uint64(13 * suit)) & np.uint64(8191)).tolist() for suit in range(4)]
    return list(zip(*holdings, strict=True))


def plain_hand(cards: int) -> plain.Hand:
    """Return four holdings of a hand of 52 bits."""
    [hand] = plain_hands(np.array([cards], dtype=np.uint64))
    return hand


def hand_of(bidding: Any, player: str) -> int:
    """Return the hand, 52 bits, of one player of a bidding."""
    return bidding.cards[bidding.auction.seat_of(player) - 1]


def plain_board(board: Any) -> tuple[plain.Hand, plain.Hand, tuple[int, int, int]]:
    """Return opener's and responder's hands; opening, overcall and level."""
    bidding = board.bidding
    opener, responder = (plain_hand(hand_of(bidding, who)) for who in ("opener", "responder"))
    overcall = bidding.auction.overcall
    return opener, responder, (bidding.auction.opening, overcall.denomination, overcall.level)


@cache
def dealt_around(
    text: str, auction: str, deals: int, seed: int
) -> list[tuple[list[plain.Hand], plain.Auction]]:
    """Return those of random deals around a hand whose auction begins so, hands from the dealer on.

    The hand's is the next call after ``auction``; both are bid by the plain reading.
    """
    own, calls = plain.read_hand(text), auction.replace("P", "pass").split()
    cards = np.arange(52, dtype=np.uint64)
    held = np.array([own[card // 13] >> card % 13 & 1 for card in range(52)], dtype=np.bool_)
    stream = np.random.Generator(np.random.PCG64(seed))
    unseen = np.tile(np.uint64(1) << cards[~held], (deals, 1))
    dealt = stream.permuted(unseen, axis=1).reshape(deals, 3, 13).sum(axis=2)
    passes = len(list(takewhile("pass".__eq__, calls)))
    found = []
    for others in zip(*map(plain_hands, dealt.T), strict=True):
        hands = [*others]
        hands.insert(len(calls) % 4, own)
        # Most deals are left out by what the opener and the hands before it call.
        opened = (
            plain.opening(hand, seat) for seat, hand in enumerate(hands[: passes + 1], start=1)
        )
        if all(made == call for made, call in zip(opened, calls, strict=False)):
            bid = plain.whole_auction(hands)
            if [call for _, call in bid.calls[: len(calls)]] == calls:
                found.append((hands, bid))
    return found
