"""Every auction is legal, call by call, and three passes end it.

By Laws 18 (bids), 19 (doubles) and 22 (the end) of the Laws of Duplicate Bridge. The deals are fixed
and every auction must be right, so there is no tolerance and no false alarm.
"""

import hashlib

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.bids import NO_BID
from double_study.cards.deal import deal_block
from double_study.rules.auction import DOUBLE_CODE, MOST_CALLS, NO_CALL, call_codes
from double_study.rules.batch import Batch
from double_study.rules.settle import GOES_ON

BLOCKS = 80
"""Four million deals; a hundred million were looked at once (seed 4242), with the same result."""


def ended(calls: np.ndarray) -> np.ndarray:
    """Follow all auctions at once, a call of each at a time: all are legal; which have ended?"""
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
    return over


@pytest.mark.parametrize("name", ["reference", "through_4s"])
def test_every_auction_is_legal(name: str) -> None:
    agreement = load(name)
    for block in range(BLOCKS if agreement == REFERENCE else 4):
        ended(call_codes(Batch(deal_block(seed=7_007, block=block), agreement)))


def test_an_auction_that_goes_on_stops_short_of_three_passes_and_any_other_double_is_followed() -> (
    None
):
    deals = Batch(deal_block(seed=7_007, block=0), REFERENCE)
    doubled = deals.at("doubled")
    over = ended(call_codes(deals)[doubled["deal"]])
    np.testing.assert_array_equal(over, doubled["final_contract"] != GOES_ON)


def test_the_last_bid_is_that_of_the_final_contract() -> None:
    deals = Batch(deal_block(seed=7_007, block=1), REFERENCE)
    doubled = deals.at("doubled")
    rests = doubled.where(doubled["final_contract"] != GOES_ON)
    last = call_codes(deals)[rests["deal"]].max(axis=1)
    np.testing.assert_array_equal(last, rests["last_bid"])


FIRST_EDITION = {
    # Agreement: doubles in four blocks, and the digest of their deals and reasons. Both were taken
    # from the rules' first edition, whose doubles the second leaves as they were.
    "reference": (7_552, "fbec745bc1205de906df3bc3529b35196c2775b17f490d0063b21ae2fec1877c"),
    "through_4s": (7_618, "47e4bc16bcd5f99baf7716a43f99f2633ad2cfe0c8e1529578b03411fc2f55a9"),
}


@pytest.mark.parametrize("name", FIRST_EDITION)
def test_the_doubles_are_those_of_the_first_edition_deal_by_deal(name: str) -> None:
    digest, number = hashlib.sha256(), 0
    for block in range(4):
        doubled = Batch(deal_block(seed=1, block=block), load(name)).at("doubled")
        digest.update(doubled["deal"].astype("<i8").tobytes())
        digest.update(doubled["reason"].astype("<i1").tobytes())
        number += len(doubled)
    assert (number, digest.hexdigest()) == FIRST_EDITION[name]
