"""Settling (section 5), and the final contract that an auction with the double ends in.

A pair that settles plays the contract that partners with full knowledge would choose, so its
contract depends on both hands: combined cards in each suit, and stoppers in either hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, NOTRUMP, SPADES, SUITS, Bid, bid_code
from double_study.cards.hands import BoolArray, Hands, IntArray
from double_study.columns import COLUMNS
from double_study.rules.terms import GAME_LEVEL, Decided, cheapest_level

if TYPE_CHECKING:
    from double_study.rules.continuation import AfterAnswer

FIT_TRUMPS = 8

_MAJOR_FIT, _MINOR_FIT, _HIGH_FIT = FIT_TRUMPS, 9, 9
"""Combined cards for game in a major, for game in a minor, and for a part-score at level 4."""
_HIGHEST_PART_SCORE = 3
_FOUR, _FIVE, _SIX = (bid_code(level, 0) for level in (4, 5, 6))
_THREE_NOTRUMP = Bid(3, NOTRUMP).code
_SUITS = np.array(SUITS, dtype=np.int8)[:, np.newaxis]


@dataclass(frozen=True)
class Pair:
    """The opener's and the responder's hands together; ``theirs`` are the other side's suits.

    All have shape (n,). Bit *s* of ``theirs`` is set for suit *s*. Codes of bids are int8.
    """

    opener: Hands
    responder: Hands
    theirs: NDArray[np.int8]

    @cached_property
    def _ranked(self) -> NDArray[np.int8]:
        """Four times the combined cards in each suit, plus the suit's index; -1 for the other side's.

        The greatest value belongs to the longest suit and, of equals, to the higher-ranking.
        """
        combined = self.opener.lengths + self.responder.lengths
        return np.where(self._is_theirs, -1, 4 * combined + _SUITS).astype(np.int8)

    @cached_property
    def _is_theirs(self) -> BoolArray:
        return (self.theirs >> _SUITS & 1).astype(np.bool_)

    @cached_property
    def _longest(self) -> NDArray[np.int8]:
        return self._ranked.max(axis=0)

    @cached_property
    def most_combined(self) -> NDArray[np.int8]:
        return self._longest >> 2

    @cached_property
    def stopped(self) -> BoolArray:
        stopped = self.opener.stopper | self.responder.stopper | ~self._is_theirs
        return np.all(stopped, axis=0)

    def for_game(
        self, over: NDArray[np.int8], otherwise: NDArray[np.int8] | None = None
    ) -> NDArray[np.int8]:
        """Return the bid that the pair settles in for game, the last bid being ``over``.

        If none of the games is higher, return ``otherwise`` or, if not given, ``over`` itself, which
        is left in, or doubled if it is the other side's.
        """
        major = np.maximum(self._ranked[HEARTS], self._ranked[SPADES])
        minor = np.maximum(self._ranked[CLUBS], self._ranked[DIAMONDS])
        in_major, in_minor = _FOUR + (major & 3), _FIVE + (minor & 3)
        games = (
            (major >> 2 >= _MAJOR_FIT, in_major),
            (self.stopped, _THREE_NOTRUMP),
            (minor >> 2 >= _MINOR_FIT, in_minor),
            (major >> 2 == _MAJOR_FIT - 1, in_major),
            (minor >> 2 == _MINOR_FIT - 1, in_minor),
            (np.True_, _THREE_NOTRUMP),
        )
        chosen = over if otherwise is None else otherwise
        for playable, game in reversed(games):
            chosen = np.where(playable & (game > over), game, chosen)
        return chosen.astype(np.int8)

    def over_cue_bid(self, over: NDArray[np.int8]) -> NDArray[np.int8]:
        """Return the bid that the pair settles in for game over opener's cue-bid."""
        minor = np.maximum(self._ranked[CLUBS], self._ranked[DIAMONDS]) & 3
        five, six = _FIVE + minor, _SIX + minor
        return self.for_game(over, np.where(five > over, five, six))

    def for_part_score(self, over: NDArray[np.int8]) -> NDArray[np.int8]:
        """Return the bid that the pair settles in for a part-score over the other side's bid.

        It is ``over`` itself if the pair defends that bid doubled.
        """
        suit = self._longest & 3
        level = cheapest_level(suit, over)
        low = level <= _HIGHEST_PART_SCORE + (self.most_combined >= _HIGH_FIT)
        return np.where(low, bid_code(level, suit), over).astype(np.int8)


GAME, THREE_NOTRUMP, PART_FIT, PART_NO_FIT, PART_NOTRUMP, DEFENDED, THEIR_CONTRACT = range(
    COLUMNS["final_contract"].size
)
BY_OPENER, BY_RESPONDER, BY_OVERCALLER, BY_ADVANCER = range(COLUMNS["declarer"].size)

SETTLES_FOR_GAME, SETTLES_FOR_PART_SCORE = "settles_for_game", "settles_for_part_score"
SETTLES = (SETTLES_FOR_GAME, SETTLES_FOR_PART_SCORE)


class FinalContracts(NamedTuple):
    """Final contracts; int8, one entry per auction.

    ``final_contract`` and ``declarer`` are codes of these columns; the declarer is the player who
    named the denomination first for its side. ``last_bid`` is the code of a bid. ``trumps`` are
    opener's and responder's cards in the suit last bid, 0 in notrump. ``settled`` is 1 if the pair's
    last calls are not written out.
    """

    final_contract: NDArray[np.int8]
    declarer: NDArray[np.int8]
    last_bid: NDArray[np.int8]
    trumps: NDArray[np.int8]
    settled: NDArray[np.int8]


def final_contracts(end: Decided[AfterAnswer]) -> FinalContracts:
    """Return the final contracts from the decisions of ``CONTINUATION`` or ``CONTESTED_END``.

    The other side's last bid is doubled unless the rule's name is ``their_contract``.
    """
    last: NDArray[np.int8] = end.bid
    suit = last % 5
    trump = np.minimum(suit, SPADES)
    hands, opener = end.situation.hands, end.situation.opener
    trumps: IntArray = (hands.length_in(trump) + opener.length_in(trump)) * (suit != NOTRUMP)
    at_game = last // 5 + 1 >= GAME_LEVEL.take(suit)
    place = np.where(trumps >= FIT_TRUMPS, PART_FIT, PART_NO_FIT)
    place = np.where(at_game, GAME, place)
    place = np.where(suit == NOTRUMP, np.where(at_game, THREE_NOTRUMP, PART_NOTRUMP), place)
    theirs = last == end.situation.theirs
    place = np.where(theirs, DEFENDED, place)
    place = np.where(end.named("their_contract"), THEIR_CONTRACT, place)
    settled, trumps8 = end.named(*SETTLES).astype(np.int8), trumps.astype(np.int8)
    return FinalContracts(place.astype(np.int8), _declarers(end, theirs), last, trumps8, settled)


def _declarers(end: Decided[AfterAnswer], theirs: BoolArray) -> NDArray[np.int8]:
    """Return who plays each contract; doubles and cue-bids do not name a denomination.

    If a pair settles in a denomination that neither partner has bid, the call that would name it
    first is not written out. The responder is then taken to be declarer in a suit that the double
    promised, and the opener in any other suit and in notrump.
    """
    situation, denomination = end.situation, end.bid % 5
    promised = situation.promised_set >> np.minimum(denomination, SPADES) & 1 > 0
    by_opener = (denomination == situation.suit) | (denomination == NOTRUMP) | ~promised
    ours = np.where(by_opener, BY_OPENER, BY_RESPONDER)
    other_side = np.where(denomination == situation.overcall, BY_OVERCALLER, BY_ADVANCER)
    return np.where(theirs, other_side, ours).astype(np.int8)
