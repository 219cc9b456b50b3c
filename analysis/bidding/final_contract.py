"""Section 5: where the auction comes to rest, named by its last bid."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.after_overcall import GAME_LEVEL
from analysis.bidding.continuation import CONTINUATION, RestSituation
from analysis.cards.bids import NO_BID, NOTRUMP, SPADES

FIT_TRUMPS = 8
"""Trumps that make a fit."""

RESTS = (
    "game",
    "three_notrump",
    "part_score_fit",
    "part_score_no_fit",
    "notrump_part_score",
    "defended",
    "goes_on",
)
"""The resting places as tables name them."""
GAME, THREE_NOTRUMP, PART_FIT, PART_NO_FIT, PART_NOTRUMP, DEFENDED, GOES_ON = range(len(RESTS))

_GOES_ON = CONTINUATION.names.index("goes_on")
_DEFENDED = CONTINUATION.names.index("defended")


def resting_places(
    situation: RestSituation,
) -> tuple[NDArray[np.int8], NDArray[np.int8], NDArray[np.int8]]:
    """Where each auction rests.

    Returns three int8 arrays of the hands' shape: the resting place (a position in
    :data:`RESTS`), the code of the last bid (:data:`~analysis.cards.bids.NO_BID` where it goes on) and
    the trumps, the two hands' cards in the suit last bid (0 in notrump and where it goes on).
    """
    chosen = CONTINUATION.decide(situation)
    last = CONTINUATION.bids(situation, chosen)
    decision = CONTINUATION.named(chosen)
    suit = last % 5
    in_suit_bid = (last != NO_BID) & (suit != NOTRUMP)
    trump = np.minimum(suit, SPADES)
    trumps = np.where(
        in_suit_bid,
        situation.hands.length_in(trump) + situation.opener.length_in(trump),
        0,
    ).astype(np.int8)
    at_game = last // 5 + 1 >= GAME_LEVEL.take(suit)
    place = np.where(trumps >= FIT_TRUMPS, PART_FIT, PART_NO_FIT)
    place = np.where(at_game, GAME, place)
    place = np.where(suit == NOTRUMP, np.where(at_game, THREE_NOTRUMP, PART_NOTRUMP), place)
    place = np.where(decision == _GOES_ON, GOES_ON, place)
    place = np.where(decision == _DEFENDED, DEFENDED, place)
    return place.astype(np.int8), last, trumps
