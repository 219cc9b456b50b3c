"""Whole auctions, seats and all, against the plain reading walked deal by deal."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
import plain.bidding as plain
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.rules.advancer import ADVANCER
from double_study.rules.auction import call_codes, calls_made
from double_study.rules.batch import Batch
from double_study.rules.overcall import OVERCALL
from double_study.rules.response import REASON
from double_study.rules.terms import SEQUENCES
from shared.plain_hands import plain_hands

DEALS = 50_000
CARDS = deal_block(seed=31_337, block=2)[:, :DEALS]
FIELDS = {"auction": "overcall", "final_contract": "rest"}
"""Fields of :class:`Walked` by columns of another name."""


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


def ours(deals: Batch) -> list[Walked]:
    walked = []
    for seat, bid, codes in zip(
        deals["any_seat"].tolist(), deals["opening_bid"].tolist(), call_codes(deals), strict=True
    ):
        calls = tuple("X" if call == "double" else str(call) for call in calls_made(codes))
        over = len(calls) > 3 and {*calls[-3:]} == {"pass"}
        opening = "pass" if bid < 0 else str(Bid.from_code(bid))
        walked.append(Walked(seat, opening, calls, over))

    def add(stage: str, **names: Sequence[Any]) -> None:
        """Enter columns of a stage, as the names of their codes."""
        b = deals.at(stage)
        for column, of in names.items():
            for deal, code in zip(b["deal"], b[column], strict=True):
                field = FIELDS.get(column, column)
                walked[deal] = walked[deal]._replace(**{field: of[code]})

    add("opened", action=OVERCALL.names)
    add("overcalled", auction=[str(bid) for _, bid in SEQUENCES], call=COLUMNS["call"].names)
    add("doubled", reason=REASON.names, advancer=ADVANCER.names, answer=COLUMNS["answer"].names)
    add("doubled", final_contract=COLUMNS["final_contract"].names, trumps=range(27))
    add("passed", advancer=ADVANCER.names, reopening=COLUMNS["reopening"].names)
    return walked


def test_auctions() -> None:
    expected = [walk(cards) for cards in CARDS.T]
    found = ours(Batch(CARDS, REFERENCE))
    differing = [pair for pair in zip(found, expected, strict=True) if pair[0] != pair[1]]
    assert not differing[:5]
    # Every seat opens, and what the names tell apart is there to be compared.
    assert {walked.seat for walked in found} == {0, 1, 2, 3, 4}
    assert {walked.rest for walked in found} >= {*COLUMNS["final_contract"].names, None}
    assert {walked.reopening for walked in found} >= {*COLUMNS["reopening"].names, None}
    assert {walked.advancer for walked in found} == {*ADVANCER.names, None}
