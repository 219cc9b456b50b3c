"""Whole auctions, seats and all, against the plain reading walked deal by deal."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.rules.advancer import ADVANCER
from double_study.rules.auction import call_codes, calls_made
from double_study.rules.batch import Batch
from double_study.rules.overcall import OVERCALL
from double_study.rules.response import REASON
from double_study.rules.terms import SEQUENCES
from shared.plain_agreement import plainly
from shared.plain_hands import plain_hands

CARDS = deal_block(seed=31_337, block=2)
FIELDS = {"auction": "overcall", "final_contract": "contract"}
"""Fields of :class:`Walked` by columns of another name."""


class Walked(NamedTuple):
    """What is made of one deal, as far as it goes; ``over``: the calls came to their end.

    ``last_bid``, ``trumps`` and ``declarer`` are of doubles alone.
    """

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
    overcaller_again: str | None = None
    contract: str | None = None
    settled: bool | None = None
    last_bid: str | None = None
    trumps: int | None = None
    declarer: str | None = None
    reopening: str | None = None


def walk(cards: np.ndarray) -> Walked:
    auction = plain.whole_auction(plain_hands(cards))
    calls = tuple(call for _, call in auction.calls)
    doubled = auction.contract is not None
    return Walked(
        auction.seat,
        auction.opening,
        calls,
        auction.over and auction.settled is None,
        auction.action,
        auction.overcall,
        auction.call,
        auction.reason,
        auction.advancer,
        auction.answer,
        auction.overcaller_again,
        auction.contract,
        auction.settled is not None if doubled else None,
        auction.last_bid if doubled else None,
        (auction.trumps or 0) if doubled else None,
        _PLAYERS[(auction.declarer - auction.seat) % 4] if doubled and auction.declarer else None,
        auction.reopening,
    )


_PLAYERS = ("opener", "overcaller", "responder", "advancer")
_BIDS = [str(Bid.from_code(code)) for code in range(35)]


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
                walked[deal] = walked[deal]._replace(**{field: of[int(code)]})

    add("opened", action=OVERCALL.names)
    add("overcalled", auction=[str(bid) for _, bid in SEQUENCES], call=COLUMNS["call"].names)
    add("doubled", reason=REASON.names, advancer=ADVANCER.names)
    for column in ("answer", "overcaller_again", "final_contract", "declarer"):
        add("doubled", **{column: COLUMNS[column].names})
    add("doubled", settled=(False, True), last_bid=_BIDS, trumps=range(27))
    add("passed", advancer=ADVANCER.names, reopening=COLUMNS["reopening"].names)
    return walked


def same(found: Walked, expected: Walked) -> bool:
    """Return whether both are the same; the plain reading has no declarer of what nobody has bid."""
    if expected.contract and not expected.declarer:
        found = found._replace(declarer=None)
    return found == expected


@pytest.mark.parametrize("name", ["reference", "through_4s"])
def test_auctions(name: str) -> None:
    agreement = load(name)
    cards = CARDS if agreement == REFERENCE else CARDS[:, :10_000]
    with plainly(agreement):
        expected = [walk(deal) for deal in cards.T]
    found = ours(Batch(cards, agreement))
    differing = [pair for pair in zip(found, expected, strict=True) if not same(*pair)]
    assert not differing[:5]
    if agreement != REFERENCE:
        return
    # Every seat opens, and what the names tell apart is there to be compared.
    assert {walked.seat for walked in found} == {0, 1, 2, 3, 4}
    for field, column in (
        ("contract", "final_contract"),
        ("overcaller_again", "overcaller_again"),
        ("declarer", "declarer"),
        ("advancer", "advancer"),
        ("reopening", "reopening"),
    ):
        assert {getattr(walked, field) for walked in found} == {*COLUMNS[column].names, None}
    assert {walked.settled for walked in found} == {False, True, None}
