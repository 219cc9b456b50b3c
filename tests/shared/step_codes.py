"""What many hands call at each step under an agreement, beside the plain reading of each.

Each step has three functions: from an agreement to whole numbers, one row per hand; from such a row to
words; and from a hand's position to the words that the plain reading has for it.
"""

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import Agreement
from double_study.cards.bids import NO_BID, NOTRUMP, Bid
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
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION, AfterAnswer, Answered
from double_study.rules.opening import OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, REASON, RESPONSE, calls_of
from double_study.rules.settle import final_contracts
from double_study.rules.terms import SEQUENCES, Decided, Overcalled
from numpy.typing import NDArray
from plain.bidding import End
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
        opening, bid = SEQUENCES[at % len(SEQUENCES)]
        return opening, bid.denomination, bid.level

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

    def second_bids(self, agreement: Agreement) -> Codes:
        return _columns(self.bid_again(agreement, self.answered(agreement)).bid)

    def bid_again(
        self, agreement: Agreement, answer: Decided[AnswerSituation]
    ) -> Decided[Answered]:
        overcaller = self.hands(agreement, 1)
        return BIDS_AGAIN.decide(
            Answered(overcaller, agreement, *self.auctions, answer.name, answer.bid)
        )

    def ends(self, agreement: Agreement) -> Codes:
        answer = self.answered(agreement)
        overcall = answer.situation.overcall_bid.astype(np.int8)
        situation = AfterAnswer(
            self.hands(agreement, 2),
            agreement,
            *self.auctions,
            answer.name,
            answer.bid,
            answer.situation.hands,
            np.maximum(overcall, self.bid_again(agreement, answer).bid),
        )
        return _ends(CONTINUATION.decide(situation))

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
        """Return the advancer over the double, and the opener as if the advancer had bid."""
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
        over = np.maximum(advancer.bid, 0)
        after = agreement, *self.auctions, answer.name, answer.bid
        overcaller = OVERCALLER.decide(
            OvercallerSituation(self.hands(agreement, 1), *after, advancer.name, over)
        )
        end = ContestedEndSituation(
            self.hands(agreement, 2),
            *after,
            answer.situation.hands,
            np.maximum(over, overcaller.bid),
            advancer.name,
            over,
        )
        return _reached(advancer, *_ends(CONTESTED_END.decide(end)).T, overcaller.bid)

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

    def plain_second_bid(self, at: int) -> str:
        answer = plain.answer(self.plain[0][at], *self.auction(at))
        return plain.overcaller_after_answer(self.plain[1][at], *self.auction(at), *answer)

    def plain_end(self, at: int) -> End:
        opener, overcaller, responder = (self.plain[turn][at] for turn in range(3))
        return plain.continuation_end(opener, overcaller, responder, *self.auction(at))

    def plain_advances(self, at: int) -> list[tuple[str, str]]:
        hand = self.plain[0][at]
        return [plain.advancer(hand, *self.auction(at), doubled) for doubled in (True, False)]

    def plain_contested_answer(self, at: int) -> tuple[str, str] | None:
        name, bid = plain.advancer(self.plain[3][at], *self.auction(at), after_double=True)
        if name == "pass":
            return None
        return plain.contested_answer(self.plain[0][at], *self.auction(at), bid)

    def plain_contested_end(self, at: int) -> tuple[End, str] | None:
        name, bid = plain.advancer(self.plain[3][at], *self.auction(at), after_double=True)
        if name == "pass":
            return None
        opener, overcaller, responder = (self.plain[turn][at] for turn in range(3))
        _, call = plain.contested_answer(opener, *self.auction(at), bid)
        return (
            plain.contested_end(opener, overcaller, responder, *self.auction(at), name, bid),
            plain.overcaller_again(overcaller, self.auction(at)[1], name, bid, call),
        )

    @property
    def steps(self) -> dict[str, Step]:
        """The three functions of each step, by its section of the settings."""
        return {
            "opening": (
                self.openings,
                lambda row: [_text(code, "pass") for code in row],
                lambda at: [plain.opening(self.plain[0][at], seat) for seat in (1, 4)],
            ),
            "overcall": (
                self.overcalls,
                lambda row: (OVERCALL.names[row[0]], _text(row[1])),
                lambda at: plain.overcall(self.plain[0][at], int(self.auctions[0][at])),
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
                lambda at: plain.answer(self.plain[0][at], *self.auction(at)),
            ),
            "second_bid": (
                self.second_bids,
                lambda row: _text(row[0], "pass"),
                self.plain_second_bid,
            ),
            "continuation": (self.ends, _end_told, self.plain_end),
            "spade_raise": (
                self.spade_raises,
                lambda row: _text(row[0]),
                lambda at: plain.spade_raise(self.plain[0][at]),
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
                lambda row: None if row[0] == _NEVER else (_end_told(row), _text(row[-1], "pass")),
                self.plain_contested_end,
            ),
            "reopening": (
                self.reopenings,
                lambda row: _doubled_or_bid(REOPENING.names[row[0]], row[1]),
                lambda at: plain.reopening(self.plain[0][at], *self.auction(at)),
            ),
        }


def _reached(advancer: Decided[AdvancerSituation], *columns: NDArray[np.int8]) -> Codes:
    """Return a step after the advancer's call, if that was a bid."""
    bid = advancer.bid[:, np.newaxis] != NO_BID
    return np.where(bid, _columns(*columns), _NEVER)


def _ends(end: Decided[AfterAnswer]) -> Codes:
    ends = final_contracts(end)
    return _columns(ends.final_contract, ends.last_bid, ends.trumps, ends.settled)


def _end_told(row: Row) -> End:
    contract, last, trumps, settled = row[:4]
    in_notrump = last % 5 == NOTRUMP
    return End(
        COLUMNS["final_contract"].names[contract],
        str(Bid.from_code(last)),
        None if in_notrump else trumps,
        bool(settled),
    )


def _contested_answer_told(row: Row) -> tuple[str, str | None] | None:
    return None if row[0] == _NEVER else _doubled_or_bid(COLUMNS["answer"].names[row[0]], row[1])


def _doubled_or_bid(name: str, bid: int) -> tuple[str, str | None]:
    return name, "X" if name in ("double", "strong_double") else _text(bid, "pass")


# The dealer has its own tests; here it only supplies hands.
FEW = Hands4(deal_block(seed=51_966, block=6)[:, :6_000])
STEP_CODES = FEW.steps
ALL, AUCTIONS, HANDS = FEW.all, FEW.auctions, FEW.plain[0]
