"""Whole auctions, seats and all, against the plain reading walked deal by deal."""

from typing import NamedTuple

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.rules.advancer import ADVANCER
from double_study.rules.auction import Auctions, call_codes, calls_made, ended
from double_study.rules.overcall import OVERCALL
from double_study.rules.response import REASON
from double_study.rules.terms import SEQUENCES
from shared.plain_hands import plain_hands

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
        walked[row] = walked[row]._replace(
            overcall=str(SEQUENCES[pair][1]), call=COLUMNS["call"].names[call]
        )
    doubles = auctions.doubles
    for number, row in enumerate(responses.rows[doubles.rows]):
        walked[row] = walked[row]._replace(
            reason=REASON.names[doubles.reason[number]],
            advancer=ADVANCER.names[doubles.advancer.name[number]],
            answer=COLUMNS["answer"].names[doubles.answer[number]],
            rest=COLUMNS["final_contract"].names[doubles.final_contract[number]],
            trumps=int(doubles.trumps[number]),
        )
    passes = auctions.passes
    for number, row in enumerate(responses.rows[passes.rows]):
        walked[row] = walked[row]._replace(
            advancer=ADVANCER.names[passes.advancer.name[number]],
            reopening=COLUMNS["reopening"].names[passes.reopening[number]],
        )
    return walked


def test_auctions() -> None:
    expected = [walk(cards) for cards in CARDS.T]
    found = ours(Auctions(CARDS, REFERENCE))
    differing = [pair for pair in zip(found, expected, strict=True) if pair[0] != pair[1]]
    assert not differing[:5]
    # Every seat opens, and what the names tell apart is there to be compared.
    assert {walked.seat for walked in found} == {0, 1, 2, 3, 4}
    assert {walked.rest for walked in found} >= {*COLUMNS["final_contract"].names, None}
    assert {walked.reopening for walked in found} >= {*COLUMNS["reopening"].names, None}
    assert {walked.advancer for walked in found} == {*ADVANCER.names, None}
