"""What follows a pass, and who plays the doubles: against the auctions themselves, call by call."""

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.counting.counts import (
    CALL_COUNTS,
    CARDS_IN_THEIRS,
    CONTRACTS,
    COUNTS,
    PASS_COUNTS,
    PASS_MADE,
    PENALTIES,
)
from double_study.counting.tally import Tally
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.auction import Auctions, call_codes, calls_made, ended
from double_study.rules.contested_end import DECLARER, GOES_ON
from double_study.rules.reopening import REOPENING_CALL
from double_study.rules.response import CALL

AUCTIONS = Auctions(
    np.concatenate([deal_block(seed=19_19, block=block) for block in range(3)], axis=1), REFERENCE
)
CODES = call_codes(AUCTIONS)
TALLY = Tally.of(AUCTIONS, COUNTS)


def test_every_pass_is_counted_once() -> None:
    calls = TALLY.along(CALL_COUNTS, CALL)
    passes = TALLY.along(PASS_COUNTS, PASS_MADE)
    assert passes.tolist() == [calls[CALL.code(name)] for name in PASS_MADE.names]
    # The opener speaks where the advancer passes, and there alone.
    follows = TALLY.along(PASS_COUNTS, ADVANCER_CALL, REOPENING_CALL)
    passed, not_reached = ADVANCER_CALL.code("pass"), REOPENING_CALL.code("not_reached")
    assert follows[passed, not_reached] == 0
    assert np.delete(np.delete(follows, passed, axis=0), not_reached, axis=1).sum() == 0


def test_penalties_had_are_auctions_that_end_in_the_overcall_doubled() -> None:
    responses, passes = AUCTIONS.responses, AUCTIONS.passes
    defends = responses.call[passes.rows] == CALL.code("penalty_pass")
    calls = CODES[responses.rows[passes.rows[defends]]]
    had = ended(calls) & (calls == -2).any(axis=1)
    tables = TALLY.along(PASS_COUNTS, PASS_MADE, REOPENING_CALL)
    assert had.sum() == tables[PASS_MADE.code("penalty_pass"), REOPENING_CALL.code("double")] > 100


@pytest.mark.parametrize("cards", [4, 5])
def test_penalties_by_length_are_those_of_agreements_that_ask_so_many_cards(cards: int) -> None:
    other = Auctions(AUCTIONS.cards, REFERENCE.changed("response.penalty_cards", cards))
    passes = Tally.of(other, [PASS_COUNTS]).along(
        PASS_COUNTS, PASS_MADE, ADVANCER_CALL, REOPENING_CALL
    )[PASS_MADE.code("penalty_pass")]
    by_length = TALLY.along(PENALTIES, CARDS_IN_THEIRS, ADVANCER_CALL, REOPENING_CALL)
    found = by_length.sum(axis=0) if cards == 4 else by_length[CARDS_IN_THEIRS.code("five_or_more")]
    np.testing.assert_array_equal(found, passes)
    assert by_length[CARDS_IN_THEIRS.code("four")].sum() > by_length[1].sum()


def test_the_declarer_is_the_first_of_the_side_to_have_named_the_denomination() -> None:
    """Law 22 and the definition of declarer in the Laws of Duplicate Bridge."""
    doubles, responses = AUCTIONS.doubles, AUCTIONS.responses
    seats = {
        name: turn for turn, name in enumerate(("opener", "overcaller", "responder", "advancer"))
    }
    for at in range(0, len(doubles.rows), 3):
        row = doubles.rows[at]
        said = DECLARER.names[doubles.declarer[at]]
        if doubles.final_contract[at] == GOES_ON:
            assert said == "not_followed"
            continue
        calls = calls_made(CODES[responses.rows[row]])
        bids = [(turn, call) for turn, call in enumerate(calls) if isinstance(call, Bid)]
        last, contract = bids[-1]
        named = [
            turn
            for turn, bid in bids
            if bid.denomination == contract.denomination and (turn - last) % 2 == 0
        ]
        assert (min(named) - (responses.seat[row] - 1)) % 4 == seats[said]


def test_the_doubles_are_all_among_the_contracts() -> None:
    contracts = TALLY.along(CONTRACTS, DECLARER)
    assert contracts.sum() == len(AUCTIONS.doubles.rows)
    assert (contracts > 0).all()
