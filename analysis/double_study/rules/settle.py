"""Sections 5 and 8: the final contract, named by the last bid."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import NO_BID, NOTRUMP, SPADES
from double_study.columns import COLUMNS
from double_study.rules.continuation import AfterAnswer
from double_study.rules.terms import GAME_LEVEL, Decided

FIT_TRUMPS = 8
"""Trumps that make a fit."""

GAME, THREE_NOTRUMP, PART_FIT, PART_NO_FIT, PART_NOTRUMP, DEFENDED, THEIR_CONTRACT, GOES_ON = range(
    COLUMNS["final_contract"].size
)
BY_OPENER, BY_RESPONDER, BY_OVERCALLER, BY_ADVANCER, NOT_FOLLOWED = range(COLUMNS["declarer"].size)


class FinalContracts(NamedTuple):
    """Final contracts; int8, one entry an auction.

    ``contract`` is a code of the column ``final_contract``, ``declarer`` of ``declarer``, who named the
    denomination first for its side; ``last_bid`` of a bid (NO_BID where it goes on); ``trumps`` are
    opener's and responder's cards in the suit last bid, 0 in notrump and where it goes on.
    """

    contract: NDArray[np.int8]
    declarer: NDArray[np.int8]
    last_bid: NDArray[np.int8]
    trumps: NDArray[np.int8]


def final_contracts(end: Decided[AfterAnswer]) -> FinalContracts:
    """Return the final contracts, by what ``CONTINUATION`` or ``CONTESTED_END`` says."""
    last = end.bid
    suit = last % 5
    in_suit_bid = (last != NO_BID) & (suit != NOTRUMP)
    trump = np.minimum(suit, SPADES)
    hands, opener = end.situation.hands, end.situation.opener
    trumps = (hands.length_in(trump) + opener.length_in(trump)) * in_suit_bid
    at_game = last // 5 + 1 >= GAME_LEVEL.take(suit)
    place = np.where(trumps >= FIT_TRUMPS, PART_FIT, PART_NO_FIT)
    place = np.where(at_game, GAME, place)
    place = np.where(suit == NOTRUMP, np.where(at_game, THREE_NOTRUMP, PART_NOTRUMP), place)
    for name, code in (
        ("goes_on", GOES_ON),
        ("defended", DEFENDED),
        ("their_contract", THEIR_CONTRACT),
    ):
        place = np.where(end.named(name), code, place)
    return FinalContracts(
        place.astype(np.int8), _declarers(end, place), last, trumps.astype(np.int8)
    )


def _declarers(end: Decided[AfterAnswer], contract: NDArray[np.integer]) -> NDArray[np.int8]:
    """Return who plays each contract; the double and the cue-bids named nothing to be played."""
    situation, denomination = end.situation, end.bid % 5
    by_opener = (denomination == situation.opening) | (denomination == situation.suit)
    ours = np.where(by_opener, BY_OPENER, BY_RESPONDER)
    theirs = np.where(denomination == situation.overcall, BY_OVERCALLER, BY_ADVANCER)
    played = np.where((contract == DEFENDED) | (contract == THEIR_CONTRACT), theirs, ours)
    return np.where(contract == GOES_ON, NOT_FOLLOWED, played).astype(np.int8)
