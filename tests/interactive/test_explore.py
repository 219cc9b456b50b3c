"""Settings moved over stored hands, without a browser. 8 seconds."""

from functools import partial
from typing import Any

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.app import explore
from double_study.app.page import _JINJA
from double_study.cards.bids import HEARTS, SPADES, Bid
from double_study.cards.deal import BLOCK_DEALS
from double_study.columns import COLUMNS
from double_study.counting import responder_hands as stored
from double_study.counting import run as study
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.responder_hands import Holding
from double_study.counting.run import cards_of
from double_study.errors import InputError
from double_study.rules.batch import Batch
from double_study.rules.response import DOUBLE_CALL
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES

COUNTED, SEED = 100_000, 821

ONE_DIAMOND_ONE_SPADE = int(SEQUENCE_CODE[1, Bid(1, SPADES).code])


def counted(agreement: Agreement) -> np.ndarray:
    """Return the calls by opening and overcall, from the study's own count of the same deals."""
    tally = study.count(COUNTED, SEED, agreement, workers=1, progress=False)
    return tally[CALL_COUNTS.name].sum(axis=0)


def hands_of(agreement: Agreement) -> stored.ResponderHands:
    return stored.count_hands(agreement, COUNTED, SEED)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("response.double", True),  # as in the reference
        ("response.double_one", 9),
        ("response.double", False),
        ("response.double_through", Bid(4, HEARTS)),
        ("response.notrump_two", 8),
        ("response.penalty_pass", 3),
        ("opening.suit", 13),
    ],
)
def test_stored_hands_are_counted_as_the_study_counts_them(key: str, value: Any) -> None:
    agreement = REFERENCE.changed(key, value)
    hands = hands_of(agreement)
    # They are stored anew only for other openings and overcalls.
    assert (hands is hands_of(REFERENCE)) == key.startswith("response")
    found = [stored.calls(hands, agreement, pair)["deals"] for pair in range(len(SEQUENCES))]
    expected = counted(agreement)
    assert np.array_equal(np.stack(found), expected)
    share = expected[:, DOUBLE_CALL].sum() / COUNTED
    assert explore.doubles(agreement, SEED, COUNTED) == pytest.approx(share)


def test_holdings_divide_the_hands() -> None:
    def deals(*holding: Holding) -> pd.Series:
        called = stored.calls(hands_of(REFERENCE), REFERENCE, ONE_DIAMOND_ONE_SPADE, *holding)
        return called["deals"]

    every, (clubs, diamonds, _, spades) = deals(), Holding.lengths
    by_points = [Holding((low, high)) for low, high in ((0, 5), (6, 9), (10, 37))]
    hearts = ((0, 3), (4, 13))
    by_hearts = [Holding(lengths=(clubs, diamonds, ends, spades)) for ends in hearts]
    for parts in (by_points, by_hearts):
        tables = list(map(deals, parts))
        assert sum(tables[1:], tables[0]).equals(every)
    # The double of 1♠ promises four hearts or more and 6 total points.
    assert tables[0][DOUBLE_CALL] == 0
    assert str(by_points[1]) == " with 6–9 HCP"
    assert str(by_hearts[0]) == " with 0–3 ♥"


def test_old_and_new_values_are_of_the_same_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    hands_of(REFERENCE)
    monkeypatch.setattr(stored, "batches", lambda *_: pytest.fail("dealt again"))
    now = REFERENCE.changed("response.double_one", 9)
    found = explore.explored(now, REFERENCE, ONE_DIAMOND_ONE_SPADE, Holding(), SEED, deals=COUNTED)
    row = found.iloc[DOUBLE_CALL]
    for agreement, share in ((now, row["share"]), (REFERENCE, row["before"])):
        deals = counted(agreement)[ONE_DIAMOND_ONE_SPADE]
        assert share == pytest.approx(deals[DOUBLE_CALL] / deals.sum())


def contradicts(agreement: Agreement, key: str, value: Any) -> bool:
    try:
        agreement.changed(key, value)
    except InputError as error:
        return "contradicts" in str(error)
    return False


def test_every_responders_setting_but_four_has_a_control_that_moves_a_call() -> None:
    keys = {setting.key for setting in REFERENCE.settings("response")}
    assert len(explore.MOVE_NO_CALL) == len(keys) - len(explore.controls(REFERENCE)) == 4
    hands = hands_of(REFERENCE)
    wide = REFERENCE.changed("response.double_through", Bid(4, SPADES))
    standing = [stored.calls(hands, wide, pair) for pair in range(len(SEQUENCES))]
    still = []
    for control in explore.controls(REFERENCE):
        setting = next(one for one in REFERENCE.settings() if one.key == control.key)
        kind = setting.field.metadata["kind"]
        others = control.options or (str(control.low), str(control.high))
        moved = next(
            wide.changed(control.key, value)
            for value in (kind.written(kind.answered(other)) for other in others)
            if value != kind.written(setting.value) and not contradicts(wide, control.key, value)
        )
        tables = (stored.calls(hands, moved, pair) for pair in range(len(SEQUENCES)))
        if all(map(pd.DataFrame.equals, tables, standing)):
            still.append(control.key)
    assert still == []


@pytest.mark.parametrize(
    ("name", "value", "stage", "column"),
    [
        ("strong", 12, "doubled", "reason"),
        ("raise_game", 14, "overcalled", "bid"),
        ("notrump_invite", 10, "overcalled", "bid"),
        ("notrump_game", 15, "overcalled", "bid"),
    ],
)
def test_the_other_settings_move_no_call(name: str, value: int, stage: str, column: str) -> None:
    cards = cards_of(SEED, [(block, BLOCK_DEALS) for block in range(4)])
    before, after = (
        Batch(cards, agreement)
        for agreement in (REFERENCE, REFERENCE.changed(f"response.{name}", value))
    )
    assert np.array_equal(before.at("overcalled")["call"], after.at("overcalled")["call"])
    assert not np.array_equal(before.at(stage)[column], after.at(stage)[column])


def test_no_row_is_of_a_call_that_no_hand_makes() -> None:
    # After 1♦ 1♠ there is no major to bid at level 1, nor one to raise.
    possible = explore.possible_calls(REFERENCE, ONE_DIAMOND_ONE_SPADE)
    barred = {call for call, made in zip(COLUMNS["call"].names, possible, strict=True) if not made}
    assert barred == {"raise_major", "one_level_major", "above_ceiling"}
    hands = hands_of(REFERENCE)
    for pair in range(len(SEQUENCES)):
        dealt = stored.calls(hands, REFERENCE, pair)["deals"] > 0
        assert not (dealt & ~explore.possible_calls(REFERENCE, pair)).any()


def test_settings_that_do_nothing_here_are_left_out() -> None:
    working = set(explore.settings_at_work(REFERENCE, ONE_DIAMOND_ONE_SPADE))
    assert {"response.double", "response.double_one", "response.double_through"} <= working
    assert not working & {"response.double_three", "response.raise_three", "response.both_majors"}
    without = REFERENCE.changed("response.double", False)
    assert "response.double_one" not in explore.settings_at_work(without, ONE_DIAMOND_ONE_SPADE)


def test_a_comparison_in_words() -> None:
    macros: Any = _JINJA.get_template("macros.html").module
    said = partial(macros.comparison, often="once a session")
    assert said(0.0288, 0.0356).startswith("You would double 19% less often: on 2.88% of all deals")
    assert "10% more often" in said(0.033, 0.03)
    assert "as often as before" in said(0.03, 0.03)
    assert "0.00% of all deals instead of 3.00%" in said(0.0, 0.03)
