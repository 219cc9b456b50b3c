"""The stages of many auctions at once, as :class:`~double_study.rules.auction.Auctions` works them out.

Each stage holds only the deals that reach it; ``rows`` says which those are. A bid is its code, or
:data:`~double_study.cards.bids.NO_BID`.

The whole auction of many deals at once, as far as the study follows it.

Auctions call by call, from the dealer's first call to the three passes that end them.

An auction that the study does not follow to its end stops at the last call that the rules give:
after an opening of something else than one of a suit, after an opening that is not overcalled in
a suit, after an overcall above the agreement's ceiling, after any call of the responder's but a
double and a pass, and where an auction goes on. After 1♠ over 1♥ the advancer is taken to pass, and
a raise of opener's is the last call.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NewType

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, HEARTS, NO_BID, NOTRUMP, PASS, Bid, Call
from double_study.cards.hands import Hands, hand_words
from double_study.rules.advancer import ADVANCER, AdvancerSituation
from double_study.rules.answer import ANSWER, SPADE_RAISE, AnswerSituation, SpadeRaiseSituation
from double_study.rules.contested import (
    CONTESTED_ANSWER,
    CONTESTED_END,
    OVERCALLER,
    ContestedEndSituation,
    ContestedSituation,
    OvercallerSituation,
)
from double_study.rules.continuation import CONTINUATION, AfterAnswer
from double_study.rules.opening import opening_lookup
from double_study.rules.overcall import overcall_lookup
from double_study.rules.reopening import DOUBLE_AGAIN, NOT_REACHED, REOPENING, ReopeningSituation
from double_study.rules.response import (
    ABOVE_CEILING,
    DOUBLE_CALL,
    ONE_LEVEL_MAJOR_CALL,
    PASS_CALL,
    PENALTY_PASS_CALL,
    REASON,
    RESPONSE,
    calls_of,
    would_defend,
)
from double_study.rules.settle import final_contracts
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES, Decided, Overcalled

Rows = NewType("Rows", NDArray[np.intp])
"""Positions among the deals of an earlier stage."""

# Each kind of small whole number has a type of its own: none may be taken for another.
Seats = NewType("Seats", NDArray[np.int8])
"""Seats from the dealer, 1 to 4; 0 for none."""
Suits = NewType("Suits", NDArray[np.int8])
BidCodes = NewType("BidCodes", NDArray[np.int8])
Actions = NewType("Actions", NDArray[np.int8])
"""Codes of ``ACTION``, the next hand's call."""
Sequences = NewType("Sequences", NDArray[np.int8])
"""Codes of ``SEQUENCE``, positions in ``SEQUENCES``."""
Calls = NewType("Calls", NDArray[np.int8])
"""Codes of ``CALL``, the responder's."""
Reasons = NewType("Reasons", NDArray[np.int8])
"""Codes of ``REASON_GIVEN``."""
Answers = NewType("Answers", NDArray[np.int8])
"""Codes of ``ANSWER_GIVEN``."""
Contracts = NewType("Contracts", NDArray[np.int8])
"""Codes of ``FINAL_CONTRACT``."""
Declarers = NewType("Declarers", NDArray[np.int8])
"""Codes of ``DECLARER``."""
AdvancerCalls = NewType("AdvancerCalls", NDArray[np.int8])
"""Codes of ``ADVANCER_CALL``."""
Reopenings = NewType("Reopenings", NDArray[np.int8])
"""Codes of ``REOPENING_CALL``."""


@dataclass(frozen=True)
class Openings:
    """Every deal: ``seat`` of the opener, 0 where all passed, and its ``bid``; shape (n,)."""

    seat: Seats
    bid: BidCodes


@dataclass(frozen=True)
class NextHands:
    """Deals opened with one of a suit: the opener's hand, and what the next hand did.

    ``rows`` are positions among all deals; ``seat`` and ``suit`` are the opener's; ``action`` is
    what the next hand did, ``overcall`` its bid where that was an overcall of a suit.
    """

    rows: Rows
    seat: Seats
    suit: Suits
    action: Actions
    overcall: BidCodes


@dataclass(frozen=True)
class Responses:
    """Deals with an overcall of a suit: opener's hand, and what the responder's rules say.

    ``rows`` are positions among all deals; ``sequence`` is the opening and the overcall.
    """

    rows: Rows
    seat: Seats
    sequence: Sequences
    opener: Hands
    decided: Decided[Overcalled]

    @property
    def situation(self) -> Overcalled:
        """The responder's hand in the auction so far."""
        return self.decided.situation

    @cached_property
    def call(self) -> Calls:
        """The responder's call."""
        return Calls(calls_of(self.decided))

    @cached_property
    def bid(self) -> BidCodes:
        """The responder's bid, NO_BID for any other call and above the ceiling."""
        return BidCodes(np.where(self.call == ABOVE_CEILING, np.int8(NO_BID), self.decided.bid))


@dataclass(frozen=True)
class Undisturbed:
    """Doubles that the advancer passes; ``rows`` are positions among :class:`Doubles`."""

    rows: Rows
    answer: Decided[AnswerSituation]
    end: Decided[AfterAnswer]


@dataclass(frozen=True)
class Contested:
    """Doubles over which the advancer bids; ``rows`` are positions among :class:`Doubles`."""

    rows: Rows
    answer: Decided[ContestedSituation]
    overcaller: Decided[OvercallerSituation]
    end: Decided[ContestedEndSituation]


@dataclass(frozen=True)
class Doubles:
    """Deals where the responder doubled: everything that follows.

    ``rows`` are positions among :class:`Responses`; ``trumps`` are opener's and responder's cards
    in the suit last bid. Every double is in ``undisturbed`` or in ``contested``.
    """

    rows: Rows
    responder: Overcalled
    opener: AnswerSituation
    reason: Reasons
    advancer: Decided[AdvancerSituation]
    undisturbed: Undisturbed
    contested: Contested
    answer: Answers
    answer_bid: BidCodes
    final_contract: Contracts
    declarer: Declarers
    last_bid: BidCodes
    trumps: NDArray[np.int8]

    @property
    def advancer_call(self) -> AdvancerCalls:
        """The advancer's call over the double."""
        return AdvancerCalls(self.advancer.name)


@dataclass(frozen=True)
class Passes:
    """Deals where the responder passed, for penalties or for want of a call, or would pass.

    ``rows`` are positions among :class:`Responses`; ``to_opener`` are positions among these, where
    the advancer passes, too, and ``opener`` says what the opener then does. ``reopening`` has
    one entry a pass of the responder's.
    """

    rows: Rows
    advancer: Decided[AdvancerSituation]
    to_opener: Rows
    opener: Decided[ReopeningSituation]
    reopening: Reopenings

    @property
    def advancer_call(self) -> AdvancerCalls:
        """The advancer's call over the pass."""
        return AdvancerCalls(self.advancer.name)


_Suit = NDArray[np.integer]
_OVERCALLER, _ADVANCER = 1, 3
"""Seats after the opener's."""


class Auctions:
    """The auctions of many deals under one agreement.

    ``cards`` has shape (4 seats, n), uint64, as :func:`double_study.cards.deal.deal_block` returns it.
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


DealRows = NDArray[np.intp]
CallCodes = NDArray[np.int8]

DOUBLE_CODE, NO_CALL = -2, -3
"""A double, and what stands after an auction's last call; a pass is NO_BID, as in the rules."""

MOST_CALLS = 20
"""More than any auction of the study has; a longer one would be an error."""
_PASSES_THAT_END = 3


class _Calls:
    """The calls of many auctions, to which calls are added row by row."""

    def __init__(self, deals: int) -> None:
        self.calls = np.full((deals, MOST_CALLS), NO_CALL, dtype=np.int8)
        self._length = np.zeros(deals, dtype=np.intp)

    def add(self, rows: DealRows, calls: CallCodes | int) -> None:
        """One more call in each of ``rows``."""
        self.calls[rows, self._length[rows]] = calls
        self._length[rows] += 1

    def finish(self, rows: DealRows) -> None:
        """Passes, until there are three at the end of each of ``rows``."""
        for number in range(1, _PASSES_THAT_END + 1):
            lacking = self.calls[rows, self._length[rows] - number] != NO_BID
            for _ in range(_PASSES_THAT_END + 1 - number):
                self.add(rows[lacking], NO_BID)
            rows = rows[~lacking]


def call_codes(auctions: Auctions) -> CallCodes:
    """Every call of every auction; int8, shape (deals, :data:`MOST_CALLS`).

    A bid is its code, a pass NO_BID, a double :data:`DOUBLE_CODE`; then :data:`NO_CALL`.
    """
    opened = auctions.openings
    made = _Calls(len(opened.seat))
    for seat in range(1, 5):
        made.add(np.flatnonzero((opened.seat >= seat) | (opened.seat == 0)), NO_BID)
    opening = np.flatnonzero(opened.seat > 0)
    # The pass that stands in the opener's own turn gives way to the opening.
    made.calls[opening, opened.seat[opening] - 1] = opened.bid[opening]
    responses = auctions.responses
    made.add(responses.rows, OVERCALLS.take(responses.sequence))
    call = np.where(responses.call == DOUBLE_CALL, np.int8(DOUBLE_CODE), responses.bid)
    within = np.flatnonzero(responses.call != ABOVE_CEILING)
    made.add(responses.rows[within], call[within])
    _after_one_spade(made, auctions)
    _after_doubles(made, auctions.doubles, responses.rows[auctions.doubles.rows])
    _after_passes(made, auctions)
    return made.calls


OVERCALLS = np.array([bid.code for _, bid in SEQUENCES], dtype=np.int8)
"""The code of the overcall in each of SEQUENCES."""


def _after_one_spade(made: _Calls, auctions: Auctions) -> None:
    responses = auctions.responses
    showed = np.flatnonzero(
        (responses.call == ONE_LEVEL_MAJOR_CALL)
        & (OVERCALLS.take(responses.sequence) == Bid(1, HEARTS).code)
    )
    opener = SpadeRaiseSituation(responses.opener.rows(showed), auctions.agreement)
    bid = SPADE_RAISE.decide(opener).bid
    raised = bid != NO_BID
    rows = responses.rows[showed[raised]]
    made.add(rows, NO_BID)
    made.add(rows, bid[raised])


def _after_doubles(made: _Calls, doubles: Doubles, deals: DealRows) -> None:
    """What follows a double; ``deals`` are the positions of the doubles among all deals."""
    quiet, contested = doubles.undisturbed, doubles.contested
    made.add(deals, doubles.advancer.bid)

    rows = deals[quiet.rows]
    made.add(rows, quiet.answer.bid)
    made.add(rows, NO_BID)
    defended = quiet.end.named("defended")
    goes_on = quiet.end.named("goes_on")
    _end(made, rows, quiet.end, ~defended & ~goes_on)

    rows = deals[contested.rows]
    doubled = contested.answer.named("strong_double")
    made.add(rows, np.where(doubled, np.int8(DOUBLE_CODE), contested.answer.bid))
    made.add(rows, contested.overcaller.bid)
    goes_on = contested.end.named("goes_on")
    made.add(rows[goes_on & contested.answer.named("pass")], DOUBLE_CODE)
    _end(made, rows, contested.end, ~goes_on)


def _end(made: _Calls, rows: DealRows, end: Decided[AfterAnswer], here: NDArray[np.bool_]) -> None:
    """The responder's last call and, after an invitation, opener's; then the passes."""
    stays = end.named("rests", "their_contract")
    last = end.bid
    accepted = here & end.named("invitation_accepted", "two_notrump_accepted")
    invitation = end.situation.answer_bid + np.int8(5)
    own = np.where(stays, np.int8(NO_BID), np.where(accepted, invitation, last))
    made.add(rows[here], own[here])
    made.add(rows[accepted], NO_BID)
    made.add(rows[accepted], last[accepted])
    made.finish(rows[here])


def _after_passes(made: _Calls, auctions: Auctions) -> None:
    """What follows a pass of the responder's."""
    responses, passes = auctions.responses, auctions.passes
    made.add(responses.rows[passes.rows], passes.advancer.bid)
    at = passes.rows[passes.to_opener]
    rows = responses.rows[at]
    doubled = passes.reopening[passes.to_opener] == DOUBLE_AGAIN
    call = np.where(doubled, np.int8(DOUBLE_CODE), passes.opener.bid)
    made.add(rows, call)
    had = doubled & (responses.call[at] == PENALTY_PASS_CALL)
    made.finish(rows[had | (call == NO_BID)])


def call_code(call: Call) -> int:
    """The code of a call; the reverse of :func:`call_of`."""
    if isinstance(call, Bid):
        return call.code
    return DOUBLE_CODE if call == DOUBLE else NO_BID


def call_of(code: int) -> Call:
    """A call from its code."""
    if code == DOUBLE_CODE:
        return DOUBLE
    return PASS if code == NO_BID else Bid.from_code(code)


def calls_made(codes: CallCodes) -> tuple[Call, ...]:
    """The calls of one auction, a row of :func:`call_codes`."""
    return tuple(call_of(int(code)) for code in codes if code != NO_CALL)


def ended(codes: CallCodes) -> NDArray[np.bool_]:
    """Which auctions, rows of :func:`call_codes`, have come to their end."""
    length = (codes != NO_CALL).sum(axis=1)
    last = length[:, np.newaxis] - 1 - np.arange(_PASSES_THAT_END)
    passed = np.take_along_axis(codes, np.maximum(last, 0), axis=1) == NO_BID
    return np.asarray(passed.all(axis=1) & (length > _PASSES_THAT_END))
