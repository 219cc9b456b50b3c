"""The whole auction of many deals at once, as far as the study follows it."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.advancer import ADVANCER, AdvancerSituation
from analysis.bidding.after_answer import AfterAnswer
from analysis.bidding.after_overcall import SEQUENCE_CODE, Overcalled
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
    would_defend,
)
from analysis.bidding.rules import Decided
from analysis.bidding.stages import (
    Actions,
    Answers,
    BidCodes,
    Contested,
    Contracts,
    Declarers,
    Doubles,
    NextHands,
    Openings,
    Passes,
    Reasons,
    Reopenings,
    Responses,
    Rows,
    Seats,
    Sequences,
    Suits,
    Undisturbed,
)
from analysis.cards.bids import NO_BID, NOTRUMP
from analysis.cards.hands import Hands, hand_words

_Suit = NDArray[np.integer]
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

    def _words(self, seat: NDArray[np.int8], rows: NDArray[np.intp]) -> NDArray[np.uint32]:
        """The words of the hands in ``seat`` (1 to 4, then round again) of ``rows``."""
        at = ((seat - 1) % np.int8(4)).astype(np.intp)
        at *= self.words.shape[1]
        at += rows
        return self.words.reshape(-1).take(at)

    @cached_property
    def opening_bids(self) -> BidCodes:
        """What each hand opens in its seat if nobody has opened before it; shape (4, n)."""
        lookup = opening_lookup(self.agreement)
        bids = [lookup.bids(words, seat) for seat, words in enumerate(self.words, 1)]
        return BidCodes(np.stack(bids))

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
        return Openings(Seats(seats), BidCodes(bids))

    @cached_property
    def next_hands(self) -> NextHands:
        """Deals opened with one of a suit, and the next hand's call."""
        first = self.openings
        rows = Rows(np.flatnonzero((first.bid >= 0) & (first.bid < NOTRUMP)))
        seat, suit = Seats(first.seat[rows]), Suits(first.bid[rows])
        action, overcall = overcall_lookup(self.agreement).calls(self._words(seat + 1, rows), suit)
        return NextHands(rows, seat, suit, Actions(action), BidCodes(overcall))

    @cached_property
    def responses(self) -> Responses:
        """Deals with an overcall of a suit, and the responder's call."""
        stage = self.next_hands
        here = np.flatnonzero(stage.overcall != NO_BID)
        rows, seat = Rows(stage.rows[here]), Seats(stage.seat[here])
        suit, overcall = stage.suit[here], stage.overcall[here]
        situation = Overcalled(
            Hands(self._words(seat + 2, rows)),
            self.agreement,
            suit,
            overcall % np.int8(5),
            overcall // np.int8(5) + np.int8(1),
        )
        opener = Hands(self._words(seat, rows))
        sequence = Sequences(SEQUENCE_CODE[suit, overcall])
        return Responses(rows, seat, sequence, opener, RESPONSE.decide(situation))

    def _other_hands(self, turn: int, rows: Rows) -> Hands:
        """The hands ``turn`` seats after the opener's; ``rows`` are positions among responses."""
        stage = self.responses
        return Hands(self._words(stage.seat[rows] + turn, stage.rows[rows]))

    @cached_property
    def doubles(self) -> Doubles:
        """Deals where the responder doubled, to their final contracts."""
        stage = self.responses
        rows = Rows(np.flatnonzero(stage.call == DOUBLE_CALL))
        after = self._auction(rows)
        responder = Overcalled(stage.situation.hands.rows(rows), *after)
        opener = AnswerSituation(stage.opener.rows(rows), *after)
        advancer = ADVANCER.decide(
            AdvancerSituation(self._other_hands(_ADVANCER, rows), *after, doubled=True)
        )
        quiet = advancer.bid == NO_BID
        undisturbed = self._undisturbed(rows, Rows(np.flatnonzero(quiet)))
        contested = self._contested(rows, Rows(np.flatnonzero(~quiet)), advancer)
        ends = final_contracts(undisturbed.end), final_contracts(contested.end)

        def together(quiet: NDArray[np.int8], disturbed: NDArray[np.int8]) -> NDArray[np.int8]:
            whole = np.empty(len(rows), dtype=np.int8)
            whole[undisturbed.rows], whole[contested.rows] = quiet, disturbed
            return whole

        return Doubles(
            rows,
            responder,
            opener,
            Reasons(REASON.decide(responder).name),
            advancer,
            undisturbed,
            contested,
            Answers(together(undisturbed.answer.name, contested.answer.name)),
            BidCodes(together(undisturbed.answer.bid, contested.answer.bid)),
            Contracts(together(*(end.contract for end in ends))),
            Declarers(together(*(end.declarer for end in ends))),
            BidCodes(together(*(end.last_bid for end in ends))),
            together(*(end.trumps for end in ends)),
        )

    def _auction(self, rows: Rows) -> tuple[Agreement, _Suit, _Suit, _Suit]:
        """The agreement and the auction to the overcall; ``rows`` are positions among responses."""
        suit, overcall, level = self.responses.situation.auction
        return self.agreement, suit[rows], overcall[rows], level[rows]

    def _undisturbed(self, doubles: Rows, rows: Rows) -> Undisturbed:
        at, stage = Rows(doubles[rows]), self.responses
        after, opener = self._auction(at), stage.opener.rows(at)
        answer = ANSWER.decide(AnswerSituation(opener, *after))
        responder = stage.situation.hands.rows(at)
        end = AfterAnswer(responder, *after, opener, answer.name, answer.bid)
        return Undisturbed(rows, answer, CONTINUATION.decide(end))

    def _contested(
        self, doubles: Rows, rows: Rows, advancer: Decided[AdvancerSituation]
    ) -> Contested:
        at, stage = Rows(doubles[rows]), self.responses
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
        call = self.responses.call
        passes = (call == PASS_CALL) | (call == PENALTY_PASS_CALL)
        return self._after_pass(Rows(np.flatnonzero(passes)))

    @cached_property
    def penalties(self) -> Passes:
        """Deals where the responder would pass to defend if four cards were enough for it."""
        return self._after_pass(Rows(would_defend(self.responses.situation)))

    def _after_pass(self, rows: Rows) -> Passes:
        """What follows if the responder passes; ``rows`` are positions among responses."""
        advancer = ADVANCER.decide(
            AdvancerSituation(
                self._other_hands(_ADVANCER, rows), *self._auction(rows), doubled=False
            )
        )
        to_opener = Rows(np.flatnonzero(advancer.bid == NO_BID))
        at = Rows(rows[to_opener])
        opener = REOPENING.decide(
            ReopeningSituation(self.responses.opener.rows(at), *self._auction(at))
        )
        reopening = np.full(len(rows), NOT_REACHED, dtype=np.int8)
        reopening[to_opener] = opener.name
        return Passes(rows, advancer, to_opener, opener, Reopenings(reopening))
