"""Whole auctions, seats and all, against the plain reading walked deal by deal."""

from typing import NamedTuple

import numpy as np
import plain.bidding as plain

from analysis.agreements.agreement import REFERENCE
from analysis.bidding.after_overcall import PAIRS
from analysis.bidding.contested_answer import ANSWERS
from analysis.bidding.auction import Auctions
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import RESTS
from analysis.bidding.overcall import OVERCALL
from analysis.bidding.response import CALLS
from analysis.cards.bids import Bid
from analysis.cards.dealing import deal_block

DEALS = 10_000
CARDS = deal_block(seed=31_337, block=2)[:, :DEALS]


class Walked(NamedTuple):
    """What the plain reading makes of one deal, as far as it goes."""

    seat: int
    opening: str
    action: str | None = None
    overcall: str | None = None
    call: str | None = None
    reason: str | None = None
    answer: str | None = None
    rest: str | None = None


def walk(cards: np.ndarray) -> Walked:
    hands = [tuple(int(hand) >> 13 * suit & 8191 for suit in range(4)) for hand in cards]
    calls = [plain.opening(hand, seat) for seat, hand in enumerate(hands, start=1)]
    seat = next((seat for seat, call in enumerate(calls, start=1) if call != "pass"), 0)
    if not seat:
        return Walked(0, "pass")
    opening = calls[seat - 1]
    if opening not in ("1C", "1D", "1H", "1S"):
        return Walked(seat, opening)
    suit = plain.read_bid(opening)[1]
    opener, following, responder = (hands[(seat - 1 + turn) % 4] for turn in range(3))
    action, overcall = plain.overcall(following, suit)
    if overcall is None:
        return Walked(seat, opening, action)
    level, overcall_suit = plain.read_bid(overcall)
    auction = (suit, overcall_suit, level)
    call = plain.response(responder, *auction)[0]
    so_far = Walked(seat, opening, action, overcall, call)
    if call != "double":
        return so_far
    return so_far._replace(
        reason=plain.reason(responder, *auction),
        answer=plain.answer(opener, *auction)[0],
        rest=plain.resting_place(opener, responder, *auction)[0],
    )


def ours(auctions: Auctions) -> list[Walked]:
    walked = [
        Walked(seat, "pass" if bid < 0 else str(Bid.from_code(bid)))
        for seat, bid in zip(
            auctions.openings.seat.tolist(), auctions.openings.bid.tolist(), strict=True
        )
    ]
    following = auctions.next_hands
    for row, call in zip(following.rows, following.call, strict=True):
        walked[row] = walked[row]._replace(action=OVERCALL.names[call])
    responses = auctions.responses
    for row, pair, call in zip(responses.rows, responses.pair, responses.call, strict=True):
        walked[row] = walked[row]._replace(overcall=str(PAIRS[pair][1]), call=CALLS[call])
    doubles = auctions.doubles
    for number, row in enumerate(responses.rows[doubles.rows]):
        walked[row] = walked[row]._replace(
            reason=REASON.names[doubles.reason[number]],
            answer=ANSWERS[doubles.answer[number]],
            rest=RESTS[doubles.rest[number]],
        )
    return walked


def test_auctions() -> None:
    expected = [walk(cards) for cards in CARDS.T]
    found = ours(Auctions(CARDS, REFERENCE))
    differing = [pair for pair in zip(found, expected, strict=True) if pair[0] != pair[1]]
    assert not differing[:5]
    # Every seat opens, and the doubles are there to be compared.
    assert {walked.seat for walked in found} == {0, 1, 2, 3, 4}
    assert any(walked.rest for walked in found)
