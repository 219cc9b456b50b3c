"""Whole auctions, seats and all, against the plain reading walked deal by deal."""

from typing import NamedTuple

import numpy as np
import plain.bidding as plain
from shared.plain_hands import plain_hands

from analysis.agreements.agreement import REFERENCE
from analysis.bidding.advancer import ADVANCER
from analysis.bidding.after_overcall import SEQUENCES
from analysis.bidding.auction import Auctions
from analysis.bidding.call_by_call import call_codes, calls_made, ended
from analysis.bidding.contested_answer import ANSWER_GIVEN
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import FINAL_CONTRACT
from analysis.bidding.overcall import OVERCALL
from analysis.bidding.reopening import REOPENING_CALL
from analysis.bidding.response import CALL
from analysis.cards.bids import Bid
from analysis.cards.dealing import deal_block

DEALS = 50_000
CARDS = deal_block(seed=31_337, block=2)[:, :DEALS]


class Walked(NamedTuple):
    """What is made of one deal, as far as it goes; ``over``: the auction came to its end."""

    seat: int
    opening: str
    calls: tuple[str, ...]
    over: bool
    action: str | None = None
    overcall: str | None = None
    call: str | None = None
    reason: str | None = None
    advancer: str | None = None
    answer: str | None = None
    rest: str | None = None
    trumps: int | None = None
    reopening: str | None = None


def walk(cards: np.ndarray) -> Walked:
    auction = plain.whole_auction(plain_hands(cards))
    calls = tuple(call for _, call in auction.calls)
    reopening = auction.reopening
    if auction.call in ("pass", "penalty_pass"):
        reopening = reopening or "not_reached"
    return Walked(
        auction.seat,
        auction.opening,
        calls,
        not auction.goes_on,
        auction.action,
        auction.overcall,
        auction.call,
        auction.reason,
        auction.advancer,
        auction.answer,
        auction.rest,
        (auction.trumps or 0) if auction.rest else None,
        reopening,
    )


def ours(auctions: Auctions) -> list[Walked]:
    codes = call_codes(auctions)
    first = auctions.openings
    walked = [
        Walked(
            seat,
            "pass" if bid < 0 else str(Bid.from_code(bid)),
            tuple("X" if call == "double" else str(call) for call in calls_made(row)),
            over,
        )
        for seat, bid, row, over in zip(
            first.seat.tolist(), first.bid.tolist(), codes, ended(codes).tolist(), strict=True
        )
    ]
    following = auctions.next_hands
    for row, call in zip(following.rows, following.action, strict=True):
        walked[row] = walked[row]._replace(action=OVERCALL.names[call])
    responses = auctions.responses
    for row, pair, call in zip(responses.rows, responses.sequence, responses.call, strict=True):
        walked[row] = walked[row]._replace(overcall=str(SEQUENCES[pair][1]), call=CALL.names[call])
    doubles = auctions.doubles
    for number, row in enumerate(responses.rows[doubles.rows]):
        walked[row] = walked[row]._replace(
            reason=REASON.names[doubles.reason[number]],
            advancer=ADVANCER.names[doubles.advancer.name[number]],
            answer=ANSWER_GIVEN.names[doubles.answer[number]],
            rest=FINAL_CONTRACT.names[doubles.final_contract[number]],
            trumps=int(doubles.trumps[number]),
        )
    passes = auctions.passes
    for number, row in enumerate(responses.rows[passes.rows]):
        walked[row] = walked[row]._replace(
            advancer=ADVANCER.names[passes.advancer.name[number]],
            reopening=REOPENING_CALL.names[passes.reopening[number]],
        )
    return walked


def test_auctions() -> None:
    expected = [walk(cards) for cards in CARDS.T]
    found = ours(Auctions(CARDS, REFERENCE))
    differing = [pair for pair in zip(found, expected, strict=True) if pair[0] != pair[1]]
    assert not differing[:5]
    # Every seat opens, and what the names tell apart is there to be compared.
    assert {walked.seat for walked in found} == {0, 1, 2, 3, 4}
    assert {walked.rest for walked in found} >= {*FINAL_CONTRACT.names, None}
    assert {walked.reopening for walked in found} >= {*REOPENING_CALL.names, None}
    assert {walked.advancer for walked in found} == {*ADVANCER.names, None}
