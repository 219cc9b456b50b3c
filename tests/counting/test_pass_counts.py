"""What follows a pass, and who plays the doubles: against the auctions themselves, call by call."""

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import Bid
from double_study.cards.deal import BLOCK_DEALS
from double_study.columns import COLUMNS
from double_study.counting.counts import CALL_COUNTS, CONTRACTS, COUNTS, PASS_COUNTS, PENALTIES
from double_study.counting.run import cards_of
from double_study.counting.tally import Tally
from double_study.rules.auction import call_codes, calls_made
from double_study.rules.batch import Batch

BATCH = Batch(cards_of(19_19, [(block, BLOCK_DEALS) for block in range(3)]), REFERENCE)
CODES = call_codes(BATCH)
TALLY = Tally.of(BATCH, COUNTS)
PENALTY = COLUMNS["pass_made"].code("penalty_pass")


def test_every_pass_is_counted_once() -> None:
    calls = TALLY.along(CALL_COUNTS, "call")
    passes = [calls[COLUMNS["call"].code(name)] for name in COLUMNS["pass_made"].names]
    assert TALLY.along(PASS_COUNTS, "call").tolist() == passes
    # The opener speaks where the advancer passes, and there alone.
    follows = TALLY.along(PASS_COUNTS, "advancer", "reopening")
    passed, not_reached = COLUMNS["advancer"].code("pass"), COLUMNS["reopening"].code("not_reached")
    assert follows[passed, not_reached] == 0
    assert np.delete(np.delete(follows, passed, axis=0), not_reached, axis=1).sum() == 0


def test_penalties_had_are_auctions_that_end_in_the_overcall_doubled() -> None:
    passed = BATCH.at("passed")
    defends = passed.where(passed["call"] == COLUMNS["call"].code("penalty_pass"))
    said = map(calls_made, CODES[defends["deal"]])
    had = sum(calls[-4:] == ("double", "pass", "pass", "pass") for calls in said)
    tables = TALLY.along(PASS_COUNTS, "call", "reopening")
    assert had == tables[PENALTY, COLUMNS["reopening"].code("double")] > 100


@pytest.mark.parametrize("cards", [4, 5])
def test_penalties_by_length_are_those_of_agreements_that_ask_so_many_cards(cards: int) -> None:
    other = Batch(BATCH.cards, REFERENCE.changed("response.penalty_cards", cards))
    passes = Tally.of(other, [PASS_COUNTS]).along(PASS_COUNTS, "call", "advancer", "reopening")
    by_length = TALLY.along(PENALTIES, "cards_in_theirs", "advancer", "reopening")
    four, five = (COLUMNS["cards_in_theirs"].code(name) for name in ("four", "five_or_more"))
    found = by_length.sum(axis=0) if cards == 4 else by_length[five]
    np.testing.assert_array_equal(found, passes[PENALTY])
    assert by_length[four].sum() > by_length[1].sum()


def test_what_nobody_has_bid_is_played_by_who_showed_it() -> None:
    """The responder plays the suits of its double; test_auction has the other declarers."""
    doubled, met = BATCH.at("doubled"), set()
    for at in np.flatnonzero(doubled["settled"]).tolist():
        said = COLUMNS["declarer"].names[doubled["declarer"][at]]
        suit = Bid.from_code(doubled["last_bid"][at]).denomination
        ours = calls_made(CODES[doubled["deal"][at]])[doubled["seat"][at] - 1 :: 2]
        named = {call.denomination for call in ours if isinstance(call, Bid)}
        if said in ("overcaller", "advancer") or suit in named:
            continue
        auction = (doubled[name][at] for name in ("opening", "overcalled_suit", "level"))
        promised = plain.promised_suits(*auction)
        assert said == ("responder" if suit in promised else "opener")
        met.add(said)
    assert met == {"opener", "responder"}


def test_the_doubles_are_all_among_the_contracts() -> None:
    contracts = TALLY.along(CONTRACTS, "declarer")
    assert contracts.sum() == len(BATCH.at("doubled"))
    assert (contracts > 0).all()
