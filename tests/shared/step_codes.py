"""What many hands call at each step under an agreement, beside the plain reading of each.

Each step has three functions: from an agreement to whole numbers, a row a hand; from such a row to
words; and from a hand's position to the words that the plain reading has for it.
"""

from collections.abc import Callable

import numpy as np
import plain.bidding as plain
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import PAIRS, Overcalled
from analysis.bidding.answer import (
    ANSWER,
    ANSWERS,
    SPADE_RAISE,
    AnswerSituation,
    SpadeRaiseSituation,
)
from analysis.bidding.continuation import RestSituation
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import RESTS, resting_places
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.bidding.overcall import OVERCALL, OvercallSituation, suit_overcall
from analysis.bidding.response import CALLS, DOUBLE_CALL, RESPONSE, decide_call
from analysis.cards.bids import Bid
from analysis.cards.dealing import deal_block
from analysis.cards.hands import Hands, hand_words

Codes = NDArray[np.int64]
Row = list[int]

# The dealer has its own tests; here it only supplies hands.
_BLOCK = deal_block(seed=51_966, block=1)[:, :6_000]
_CARDS = _BLOCK.T.reshape(-1)
_PARTNERS = np.roll(_BLOCK, 2, axis=0).T.reshape(-1)


def _plain_hands(cards: NDArray[np.uint64]) -> list[plain.Hand]:
    holdings = [((cards >> np.uint64(13 * suit)) & np.uint64(8191)).tolist() for suit in range(4)]
    return list(zip(*holdings, strict=True))


HANDS, PARTNERS = _plain_hands(_CARDS), _plain_hands(_PARTNERS)
ALL = np.arange(len(HANDS))
_TURN = ALL % len(PAIRS)
AUCTIONS = tuple(
    np.array(part)[_TURN]
    for part in zip(*((suit, bid.denomination, bid.level) for suit, bid in PAIRS), strict=True)
)
"""Opening suit, suit overcalled and level for each hand: all 42 pairs in turn."""


def _hands(cards: NDArray[np.uint64], agreement: Agreement) -> Hands:
    return Hands(hand_words(cards, agreement.hand.good_suit))


def _text(code: int, none: str | None = None) -> str | None:
    return none if code < 0 else str(Bid.from_code(code))


def _auction(at: int) -> tuple[int, ...]:
    return tuple(int(part[at]) for part in AUCTIONS)


def _openings(agreement: Agreement) -> Codes:
    columns = []
    for seat in (1, 4):
        situation = OpeningSituation(_hands(_CARDS, agreement), agreement, seat)
        columns.append(OPENING.bids(situation, OPENING.decide(situation)))
    return np.stack(columns, axis=1).astype(np.int64)


def _overcalls(agreement: Agreement) -> Codes:
    situation = OvercallSituation(_hands(_CARDS, agreement), agreement, AUCTIONS[0])
    chosen = OVERCALL.decide(situation)
    return np.stack([OVERCALL.named(chosen), suit_overcall(situation, chosen)], axis=1).astype(
        np.int64
    )


def _responses(agreement: Agreement) -> Codes:
    situation = Overcalled(_hands(_CARDS, agreement), agreement, *AUCTIONS)
    call = decide_call(situation)
    reason = np.where(call == DOUBLE_CALL, REASON.decide(situation), -1)
    return np.stack([call, RESPONSE.bids(situation, call), reason], axis=1).astype(np.int64)


def _plain_response(at: int) -> tuple[str, str | None, str | None]:
    name, bid = plain.response(HANDS[at], *_auction(at))
    why = plain.reason(HANDS[at], *_auction(at)) if name == "double" else None
    return name, None if bid in ("pass", "X") else bid, why


def _answered(agreement: Agreement) -> tuple[Hands, NDArray[np.int8], NDArray[np.int8]]:
    situation = AnswerSituation(_hands(_CARDS, agreement), agreement, *AUCTIONS)
    chosen = ANSWER.decide(situation)
    return situation.hands, ANSWER.named(chosen), ANSWER.bids(situation, chosen)


def _answers(agreement: Agreement) -> Codes:
    return np.stack(_answered(agreement)[1:], axis=1).astype(np.int64)


def _rests(agreement: Agreement) -> Codes:
    responder = _hands(_PARTNERS, agreement)
    situation = RestSituation(responder, agreement, *AUCTIONS, *_answered(agreement))
    return np.stack(resting_places(situation), axis=1).astype(np.int64)


def _plain_rest(at: int) -> tuple[str, str | None, int]:
    where, bid, trumps = plain.resting_place(HANDS[at], PARTNERS[at], *_auction(at))
    return where, bid, trumps or 0


def _spade_raises(agreement: Agreement) -> Codes:
    situation = SpadeRaiseSituation(_hands(_CARDS, agreement), agreement)
    return SPADE_RAISE.bids(situation, SPADE_RAISE.decide(situation))[:, np.newaxis].astype(
        np.int64
    )


STEP_CODES: dict[
    str, tuple[Callable[[Agreement], Codes], Callable[[Row], object], Callable[[int], object]]
] = {
    "opening": (
        _openings,
        lambda row: [_text(code, "pass") for code in row],
        lambda at: [plain.opening(HANDS[at], seat) for seat in (1, 4)],
    ),
    "overcall": (
        _overcalls,
        lambda row: (OVERCALL.names[row[0]], _text(row[1])),
        lambda at: plain.overcall(HANDS[at], int(AUCTIONS[0][at])),
    ),
    "response": (
        _responses,
        lambda row: (CALLS[row[0]], _text(row[1]), REASON.names[row[2]] if row[2] >= 0 else None),
        _plain_response,
    ),
    "answer": (
        _answers,
        lambda row: (ANSWERS[row[0]], _text(row[1], "pass")),
        lambda at: plain.answer(HANDS[at], *_auction(at)),
    ),
    "rest": (
        _rests,
        lambda row: (RESTS[row[0]], _text(row[1]), row[2]),
        _plain_rest,
    ),
    "spade_raise": (
        _spade_raises,
        lambda row: _text(row[0]),
        lambda at: plain.spade_raise(HANDS[at]),
    ),
}
