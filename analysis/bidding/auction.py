"""The whole auction of many deals at once, as far as the study follows it.

Each stage holds only the deals that reach it; ``rows`` says which those are.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import PAIR_OF, Overcalled
from analysis.bidding.answer import ANSWER, AnswerSituation
from analysis.bidding.class_tables import opening_lookup, overcall_lookup
from analysis.bidding.continuation import RestSituation
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import resting_places
from analysis.bidding.response import DOUBLE_CALL, decide_call
from analysis.cards.bids import NO_BID, NOTRUMP
from analysis.cards.hands import Hands, hand_words

Codes = NDArray[np.int8]
Rows = NDArray[np.intp]


@dataclass(frozen=True)
class Openings:
    """Every deal: ``seat`` of the opener (1 to 4, 0 passed out), code of the ``bid``; shape (n,)."""

    seat: Codes
    bid: Codes


@dataclass(frozen=True)
class NextHands:
    """Deals opened with one of a suit: the opener's hand, and what the next hand did.

    ``rows`` are positions among all deals; ``seat`` and ``suit`` are the opener's; ``call`` is a
    position in ``OVERCALL.names``, ``overcall`` the code of a suit overcall or NO_BID.
    """

    rows: Rows
    seat: Codes
    suit: Codes
    call: Codes
    overcall: Codes


@dataclass(frozen=True)
class Responses:
    """Deals with an overcall of a suit: opener's and responder's hands and responder's call.

    ``rows`` are positions among all deals; ``pair`` is the position of opening and overcall in
    ``PAIRS``, ``call`` a position in ``CALLS``.
    """

    rows: Rows
    seat: Codes
    pair: Codes
    situation: Overcalled
    opener: Hands
    call: Codes


@dataclass(frozen=True)
class Doubles:
    """Deals where the responder doubled: everything that follows.

    ``rows`` are positions among :class:`Responses`. ``reason`` is a position in ``REASON.names``,
    ``answer`` in ``ANSWERS``, ``rest`` in ``RESTS``; ``answer_bid`` and ``last_bid`` are codes;
    ``trumps`` are the combined cards in the suit last bid.
    """

    rows: Rows
    responder: Overcalled
    opener: AnswerSituation
    reason: Codes
    answer: Codes
    answer_bid: Codes
    rest: Codes
    last_bid: Codes
    trumps: Codes


class Auctions:
    """The auctions of many deals under one agreement.

    ``cards`` has shape (4 seats, n), uint64, as :func:`analysis.cards.dealing.deal_block` returns it.
    Stages are worked out when first asked for.
    """

    def __init__(self, cards: NDArray[np.uint64], agreement: Agreement) -> None:
        self.cards = cards
        self.agreement = agreement

    @cached_property
    def words(self) -> NDArray[np.uint32]:
        """The words of all hands, shape (4, n)."""
        return hand_words(self.cards, self.agreement.hand.good_suit)

    def _words(self, seat: Codes, rows: Rows) -> NDArray[np.uint32]:
        """The words of the hands in ``seat`` (1 to 4, then round again) of ``rows``."""
        at = ((seat - 1) % np.int8(4)).astype(np.intp)
        at *= self.words.shape[1]
        at += rows
        return self.words.reshape(-1).take(at)

    @cached_property
    def opening_bids(self) -> Codes:
        """What each hand opens in its seat if nobody has opened before it; shape (4, n)."""
        lookup = opening_lookup(self.agreement)
        return np.stack([lookup.bids(words, seat) for seat, words in enumerate(self.words, 1)])

    @cached_property
    def openings(self) -> Openings:
        """Who opened, and what."""
        bids = self.opening_bids[3]
        seats = (bids != NO_BID) * np.int8(4)
        # A seat that opens does so before those after it. Multiplying is how NumPy chooses fastest.
        for seat in (3, 2, 1):
            bid = self.opening_bids[seat - 1]
            passes = bid == NO_BID
            opens = ~passes
            bids = bids * passes + bid * opens
            seats = seats * passes + np.int8(seat) * opens
        return Openings(seats, bids)

    @cached_property
    def next_hands(self) -> NextHands:
        """Deals opened with one of a suit, and the next hand's call."""
        first = self.openings
        rows = np.flatnonzero((first.bid >= 0) & (first.bid < NOTRUMP))
        seat, suit = first.seat[rows], first.bid[rows]
        call, overcall = overcall_lookup(self.agreement).calls(self._words(seat + 1, rows), suit)
        return NextHands(rows, seat, suit, call, overcall)

    @cached_property
    def responses(self) -> Responses:
        """Deals with an overcall of a suit, and the responder's call."""
        stage = self.next_hands
        here = np.flatnonzero(stage.overcall != NO_BID)
        rows, seat = stage.rows[here], stage.seat[here]
        suit, overcall = stage.suit[here], stage.overcall[here]
        situation = Overcalled(
            Hands(self._words(seat + 2, rows)),
            self.agreement,
            suit,
            overcall % np.int8(5),
            overcall // np.int8(5) + np.int8(1),
        )
        opener = Hands(self._words(seat, rows))
        return Responses(
            rows, seat, PAIR_OF[suit, overcall], situation, opener, decide_call(situation)
        )

    @cached_property
    def doubles(self) -> Doubles:
        """Deals where the responder doubled, to where they rest."""
        stage = self.responses
        rows = np.flatnonzero(stage.call == DOUBLE_CALL)
        before = stage.situation
        suit, overcall, level = before.auction
        auction = (self.agreement, suit[rows], overcall[rows], level[rows])
        responder = Overcalled(before.hands.rows(rows), *auction)
        opener = AnswerSituation(stage.opener.rows(rows), *auction)
        chosen = ANSWER.decide(opener)
        answer, answer_bid = ANSWER.named(chosen), ANSWER.bids(opener, chosen)
        rest, last_bid, trumps = resting_places(
            RestSituation(responder.hands, *auction, opener.hands, answer, answer_bid)
        )
        return Doubles(
            rows,
            responder,
            opener,
            REASON.decide(responder),
            answer,
            answer_bid,
            rest,
            last_bid,
            trumps,
        )
