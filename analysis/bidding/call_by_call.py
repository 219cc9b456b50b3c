"""Auctions call by call, from the dealer's first call to the three passes that end them.

An auction that the study does not follow to its end stops at the last call that the rules give:
after an opening of something else than one of a suit, after an opening that is not overcalled in
a suit, after an overcall above the agreement's ceiling, after any call of the responder's but a
double and a pass, and where an auction goes on. After 1♠ over 1♥ the advancer is taken to pass, and
a raise of opener's is the last call.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.bidding.after_answer import AfterAnswer
from analysis.bidding.after_overcall import SEQUENCES
from analysis.bidding.auction import Auctions
from analysis.bidding.reopening import DOUBLE_AGAIN
from analysis.bidding.response import (
    ABOVE_CEILING,
    DOUBLE_CALL,
    ONE_LEVEL_MAJOR_CALL,
    PENALTY_PASS_CALL,
)
from analysis.bidding.rules import Decided
from analysis.bidding.spade_raise import SPADE_RAISE, SpadeRaiseSituation
from analysis.bidding.stages import Doubles
from analysis.cards.bids import DOUBLE, HEARTS, NO_BID, PASS, Bid, Call

Rows = NDArray[np.intp]
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

    def add(self, rows: Rows, calls: CallCodes | int) -> None:
        """One more call in each of ``rows``."""
        self.calls[rows, self._length[rows]] = calls
        self._length[rows] += 1

    def finish(self, rows: Rows) -> None:
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


def _after_doubles(made: _Calls, doubles: Doubles, deals: Rows) -> None:
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


def _end(made: _Calls, rows: Rows, end: Decided[AfterAnswer], here: NDArray[np.bool_]) -> None:
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
