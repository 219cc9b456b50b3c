"""The explorer's callbacks, without a browser. 8 seconds."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.app.at_work import possible_calls
from double_study.app.explorer import Explorer
from double_study.cards.bids import HEARTS, SPADES, Bid
from double_study.columns import COLUMNS
from double_study.counting import responder_hands as explored
from double_study.counting import sampling as study
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.responder_hands import Holding
from double_study.errors import InputError
from double_study.escape import markdown
from double_study.rules.response import DOUBLE_CALL
from double_study.rules.terms import SEQUENCE_CODE, SEQUENCES
from IPython.display import DisplayHandle

COUNTED, SEED = 100_000, 821

ONE_DIAMOND_ONE_SPADE = SEQUENCE_CODE[1, Bid(1, SPADES).code]


@pytest.fixture
def explorer() -> Explorer:
    return Explorer(REFERENCE, COUNTED, SEED)


def counted(agreement: Agreement) -> np.ndarray:
    """Calls by opening and overcall, from the study's own count of the same deals."""
    tally = study.count(COUNTED, SEED, agreement, workers=1, progress=False)
    return tally[CALL_COUNTS.name].sum(axis=0)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        (None, None),
        ("response.double_one", 9),
        ("response.double", False),
        ("response.double_through", Bid(4, HEARTS)),
        ("response.notrump_two", 8),
        ("response.penalty_pass", 3),
    ],
)
def test_stored_hands_are_counted_as_the_study_counts_them(key: str | None, value: Any) -> None:
    agreement = REFERENCE.changed(key, value) if key else REFERENCE
    hands = explored.responder_hands(agreement, COUNTED, SEED)
    found = [explored.calls(hands, agreement, pair)["deals"] for pair in range(len(SEQUENCES))]
    assert np.array_equal(np.stack(found), counted(agreement))


def test_hands_are_stored_anew_only_for_other_openings_and_overcalls() -> None:
    hands = explored.responder_hands(REFERENCE, COUNTED, SEED)
    same = explored.responder_hands(REFERENCE.changed("response.double_one", 12), COUNTED, SEED)
    assert same is hands
    other = REFERENCE.changed("opening.suit", 13)
    moved = explored.responder_hands(other, COUNTED, SEED)
    found = [explored.calls(moved, other, pair)["deals"] for pair in range(len(SEQUENCES))]
    assert np.array_equal(np.stack(found), counted(other))


def test_holdings_divide_the_hands() -> None:
    hands = explored.responder_hands(REFERENCE, COUNTED, SEED)
    every = explored.calls(hands, REFERENCE, ONE_DIAMOND_ONE_SPADE)["deals"]
    any_length = Holding.lengths
    by_points = [Holding((low, high)) for low, high in ((0, 5), (6, 9), (10, 37))]
    by_hearts = [
        Holding(lengths=(*any_length[:2], ends, any_length[3])) for ends in ((0, 3), (4, 13))
    ]
    for parts in (by_points, by_hearts):
        tables = [
            explored.calls(hands, REFERENCE, ONE_DIAMOND_ONE_SPADE, part)["deals"] for part in parts
        ]
        assert sum(tables[1:], tables[0]).equals(every)
    # The double of 1♠ promises four hearts or more and 6 total points.
    assert tables[0][DOUBLE_CALL] == 0
    assert str(by_points[1]) == " with 6–9 HCP"
    assert str(by_hearts[0]) == " with 0–3 ♥"


def test_moving_a_threshold_moves_everything_without_a_new_deal(
    explorer: Explorer, monkeypatch: pytest.MonkeyPatch
) -> None:
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    monkeypatch.setattr(explored, "deal_block", lambda *_: pytest.fail("dealt again"))
    before = explorer.sentence.value, explorer.figure.value, explorer.table.value
    explorer.thresholds["response.double_one"].value = 9
    after = explorer.sentence.value, explorer.figure.value, explorer.table.value
    assert all(old != new for old, new in zip(before, after, strict=True))
    assert "total points of the double at level 1: 9 (not 6)" in after[0]
    doubles = counted(REFERENCE.changed("response.double_one", 9))
    share = doubles[ONE_DIAMOND_ONE_SPADE, DOUBLE_CALL] / doubles[ONE_DIAMOND_ONE_SPADE].sum()
    assert f"{share:.1%}" in after[0]
    assert f"{share:.1%} of the hands as now set" in after[1]
    explorer.reset()
    assert (explorer.sentence.value, explorer.figure.value, explorer.table.value) == before


def test_points_and_lengths_narrow_the_hands(explorer: Explorer) -> None:
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    explorer.hcp.value = (6, 9)
    explorer.lengths[HEARTS].value = (4, 4)
    hands = explored.responder_hands(REFERENCE, COUNTED, SEED)
    any_length = Holding.lengths
    holding = Holding((6, 9), (any_length[0], any_length[1], (4, 4), any_length[3]))
    assert explorer.holding() == holding
    table = explored.calls(hands, REFERENCE, ONE_DIAMOND_ONE_SPADE, holding)
    assert f"the {table['deals'].sum():,} responder's hands with 6–9 HCP, 4 ♥" in explorer.said


def test_no_hand_is_said_to_be_none(explorer: Explorer) -> None:
    explorer.hcp.value = (37, 37)
    assert "no hand with 37 HCP was dealt" in explorer.sentence.value


def test_the_overcalls_on_offer_are_those_of_the_opening(explorer: Explorer) -> None:
    explorer.opening.value = SPADES
    offered = [bid.symbol for suit, bid in SEQUENCES if suit == SPADES]
    assert [label for label, _ in explorer.overcall.options] == offered
    assert explorer.sentence.value.startswith("After 1♠ (2♣)")


def test_everything_follows_the_agreement_chosen(tmp_path: Path) -> None:
    file = tmp_path / "strict.toml"
    file.write_text("[opening]\nsuit = 13\n[response]\ndouble_one = 11\n", encoding="utf-8")
    strict = load(str(file))
    explorer = Explorer(strict, COUNTED, SEED)
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    assert explorer.thresholds["response.double_one"].value == 11
    assert "By the agreement strict.toml, as it stands" in explorer.sentence.value
    expected = counted(strict)[ONE_DIAMOND_ONE_SPADE]
    assert np.array_equal(explorer.calls(explorer.now())["deals"], expected)
    explorer.agreement.value = REFERENCE
    assert explorer.thresholds["response.double_one"].value == 6
    assert "By the agreement reference, as it stands" in explorer.sentence.value
    expected = counted(REFERENCE)[ONE_DIAMOND_ONE_SPADE]
    assert np.array_equal(explorer.calls(explorer.now())["deals"], expected)
    # The agreement stays on offer.
    assert [label for label, _ in explorer.agreement.options][:2] == ["strict.toml", "reference"]


def contradicts(agreement: Agreement, key: str, value: Any) -> bool:
    try:
        agreement.changed(key, value)
    except InputError as error:
        return "contradicts" in str(error)
    return False


def test_every_responders_threshold_but_two_has_a_control_that_moves_a_call() -> None:
    # The strength that names a reason and the one that settles a raise's level move no call.
    keys = {setting.key for setting in REFERENCE.settings("response")}
    explorer = Explorer(REFERENCE, COUNTED, SEED)
    assert keys - set(explorer.thresholds) == {"response.strong", "response.raise_game"}
    hands = explored.responder_hands(REFERENCE, COUNTED, SEED)
    wide = REFERENCE.changed("response.double_through", Bid(4, SPADES))
    standing = [explored.calls(hands, wide, pair) for pair in range(len(SEQUENCES))]
    still = []
    for key, control in explorer.thresholds.items():
        others: dict[type, list[Any]] = {bool: [not control.value], Bid: [Bid(1, HEARTS)]}
        ends = [getattr(control, end, None) for end in ("min", "max")]
        moved = next(
            wide.changed(key, other)
            for other in others.get(type(control.value), ends)
            if other != control.value and not contradicts(wide, key, other)
        )
        tables = (explored.calls(hands, moved, pair) for pair in range(len(SEQUENCES)))
        if all(map(pd.DataFrame.equals, tables, standing)):
            still.append(key)
    assert still == []


def test_no_row_is_of_a_call_that_no_hand_makes(explorer: Explorer) -> None:
    # After 1♦ 1♠ there is no major to bid at level 1, nor one to raise.
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    possible = possible_calls(REFERENCE, ONE_DIAMOND_ONE_SPADE)
    barred = {call for call, made in zip(COLUMNS["call"].names, possible, strict=True) if not made}
    assert barred == {"raise_major", "one_level_major", "above_ceiling"}
    assert explorer.table.value.count("<tr") == 1 + possible.sum()
    hands = explored.responder_hands(REFERENCE, COUNTED, SEED)
    for pair in range(len(SEQUENCES)):
        dealt = explored.calls(hands, REFERENCE, pair)["deals"] > 0
        assert not (dealt & ~possible_calls(REFERENCE, pair)).any()


def test_settings_that_do_nothing_here_are_dimmed(explorer: Explorer) -> None:
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    still = {key for key, control in explorer.thresholds.items() if control.disabled}
    assert {"response.double_three", "response.raise_three", "response.both_majors"} <= still
    assert not still & {"response.double", "response.double_one", "response.double_through"}
    explorer.thresholds["response.double"].value = False
    assert explorer.thresholds["response.double_one"].disabled
    explorer.reset()
    assert not explorer.thresholds["response.double_one"].disabled


def test_what_stands_below_the_panel_follows_it(
    explorer: Explorer, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = []
    monkeypatch.setattr(
        DisplayHandle, "display", lambda self, data, **_: shown.append([self, data])
    )
    monkeypatch.setattr(
        DisplayHandle,
        "update",
        lambda self, data, **_: next(entry for entry in shown if entry[0] is self).append(data),
    )
    explorer.overcall.value = ONE_DIAMOND_ONE_SPADE
    explorer.below()
    explorer.thresholds["response.double_one"].value = 9
    (_, told, told_now), (_, figure, figure_now) = shown
    assert "as it stands" in told.data
    assert markdown("total points of the double at level 1: 9 (not 6)") in told_now.data
    assert figure["image/svg+xml"] != figure_now["image/svg+xml"]


def test_an_agreement_of_ones_own_is_played_at_once(explorer: Explorer) -> None:
    strict = replace(REFERENCE.changed("response.double_one", 11), name="mine")
    explorer.offer(strict)
    assert explorer.agreement.label == "mine"
    assert explorer.now() == strict
    assert "By the agreement mine, as it stands" in explorer.sentence.value
