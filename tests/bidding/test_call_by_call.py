"""Every auction is legal, call by call. Their ends are those of the plain reading (test_auction).

By Laws 18 (bids), 19 (doubles) and 22 (the end) of the Laws of Duplicate Bridge. The deals are fixed
and every auction must be right, so there is no tolerance and no false alarm.
"""

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.bids import NO_BID, Bid
from double_study.cards.deal import deal_block
from double_study.cards.notation import read_hand
from double_study.rules.auction import DOUBLE_CODE, MOST_CALLS, NO_CALL, call_codes, reached
from double_study.rules.batch import Batch
from double_study.rules.settle import DEFENDED

BLOCKS = 20
"""A million deals: a fault on one in 200,000 is missed with chance 0.01. A hundred million were looked
at once (seed 4242), with the same result."""


def follow(calls: np.ndarray) -> None:
    """Follow all auctions at once, a call of each at a time: all are legal."""
    deals = len(calls)
    last = np.full(deals, -1)
    by, passes = np.zeros(deals, dtype=int), np.zeros(deals, dtype=int)
    doubled, over = np.zeros(deals, dtype=bool), np.zeros(deals, dtype=bool)
    for turn in range(MOST_CALLS):
        call = calls[:, turn]
        made = call != NO_CALL
        assert not (made & over).any(), "a call after the auction's end"
        bid, double = call >= 0, call == DOUBLE_CODE
        assert (call[bid] > last[bid]).all(), "a bid that is not higher than the last"
        assert (call[bid] < 35).all()
        assert (last[double] >= 0).all(), "a double of nothing"
        assert not doubled[double].any(), "a double of a double"
        assert (by[double] != turn % 2).all(), "a double of partner's bid"
        last[bid], by[bid] = call[bid], turn % 2
        doubled = (doubled | double) & ~bid
        passes = np.where(made & (call == NO_BID), passes + 1, np.where(made, 0, passes))
        over = passes == np.where(last >= 0, 3, 4)
        # Who has made the last call does not speak again, nor does anybody skip a turn.
        if turn + 1 < MOST_CALLS:
            assert (made | (calls[:, turn + 1] == NO_CALL)).all()


@pytest.mark.parametrize("name", ["reference", "through_4s"])
def test_every_auction_is_legal(name: str) -> None:
    agreement = load(name)
    for block in range(BLOCKS if agreement == REFERENCE else 4):
        follow(call_codes(Batch(deal_block(seed=7_007, block=block), agreement)))


def test_what_a_pair_comes_to_is_told_where_its_calls_are_not_written_out() -> None:
    cards = deal_block(seed=7_007, block=2)
    doubled = Batch(cards, REFERENCE).at("doubled")
    settled, defended = doubled["settled"] > 0, doubled["final_contract"] == DEFENDED
    for chosen, what in ((settled & ~defended, "reaches"), (settled & defended, "defends")):
        at = np.flatnonzero(chosen)[0]
        bid = Bid.from_code(doubled["last_bid"][at]).symbol
        told = reached(Batch(cards[:, [doubled["deal"][at]]], REFERENCE))
        assert told == f"… and the pair {what} {bid}{' doubled' if what == 'defends' else ''}"
    written_out = doubled["deal"][np.flatnonzero(~settled)[0]]
    assert not reached(Batch(cards[:, [written_out]], REFERENCE))


def test_a_bid_that_is_left_in_is_told_as_such() -> None:
    # 13 total points opposite 4♦: no major of seven, no minor of eight.
    hands = "83.A2.AKQJ85.J92 AKQT965.T93.72.8 J742.KQ64.3.AK75 .J875.T964.QT643"
    cards = np.array([[read_hand(hand)] for hand in hands.split()], dtype=np.uint64)
    assert reached(Batch(cards, REFERENCE)) == "… and the pair stays in 4♦"
