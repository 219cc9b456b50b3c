"""The whole auction of many deals at once, as far as the study follows it."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.advancer import ADVANCER, AdvancerSituation
from analysis.bidding.after_answer import RestSituation
from analysis.bidding.after_overcall import PAIR_OF, Overcalled
from analysis.bidding.answer import ANSWER, AnswerSituation
from analysis.bidding.class_tables import opening_lookup, overcall_lookup
from analysis.bidding.contested_answer import CONTESTED_ANSWER, ContestedSituation
from analysis.bidding.contested_end import CONTESTED_END, ContestedEndSituation
from analysis.bidding.continuation import CONTINUATION
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import final_contracts
from analysis.bidding.overcaller_again import OVERCALLER, OvercallerSituation
from analysis.bidding.reopening import NOT_REACHED, REOPENING, ReopeningSituation
from analysis.bidding.response import (
    DOUBLE_CALL,
    PASS_CALL,
    PENALTY_PASS_CALL,
    RESPONSE,
)
from analysis.bidding.rules import Decided
from analysis.bidding.stages import (
    Codes,
    Contested,
    Doubles,
    NextHands,
    Openings,
    Passes,
    Responses,
    Rows,
    Undisturbed,
)
from analysis.cards.bids import NO_BID, NOTRUMP
from analysis.cards.hands import Hands, hand_words

Suits = NDArray[np.integer]
_OVERCALLER, _ADVANCER = 1, 3
"""Seats after the opener's."""


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
        return Responses(rows, seat, PAIR_OF[suit, overcall], opener, RESPONSE.decide(situation))

    def _other_hands(self, turn: int, rows: Rows) -> Hands:
        """The hands ``turn`` seats after the opener's; ``rows`` are positions among responses."""
        stage = self.responses
        return Hands(self._words(stage.seat[rows] + turn, stage.rows[rows]))

    @cached_property
    def doubles(self) -> Doubles:
        """Deals where the responder doubled, to where they rest."""
        stage = self.responses
        rows = np.flatnonzero(stage.call == DOUBLE_CALL)
        after = self._auction(rows)
        responder = Overcalled(stage.situation.hands.rows(rows), *after)
        opener = AnswerSituation(stage.opener.rows(rows), *after)
        advancer = ADVANCER.decide(
            AdvancerSituation(self._other_hands(_ADVANCER, rows), *after, doubled=True)
        )
        quiet = advancer.bid == NO_BID
        undisturbed = self._undisturbed(rows, np.flatnonzero(quiet))
        contested = self._contested(rows, np.flatnonzero(~quiet), advancer)
        ends = final_contracts(undisturbed.end), final_contracts(contested.end)

        def together(quiet: Codes, disturbed: Codes) -> Codes:
            whole = np.empty(len(rows), dtype=np.int8)
            whole[undisturbed.rows], whole[contested.rows] = quiet, disturbed
            return whole

        return Doubles(
            rows,
            responder,
            opener,
            REASON.decide(responder).name,
            advancer,
            undisturbed,
            contested,
            together(undisturbed.answer.name, contested.answer.name),
            together(undisturbed.answer.bid, contested.answer.bid),
            together(*(end.rest for end in ends)),
            together(*(end.last_bid for end in ends)),
            together(*(end.trumps for end in ends)),
        )

    def _auction(self, rows: Rows) -> tuple[Agreement, Suits, Suits, Suits]:
        """The agreement and the auction to the overcall; ``rows`` are positions among responses."""
        suit, overcall, level = self.responses.situation.auction
        return self.agreement, suit[rows], overcall[rows], level[rows]

    def _undisturbed(self, doubles: Rows, rows: Rows) -> Undisturbed:
        at, stage = doubles[rows], self.responses
        after, opener = self._auction(at), stage.opener.rows(at)
        answer = ANSWER.decide(AnswerSituation(opener, *after))
        responder = stage.situation.hands.rows(at)
        end = RestSituation(responder, *after, opener, answer.name, answer.bid)
        return Undisturbed(rows, answer, CONTINUATION.decide(end))

    def _contested(
        self, doubles: Rows, rows: Rows, advancer: Decided[AdvancerSituation]
    ) -> Contested:
        at, stage = doubles[rows], self.responses
        after, opener = self._auction(at), stage.opener.rows(at)
        call, bid = advancer.name[rows], advancer.bid[rows]
        answer = CONTESTED_ANSWER.decide(ContestedSituation(opener, *after, bid))
        overcaller = OVERCALLER.decide(
            OvercallerSituation(self._other_hands(_OVERCALLER, at), *after, call, bid, answer.bid)
        )
        end = ContestedEndSituation(
            stage.situation.hands.rows(at),
            *after,
            opener,
            answer.name,
            answer.bid,
            np.maximum(bid, overcaller.bid),
        )
        return Contested(rows, answer, overcaller, CONTESTED_END.decide(end))

    @cached_property
    def passes(self) -> Passes:
        """Deals where the responder passed, to the opener's second call."""
        stage = self.responses
        rows = np.flatnonzero((stage.call == PASS_CALL) | (stage.call == PENALTY_PASS_CALL))
        advancer = ADVANCER.decide(
            AdvancerSituation(
                self._other_hands(_ADVANCER, rows), *self._auction(rows), doubled=False
            )
        )
        to_opener = np.flatnonzero(advancer.bid == NO_BID)
        at = rows[to_opener]
        opener = REOPENING.decide(ReopeningSituation(stage.opener.rows(at), *self._auction(at)))
        reopening = np.full(len(rows), NOT_REACHED, dtype=np.int8)
        reopening[to_opener] = opener.name
        return Passes(rows, advancer, to_opener, opener, reopening)
