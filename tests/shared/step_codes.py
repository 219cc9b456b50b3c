"""What many hands call at each step under an agreement, beside the plain reading of each.

Each step has three functions: from an agreement to whole numbers, a row a hand; from such a row to
words; and from a hand's position to the words that the plain reading has for it.
"""

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import Agreement
from double_study.cards.bids import NO_BID, Bid
from double_study.cards.deal import deal_block
from double_study.cards.hands import Hands, hand_words
from double_study.columns import COLUMNS
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
from double_study.rules.opening import OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, REASON, RESPONSE, calls_of
from double_study.rules.settle import final_contracts
from double_study.rules.terms import SEQUENCES, Decided, Overcalled
from numpy.typing import NDArray
from shared.plain_hands import plain_hands

Codes = NDArray[np.int64]
Row = list[int]
Step = tuple[Callable[[Agreement], Codes], Callable[[Row], Any], Callable[[int], Any]]

_NEVER = -9
"""Stands where a step is not reached, as the opener's answer over a pass of the advancer's."""


def _text(code: int, none: str | None = None) -> str | None:
    return none if code == NO_BID else str(Bid.from_code(code))


def _columns(*columns: NDArray[np.generic]) -> Codes:
    return np.stack(columns, axis=1).astype(np.int64)


class Hands4:
    """Hands with those after them at the table, and an auction for each: all 42 pairs in turn.

    ``cards`` are the deals, shape (4 seats, n); every hand takes each part, so the other three are
    those of the seats after it.
    """

    def __init__(self, cards: NDArray[np.uint64]) -> None:
        self._cards = [np.roll(cards, -turn, axis=0).T.reshape(-1) for turn in range(4)]
        self.all = np.arange(cards.size)
        turn = self.all % len(SEQUENCES)
        self.auctions: tuple[Codes, Codes, Codes] = (
            np.array([suit for suit, _ in SEQUENCES])[turn],
            np.array([bid.denomination for _, bid in SEQUENCES])[turn],
            np.array([bid.level for _, bid in SEQUENCES])[turn],
        )
        """Opening suit, suit overcalled and level for each hand."""

    @cached_property
    def plain(self) -> list[list[plain.Hand]]:
        """The hands for the plain reading: a hand's own, then those after it at the table."""
        return [plain_hands(cards) for cards in self._cards]

    def auction(self, at: int) -> tuple[int, int, int]:
        opening, overcall, level = (int(part[at]) for part in self.auctions)
        return opening, overcall, level

    def hands(self, agreement: Agreement, turn: int = 0) -> Hands:
        return Hands(hand_words(self._cards[turn], agreement.hand.good_suit))

    # --- the package, step by step ---

    def openings(self, agreement: Agreement) -> Codes:
        return _columns(
            *(
                OPENING.decide(OpeningSituation(self.hands(agreement), agreement, seat)).bid
                for seat in (1, 4)
            )
        )

    def overcalls(self, agreement: Agreement) -> Codes:
        situation = OvercallSituation(self.hands(agreement), agreement, self.auctions[0])
        decided = OVERCALL.decide(situation)
        return _columns(decided.name, suit_overcall(decided))

    def responses(self, agreement: Agreement) -> Codes:
        situation = Overcalled(self.hands(agreement), agreement, *self.auctions)
        decided = RESPONSE.decide(situation)
        call = calls_of(decided)
        reason = np.where(call == DOUBLE_CALL, REASON.decide(situation).name, _NEVER)
        bid = np.where(call == ABOVE_CEILING, NO_BID, decided.bid)
        return _columns(call, bid, reason)

    def answered(self, agreement: Agreement) -> Decided[AnswerSituation]:
        return ANSWER.decide(AnswerSituation(self.hands(agreement), agreement, *self.auctions))

    def answers(self, agreement: Agreement) -> Codes:
        answer = self.answered(agreement)
        return _columns(answer.name, answer.bid)

    def rests(self, agreement: Agreement) -> Codes:
        answer = self.answered(agreement)
        situation = AfterAnswer(
            self.hands(agreement, 2),
            agreement,
            *self.auctions,
            answer.situation.hands,
            answer.name,
            answer.bid,
        )
        ends = final_contracts(CONTINUATION.decide(situation))
        return _columns(ends.contract, ends.last_bid, ends.trumps)

    def spade_raises(self, agreement: Agreement) -> Codes:
        return _columns(
            SPADE_RAISE.decide(SpadeRaiseSituation(self.hands(agreement), agreement)).bid
        )

    def advanced(
        self, agreement: Agreement, doubled: bool, turn: int = 0
    ) -> Decided[AdvancerSituation]:
        return ADVANCER.decide(
            AdvancerSituation(self.hands(agreement, turn), agreement, *self.auctions, doubled)
        )

    def advances(self, agreement: Agreement) -> Codes:
        calls = [self.advanced(agreement, doubled) for doubled in (True, False)]
        return _columns(*(part for call in calls for part in (call.name, call.bid)))

    def contested(
        self, agreement: Agreement
    ) -> tuple[Decided[AdvancerSituation], Decided[ContestedSituation]]:
        """The advancer over the double, and the opener as if that had been a bid."""
        advancer = self.advanced(agreement, doubled=True, turn=3)
        situation = ContestedSituation(
            self.hands(agreement), agreement, *self.auctions, np.maximum(advancer.bid, 0)
        )
        return advancer, CONTESTED_ANSWER.decide(situation)

    def contested_answers(self, agreement: Agreement) -> Codes:
        advancer, answer = self.contested(agreement)
        return _reached(advancer, answer.name, answer.bid)

    def contested_ends(self, agreement: Agreement) -> Codes:
        advancer, answer = self.contested(agreement)
        overcaller = OVERCALLER.decide(
            OvercallerSituation(
                self.hands(agreement, 1),
                agreement,
                *self.auctions,
                advancer.name,
                np.maximum(advancer.bid, 0),
                answer.bid,
            )
        )
        end = ContestedEndSituation(
            self.hands(agreement, 2),
            agreement,
            *self.auctions,
            answer.situation.hands,
            answer.name,
            answer.bid,
            np.maximum(np.maximum(advancer.bid, 0), overcaller.bid),
        )
        ends = final_contracts(CONTESTED_END.decide(end))
        return _reached(advancer, ends.contract, ends.last_bid, ends.trumps)

    def reopenings(self, agreement: Agreement) -> Codes:
        situation = ReopeningSituation(self.hands(agreement), agreement, *self.auctions)
        opener = REOPENING.decide(situation)
        return _columns(opener.name, opener.bid)

    # --- the plain reading of the same ---

    def plain_response(self, at: int) -> tuple[str, str | None, str | None]:
        hand = self.plain[0][at]
        name, bid = plain.response(hand, *self.auction(at))
        why = plain.reason(hand, *self.auction(at)) if name == "double" else None
        return name, None if bid in ("pass", "X") else bid, why

    def plain_rest(self, at: int) -> tuple[str, str | None, int]:
        opener, responder = self.plain[0][at], self.plain[2][at]
        where, bid, trumps = plain.resting_place(opener, responder, *self.auction(at))
        return where, bid, trumps or 0

    def plain_advances(self, at: int) -> list[tuple[str, str]]:
        hand = self.plain[0][at]
        return [plain.advancer(hand, *self.auction(at), doubled) for doubled in (True, False)]

    def plain_contested_answer(self, at: int) -> tuple[str, str] | None:
        name, bid = plain.advancer(self.plain[3][at], *self.auction(at), after_double=True)
        if name == "pass":
            return None
        return plain.contested_answer(self.plain[0][at], *self.auction(at), bid)

    def plain_contested_end(self, at: int) -> tuple[str, str | None, int] | None:
        advancer = plain.advancer(self.plain[3][at], *self.auction(at), after_double=True)
        if advancer[0] == "pass":
            return None
        opener, overcaller, responder = (self.plain[turn][at] for turn in range(3))
        where, bid, trumps = plain.contested_end(
            opener, overcaller, responder, *self.auction(at), *advancer
        )
        return where, bid, trumps or 0

    @property
    def steps(self) -> dict[str, Step]:
        """The three functions of each step, by its section of the settings."""
        own = self.plain[0]
        return {
            "opening": (
                self.openings,
                lambda row: [_text(code, "pass") for code in row],
                lambda at: [plain.opening(own[at], seat) for seat in (1, 4)],
            ),
            "overcall": (
                self.overcalls,
                lambda row: (OVERCALL.names[row[0]], _text(row[1])),
                lambda at: plain.overcall(own[at], int(self.auctions[0][at])),
            ),
            "response": (
                self.responses,
                lambda row: (
                    COLUMNS["call"].names[row[0]],
                    _text(row[1]),
                    None if row[2] == _NEVER else REASON.names[row[2]],
                ),
                self.plain_response,
            ),
            "answer": (
                self.answers,
                lambda row: (COLUMNS["answer"].names[row[0]], _text(row[1], "pass")),
                lambda at: plain.answer(own[at], *self.auction(at)),
            ),
            "continuation": (
                self.rests,
                lambda row: (COLUMNS["final_contract"].names[row[0]], _text(row[1]), row[2]),
                self.plain_rest,
            ),
            "spade_raise": (
                self.spade_raises,
                lambda row: _text(row[0]),
                lambda at: plain.spade_raise(own[at]),
            ),
            "advancer": (
                self.advances,
                lambda row: [
                    (ADVANCER.names[name], _text(bid, "pass")) for name, bid in (row[:2], row[2:])
                ],
                self.plain_advances,
            ),
            "contested_answer": (
                self.contested_answers,
                _contested_answer_told,
                self.plain_contested_answer,
            ),
            "contested_end": (
                self.contested_ends,
                lambda row: (
                    None
                    if row[0] == _NEVER
                    else (COLUMNS["final_contract"].names[row[0]], _text(row[1]), row[2])
                ),
                self.plain_contested_end,
            ),
            "reopening": (
                self.reopenings,
                lambda row: _doubled_or_bid(REOPENING.names[row[0]], row[1]),
                lambda at: plain.reopening(own[at], *self.auction(at)),
            ),
        }


def _reached(advancer: Decided[AdvancerSituation], *columns: NDArray[np.int8]) -> Codes:
    """A step after the advancer's call, where that was a bid."""
    bid = advancer.bid[:, np.newaxis] != NO_BID
    return np.where(bid, _columns(*columns), _NEVER)


def _contested_answer_told(row: Row) -> tuple[str, str | None] | None:
    return None if row[0] == _NEVER else _doubled_or_bid(COLUMNS["answer"].names[row[0]], row[1])


def _doubled_or_bid(name: str, bid: int) -> tuple[str, str | None]:
    return name, "X" if name in ("double", "strong_double") else _text(bid, "pass")


# The dealer has its own tests; here it only supplies hands.
FEW = Hands4(deal_block(seed=51_966, block=6)[:, :6_000])
STEP_CODES = FEW.steps
ALL, AUCTIONS, HANDS = FEW.all, FEW.auctions, FEW.plain[0]
