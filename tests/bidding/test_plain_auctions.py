"""Whole auctions by the plain reading alone: legal to the last call, and every name met.

What is legal is by Laws 18 (bids), 19 (doubles) and 22 (the end) of the Laws of Duplicate Bridge.
The deals are fixed and every auction must be right, so there is no tolerance and no false alarm.
"""

import plain.bidding as plain
import pytest
from double_study.cards.deal import deal_block
from plain.selfcheck import assert_legal
from shared.plain_hands import plain_hands

DEALS = 20_000
HANDS = list(zip(*map(plain_hands, deal_block(seed=60_493, block=1)[:, :DEALS]), strict=True))


@pytest.fixture(scope="module")
def auctions() -> list[plain.Auction]:
    return [plain.whole_auction(hands) for hands in HANDS]


def test_every_auction_is_legal_and_ends_as_its_names_say(auctions: list[plain.Auction]) -> None:
    for auction in auctions:
        assert_legal(auction)
        assert (auction.call == "double") == (auction.contract is not None)
    assert sum(auction.over for auction in auctions) > 500


def test_every_name_is_met(auctions: list[plain.Auction]) -> None:
    """Otherwise the tests above would say nothing of some rule."""

    def met(column: str, *calls: str) -> set[str]:
        values = {getattr(each, column) for each in auctions if each.call in calls}
        return values - {None}

    over_the_double = {"pass", "strong_raise", "preemptive_raise", "raise", "new_suit", "notrump"}
    assert met("advancer", "double") == met("advancer", "pass") == over_the_double
    raises = {"raise_minimum", "raise_jump", "raise_game"}
    suits = {"own_suit", "second_suit", "notrump"}
    assert met("answer", "double") >= raises | suits | {"strong_double", "pass", "cue_bid"}
    in_fits = {"game", "part_score_fit", "part_score_no_fit"}
    in_notrump = {"three_notrump", "notrump_part_score"}
    assert met("contract", "double") == in_fits | in_notrump | {"their_contract", "defended"}
    reopened = {"notrump", "second_suit", "own_suit", "double", "pass"}
    assert met("reopening", "pass") == {*reopened, "not_reached"}
    assert "double_taken_out" in met("reopening", "penalty_pass")


def test_the_penalty_is_had_after_all(auctions: list[plain.Auction]) -> None:
    had = [
        auction
        for auction in auctions
        if auction.call == "penalty_pass" and auction.reopening == "double"
    ]
    assert had
    for auction in had:
        assert [call for _, call in auction.calls[-7:]] == [
            *(auction.overcall, "pass", "pass", "X"),
            *("pass", "pass", "pass"),
        ]
        assert auction.over
    reopened = [
        auction.over
        for auction in auctions
        if auction.call == "pass" and auction.reopening == "double"
    ]
    assert reopened
    assert not any(reopened)


def test_a_deal_of_four_passes(auctions: list[plain.Auction]) -> None:
    nothing = [auction for auction in auctions if not auction.seat]
    assert nothing
    assert all([call for _, call in auction.calls] == ["pass"] * 4 for auction in nothing)
    assert all(auction.over for auction in nothing)
