"""What hands call at each step under an agreement, beside the plain reading of each."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import Agreement
from double_study.cards.bids import NO_BID, NOTRUMP, Bid
from double_study.cards.deal import deal_block
from double_study.cards.hands import Hands, hand_words
from double_study.columns import COLUMNS
from double_study.rules import contested
from double_study.rules.advancer import ADVANCER, AdvancerSituation
from double_study.rules.answer import ANSWER, SPADE_RAISE, AnswerSituation, SpadeRaiseSituation
from double_study.rules.auction import taken_out
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION, AfterAnswer, Answered
from double_study.rules.opening import OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import DOUBLE_CALL, REASON, RESPONSE, calls_of
from double_study.rules.settle import final_contracts
from double_study.rules.terms import SEQUENCES, Decided, Overcalled, RuleTable
from numpy.typing import NDArray
from shared.plain_reading import plain_hands

Codes = NDArray[np.int64]
Row = list[int]

_NEVER = -9
"""Stands where a step is not reached, as the opener's answer over a pass of the advancer's."""


def _columns(*columns: NDArray[np.generic]) -> Codes:
    return np.stack(columns, axis=1).astype(np.int64)


def _ends(end: Decided[AfterAnswer]) -> Codes:
    ends = final_contracts(end)
    return _columns(ends.final_contract, ends.last_bid, ends.trumps, ends.settled)


CONTESTED_STEPS = (
    (contested.CONTESTED_ANSWER, contested.ContestedSituation),
    (contested.OVERCALLER, contested.OvercallerSituation),
    (contested.CONTESTED_END, contested.ContestedEndSituation),
)


@dataclass
class Table:
    """Hands with those after them at the table, and an auction for each.

    ``cards`` has shape (4, n): the hands that call, and those after them in turn. ``auctions`` are
    the suits opened, the suits overcalled and the levels. ``given`` is the call that the later steps
    follow, by name and as bid: for the overcaller's second bid the opener's answer, otherwise the
    advancer's call; without it, it is what the hands call. The method of a step, by its section of
    the settings, returns what the package calls as whole numbers, one row per hand.
    """

    cards: NDArray[np.uint64]
    auctions: tuple[Codes, ...]
    seats: tuple[int, ...] = (1, 4)
    given: tuple[NDArray[np.int8], NDArray[np.int8]] | None = None

    @cached_property
    def known(self) -> list[tuple[Any, ...]]:
        """For each hand, what a function of PLAINLY takes: it and those after it, and the auction."""
        auctions = zip(*(part.tolist() for part in self.auctions), strict=True)
        return list(zip(*map(plain_hands, self.cards), auctions, strict=True))

    def hands(self, agreement: Agreement, turn: int = 0) -> Hands:
        return Hands(hand_words(self.cards[turn], agreement.hand.good_suit))

    def _decided(
        self, table: RuleTable[Any], situation: Any, agreement: Agreement, turn: int, *more: Any
    ) -> Decided[Any]:
        """Return the decisions in situations of the players that so many turns follow the own."""
        hands = self.hands(agreement, turn)
        return table.decide(situation(hands, agreement, *self.auctions, *more))

    def opening(self, agreement: Agreement) -> Codes:
        hands = self.hands(agreement)
        situations = [OpeningSituation(hands, agreement, seat) for seat in self.seats]
        return _columns(*(OPENING.decide(situation).bid for situation in situations))

    def overcall(self, agreement: Agreement) -> Codes:
        situation = OvercallSituation(self.hands(agreement), agreement, self.auctions[0])
        decided = OVERCALL.decide(situation)
        return _columns(decided.name, suit_overcall(decided))

    def response(self, agreement: Agreement) -> Codes:
        decided = self._decided(RESPONSE, Overcalled, agreement, 0)
        call, reason = calls_of(decided), REASON.decide(decided.situation).name
        return _columns(call, decided.bid, np.where(call == DOUBLE_CALL, reason, _NEVER))

    def _answer(self, agreement: Agreement) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
        answer = self._decided(ANSWER, AnswerSituation, agreement, 0)
        return answer.name, answer.bid

    def answer(self, agreement: Agreement) -> Codes:
        return _columns(*self._answer(agreement))

    def second_bid(self, agreement: Agreement) -> Codes:
        answer = self.given or self._answer(agreement)
        return _columns(self._decided(BIDS_AGAIN, Answered, agreement, 1, *answer).bid)

    def continuation(self, agreement: Agreement) -> Codes:
        answer = self._answer(agreement)
        again = self._decided(BIDS_AGAIN, Answered, agreement, 1, *answer)
        theirs = np.maximum(again.situation.overcall_bid.astype(np.int8), again.bid)
        after = *answer, self.hands(agreement), theirs
        return _ends(self._decided(CONTINUATION, AfterAnswer, agreement, 2, *after))

    def spade_raise(self, agreement: Agreement) -> Codes:
        situation = SpadeRaiseSituation(self.hands(agreement), agreement)
        return _columns(SPADE_RAISE.decide(situation).bid)

    def _advance(self, agreement: Agreement, turn: int, doubled: bool) -> tuple[Any, Any]:
        call = self._decided(ADVANCER, AdvancerSituation, agreement, turn, doubled)
        return call.name, call.bid

    def advancer(self, agreement: Agreement) -> Codes:
        """Return name and bid after a double, then those after a pass."""
        after_double, after_pass = (self._advance(agreement, 0, after) for after in (True, False))
        return _columns(*after_double, *after_pass)

    def contested_answer(self, agreement: Agreement) -> Codes:
        return self._contested(agreement)[:, :2]

    def contested_end(self, agreement: Agreement) -> Codes:
        """Return the ends, and last the overcaller's bids."""
        return self._contested(agreement)[:, 2:]

    def _contested(self, agreement: Agreement) -> Codes:
        name, bid = self.given or self._advance(agreement, 3, doubled=True)
        over, (first, second, third) = np.maximum(bid, 0), CONTESTED_STEPS
        answer = self._decided(*first, agreement, 0, over)
        answered = answer.name, answer.bid
        again = self._decided(*second, agreement, 1, *answered, name, over).bid
        last = *answered, self.hands(agreement), np.maximum(over, again), name, over
        end = self._decided(*third, agreement, 2, *last)
        codes = _columns(*answered, *_ends(end).T, again)
        return np.where(bid[:, np.newaxis] != NO_BID, codes, _NEVER)

    def reopening(self, agreement: Agreement) -> Codes:
        """Return names and bids, and the names that are counted after a penalty pass."""
        opener = self._decided(REOPENING, ReopeningSituation, agreement, 0)
        after_penalty_pass = taken_out(opener.name, self.hands(agreement, 3), self.auctions[1])
        return _columns(opener.name, opener.bid, after_penalty_pass)


def dealt(cards: NDArray[np.uint64]) -> Table:
    """Seat every hand of deals, shape (4 seats, n), before those after it; all 42 pairs in turn."""
    turn = np.arange(cards.size) % len(SEQUENCES)
    pairs = np.array([(suit, bid.denomination, bid.level) for suit, bid in SEQUENCES])
    seated = np.stack([np.roll(cards, -turn, axis=0).T.reshape(-1) for turn in range(4)])
    return Table(seated, tuple(pairs[turn].T))


# --- the rows of a step in words ---


def _bid(code: int, none: str | None = "pass") -> str | None:
    return none if code == NO_BID else str(Bid.from_code(code))


def _call(column: str, row: Row) -> tuple[str, str | None] | None:
    """Return the words for a name of a column and a bid, None if the step is not reached."""
    if row[0] == _NEVER:
        return None
    name = COLUMNS[column].names[row[0]]
    if name in ("double", "strong_double"):
        return name, "X"
    return name, None if name == "above_ceiling" else _bid(row[1])


def _end(row: Row) -> tuple[str, str | None, int | None, bool]:
    contract, last, trumps, settled = row[:4]
    cards = None if last % 5 == NOTRUMP else trumps
    return COLUMNS["final_contract"].names[contract], _bid(last), cards, bool(settled)


TOLD: dict[str, Callable[[Row], Any]] = {
    "opening": lambda row: [_bid(code) for code in row],
    "overcall": lambda row: (OVERCALL.names[row[0]], _bid(row[1], None)),
    "response": lambda row: (_call("call", row), None if row[2] < 0 else REASON.names[row[2]]),
    "answer": lambda row: _call("answer", row),
    "second_bid": lambda row: _bid(row[0]),
    "continuation": _end,
    "spade_raise": lambda row: _bid(row[0], None),
    "advancer": lambda row: [_call("advancer", row[:2]), _call("advancer", row[2:])],
    "contested_answer": lambda row: _call("answer", row),
    "contested_end": lambda row: None if row[0] == _NEVER else (_end(row), _bid(row[-1])),
    "reopening": lambda row: (_call("reopening", row), REOPENING.names[row[2]]),
}

# --- the plain reading of the same ---


Suits = tuple[int, int, int]
"""Y, Z and the level of an auction."""


def _response(own: plain.Hand, *rest: Any) -> Any:
    call = plain.response(own, *rest[-1])
    return call, plain.reason(own, *rest[-1]) if call[0] == "double" else None


def _second_bid(own: plain.Hand, next: plain.Hand, _: Any, __: Any, at: Suits) -> str:
    return plain.overcaller_after_answer(next, *at, *plain.answer(own, *at))


def _advances(own: plain.Hand, _: Any, __: Any, ___: Any, at: Suits) -> list[plain.Call]:
    return [plain.advancer(own, *at, after_double=doubled) for doubled in (True, False)]


def _contested_answer(own: plain.Hand, _: Any, __: Any, fourth: plain.Hand, at: Suits) -> Any:
    name, bid = plain.advancer(fourth, *at, after_double=True)
    return None if name == "pass" else plain.contested_answer(own, *at, bid)


def _contested_end(
    opener: plain.Hand, overcaller: plain.Hand, responder: plain.Hand, fourth: plain.Hand, at: Suits
) -> Any:
    name, bid = plain.advancer(fourth, *at, after_double=True)
    if bid == "pass":
        return None
    after = plain.contested(opener, overcaller, responder, *at, name, bid)
    return after.end, after.again


def _reopening(own: plain.Hand, _: Any, __: Any, fourth: plain.Hand, at: Suits) -> Any:
    call = plain.reopening(own, *at)
    return call, plain.reopening_name(*call, "penalty_pass", not fourth[at[1]])


PLAINLY: dict[str, Callable[..., Any]] = {
    "opening": lambda own, *_: [plain.opening(own, seat) for seat in (1, 4)],
    "overcall": lambda own, *rest: plain.overcall(own, rest[-1][0]),
    "response": _response,
    "answer": lambda own, *rest: plain.answer(own, *rest[-1]),
    "second_bid": _second_bid,
    "continuation": lambda *known: plain.continuation(*known[:3], *known[-1]).end,
    "spade_raise": lambda own, *_: plain.spade_raise(own),
    "advancer": _advances,
    "contested_answer": _contested_answer,
    "contested_end": _contested_end,
    "reopening": _reopening,
}

# The dealer has its own tests; here it only supplies hands.
FEW = dealt(deal_block(seed=51_966, block=6)[:, :6_000])
