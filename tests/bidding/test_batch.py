"""A batch's columns, stages and subsets, beside what is plainly picked from the arrays; re-bidding.

The deals are fixed, and what is asked holds for every one of them.
"""

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import NO_BID
from double_study.cards.hands import hand_words
from double_study.columns import PLAYERS
from double_study.counting.counts import COUNTS
from double_study.counting.run import cards_of
from double_study.counting.tally import Tally
from double_study.rules.auction import rebid
from double_study.rules.batch import Batch
from double_study.rules.response import DOUBLE_CALL

CARDS = cards_of(17, ((2, 20_000),))
DEALS = Batch(CARDS, REFERENCE)
STAGES = {
    **{"opened": ("seat", "opening", "action"), "overcalled": ("auction", "level", "call", "bid")},
    **{"doubled": ("reason", "answer", "final_contract"), "quiet": ("end",)},
    **{"passed": ("advancer",), "passed_round": ("reopening",)},
}
"""Stages, each with some of the columns that it adds."""


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_has_the_columns_of_the_stages_before_it_at_its_own_deals(stage: str) -> None:
    b = DEALS.at(stage)
    assert 0 < len(b) < len(DEALS)
    assert (np.diff(b["deal"]) > 0).all()
    for name in ("any_seat", "opening_bid"):
        np.testing.assert_array_equal(b[name], DEALS[name][b["deal"]])
    before = b.parent
    assert before is not None
    for name in STAGES.get(before.stage, ()):
        np.testing.assert_array_equal(b[name], before[name][b.rows])
    for name in STAGES[stage]:
        assert b[name].shape == (len(b),)


def test_a_stage_is_the_same_from_wherever_it_is_asked_for() -> None:
    assert DEALS.at("passed").at("doubled") is DEALS.at("doubled")
    assert DEALS.at("doubled").at("deals") is DEALS
    assert DEALS.at("doubled").root is DEALS


def test_a_column_with_a_row_for_each_seat_keeps_them_in_a_stage() -> None:
    b = DEALS.at("overcalled")
    assert b["opening_in_seat"].shape == (4, len(b))
    np.testing.assert_array_equal(b["opening_in_seat"], DEALS["opening_in_seat"][:, b["deal"]])
    # The opener's bid is the one that its own seat makes, and those before it make none.
    for seat, opening, bids in zip(b["seat"], b["opening"], b["opening_in_seat"].T, strict=True):
        assert bids[:seat].tolist() == [NO_BID] * (seat - 1) + [opening]


def test_a_subset_is_chosen_by_a_mask_or_by_positions() -> None:
    b = DEALS.at("overcalled")
    doubles = b["call"] == DOUBLE_CALL
    by_mask, by_position = b.where(doubles), b.where(np.flatnonzero(doubles))
    assert len(by_mask) == doubles.sum()
    for chosen in (by_mask, by_position):
        for name in ("deal", "seat", "auction", "opening_in_seat"):
            np.testing.assert_array_equal(chosen[name], DEALS.at("doubled")[name])
    # A subset of a subset, in any order and with a deal twice.
    again = by_mask.where(np.array([3, 0, 3]))
    assert again["deal"].tolist() == by_mask["deal"][[3, 0, 3]].tolist()
    assert len(b.where(np.zeros(len(b), dtype=np.bool_))["call"]) == 0


@pytest.mark.parametrize("stage", ["opened", "doubled", "passed_round"])
def test_a_player_s_hand_is_the_one_so_many_seats_after_the_dealer(stage: str) -> None:
    b = DEALS.at(stage)
    for turn, player in enumerate(PLAYERS):
        cards = CARDS[(b["seat"] - 1 + turn) % 4, b["deal"]]
        expected, second = hand_words(cards, REFERENCE.hand.good_suit), b["seat"] == 2
        np.testing.assert_array_equal(b.hands(player).words, expected)
        np.testing.assert_array_equal(b.where(second).hands(player).words, expected[second])


@pytest.mark.parametrize(
    ("stage", "name"), [("deals", "call"), ("overcalled", "reason"), ("passed", "no_such")]
)
def test_a_column_that_no_stage_so_far_has_is_an_error(stage: str, name: str) -> None:
    with pytest.raises(KeyError, match=f"no column '{name}' at this stage"):
        DEALS.at(stage)[name]


CHANGES = {
    **{"hand.good_suit": 3, "opening.suit": 13, "overcall.takeout": 13, "response.double_one": 7},
    **{"answer.raise_jump": 17, "continuation.game": 12, "advancer.strong_raise": 12},
    **{"contested_answer.raise_three": 14, "contested_end.second_double": 12},
    **{"reopening.high_double_cards": 2},
}


def test_a_change_of_every_section_is_tried() -> None:
    sections = {setting.section for setting in REFERENCE.settings()}
    assert sections == {key.partition(".")[0] for key in CHANGES}


@pytest.mark.parametrize("key", CHANGES)
def test_deals_bid_again_are_bid_as_from_the_start(key: str) -> None:
    agreement, standing = REFERENCE.changed(key, CHANGES[key]), Tally.of(DEALS, COUNTS)
    again = Tally.of(rebid(DEALS, agreement), COUNTS)
    afresh = Tally.of(Batch(CARDS, agreement), COUNTS)
    assert again.digest == afresh.digest != standing.digest
