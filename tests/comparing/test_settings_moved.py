"""Settings moved by one: which way each can move the double, deal by deal, and the sweep's tables.

The deals are fixed, and what is asked holds for every deal, so nothing is left
to chance.
"""

from collections import Counter
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest
from double_study import comparing
from double_study import tables_compared as agreements
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.agreements.settings import Range
from double_study.cards.bids import Bid
from double_study.columns import COLUMNS
from double_study.comparing import DOUBLE_MEASURE, Moved, doubled_deals, steps, sweep
from double_study.counting import run as study
from double_study.counting.record import ExactUsed
from double_study.counting.run import cards_of
from double_study.rules.auction import rebid
from double_study.rules.batch import Batch
from double_study.rules.response import RESPONSE
from double_study.tables import Run
from double_study.tables_compared import sweep_table, with_effect, without_effect
from scipy.stats import binom

SEED = 271
BLOCKS = ((5, 50_000), (6, 50_000))
STEPS = steps(REFERENCE)
NO_FURTHER = {
    *(("opening.major_cards", 1), ("opening.diamond_cards", -1), ("response.raise_cards", -1)),
    *(("response.one_level_cards", -1), ("response.penalty_cards", 1)),
}
"""Steps from the reference beyond the end of what is allowed, such as majors of six cards."""
NOT_PLAYED = REFERENCE.changed("response.double", False)


@pytest.fixture(scope="module")
def base() -> Batch:
    return Batch(cards_of(SEED, BLOCKS), REFERENCE)


def test_every_numeric_setting_moves_both_ways() -> None:
    wanted = set()
    for key, value in REFERENCE.values.items():
        ends = (".low", ".high") if isinstance(value, Range) else ("",)
        if not isinstance(value, bool):
            wanted |= {(key + end, by) for end in ends for by in (1, -1)}
    assert {(step.setting, step.by) for step in STEPS} == wanted - NO_FURTHER
    assert len(STEPS) == len(wanted - NO_FURTHER)


def test_a_step_changes_one_setting_by_one() -> None:
    for step in STEPS:
        values = zip(REFERENCE.values.values(), step.agreement.values.values(), strict=True)
        ((before, after),) = ((before, after) for before, after in values if before != after)
        if isinstance(before, Range):
            assert after.low - before.low + after.high - before.high == step.by
        elif isinstance(before, Bid):
            assert (after > before) == (step.by > 0)
        else:
            assert after - before == step.by
        assert step.standing != step.moved


def test_the_ceiling_moves_to_the_next_bid_of_a_suit() -> None:
    def neighbours(ceiling: str) -> list[str]:
        standing = REFERENCE.changed("response.double_through", ceiling)
        return [step.moved for step in steps(standing) if step.setting == "response.double_through"]

    assert neighbours("3S") == ["4♣", "3♥"]
    assert neighbours("3C") == ["3♦", "2♠"]
    # At either end of what is allowed there is one way to go.
    assert neighbours("4S") == ["4♥"]
    assert neighbours("1D") == ["1♥"]


def test_a_step_that_contradicts_another_setting_is_left_out() -> None:
    def found(key: str, value: object) -> set[tuple[str, int]]:
        every = steps(REFERENCE.changed(key, value))
        return {(step.setting.removeprefix(key), step.by) for step in every if key in step.setting}

    assert found("opening.light", 12) & {("", 1), ("", -1)} == {("", -1)}
    assert found("opening.weak", [7, 7]) == {(".low", -1), (".high", 1)}


RESPONSES = [step for step in STEPS if step.setting.startswith("response.")]
OF_THE_DOUBLE = "response.double_"
BEFORE_THE_DOUBLE = ("strong_raise", "raise_", "one_level_major", "penalty_", "new_suit_")
"""Settings of rules that are tried before the double: what they take, the double does not get."""
MORE_DOUBLES = ("response.double_through", "response.double_cards")
"""Settings of the double that say the most it allows, so that a higher one gives more doubles."""


def test_the_rules_before_the_double_are_those() -> None:
    names = " ".join(rule.name for rule in RESPONSE.rules)
    before = "strong_raise raise_major one_level_major penalty_pass new_major new_minor"
    assert names.partition(" double ")[0] == before


def test_thresholds_move_the_double_only_one_way(base: Batch) -> None:
    """A higher threshold of the double never gives more doubles, of a rule before it never fewer.

    Of a rule after it neither. Deal by deal, so it holds for every frequency.
    """
    standing = doubled_deals(base)
    for step in RESPONSES:
        moved = doubled_deals(rebid(base, step.agreement))
        fewer, more = (standing, moved) if step.by > 0 else (moved, standing)
        name = step.setting.removeprefix("response.")
        if step.setting in MORE_DOUBLES or name.startswith(BEFORE_THE_DOUBLE):
            wrong = fewer & ~more
        elif step.setting.startswith(OF_THE_DOUBLE):
            wrong = more & ~fewer
        else:
            wrong = fewer != more
        assert not wrong.any(), (step.setting, step.moved)


def test_doubles_fall_step_by_step_as_the_threshold_rises(base: Batch) -> None:
    """Over the whole range of the threshold, from every hand of the shape to none."""
    moved = (REFERENCE.changed("response.double_one", points) for points in range(38))
    doubles = [doubled_deals(rebid(base, agreement)) for agreement in moved]
    for lower, higher in pairwise(doubles):
        assert not (higher & ~lower).any()
    counts = [int(doubled.sum()) for doubled in doubles]
    assert counts[0] > counts[6] > counts[12] > counts[37]


def test_what_comes_after_the_double_does_not_change_it(base: Batch) -> None:
    standing = doubled_deals(base)
    for step in STEPS:
        if step.measure != DOUBLE_MEASURE:
            moved = doubled_deals(rebid(base, step.agreement))
            assert (moved == standing).all(), (step.setting, step.moved)


def test_counts_of_a_step_are_those_of_two_separate_runs() -> None:
    cards = cards_of(SEED, BLOCKS)
    chosen = [STEPS[at] for at in range(0, len(STEPS), 9)]
    counted = comparing.count_steps(SEED, REFERENCE, chosen, BLOCKS)
    standing = Batch(cards, REFERENCE)
    for step, row in zip(chosen, counted.tolist(), strict=True):
        other = Batch(cards, step.agreement)
        happens = HAPPENS[step.measure]
        pairs = Counter(zip(happens(standing), happens(other), strict=True))
        cells = [(True, True), (True, False), (False, True), (False, False)]
        measured, from_first = row
        assert measured == [pairs[cell] for cell in cells], step.setting
        both, first_only, second_only, neither = from_first
        assert both + second_only == (other.at("doubled")["seat"] == 1).sum()
        assert both + first_only == (standing.at("doubled")["seat"] == 1).sum()
        assert both + first_only + second_only + neither == cards.shape[1]


def named(deals: Batch, column: str) -> list[str]:
    return [COLUMNS[column].names[code] for code in deals[column]]


def _penalty_is_had(deals: Batch) -> list[bool]:
    calls = zip(*(named(deals.at("passed"), name) for name in ("call", "reopening")), strict=True)
    return [opener == "double" for call, opener in calls if call == "penalty_pass"]


HAPPENS: dict[str, Callable[[Batch], list[bool]]] = {
    DOUBLE_MEASURE: lambda deals: doubled_deals(deals).tolist(),
    comparing.GAME_MEASURE: lambda deals: [
        contract in ("game", "three_notrump")
        for contract in named(deals.at("doubled"), "final_contract")
    ],
    comparing.PENALTY_MEASURE: _penalty_is_had,
}


@pytest.fixture(scope="module")
def moved() -> list[Moved]:
    return sweep(REFERENCE, 60_000, SEED, workers=1, progress=False)


def test_workers_do_not_change_the_sweep(moved: list[Moved]) -> None:
    assert sweep(REFERENCE, 60_000, SEED, workers=2, progress=False) == moved


@pytest.mark.parametrize("measure", comparing.MEASURED)
def test_the_table_is_sorted_by_what_matters(measure: str, moved: list[Moved]) -> None:
    table = sweep_table(moved, measure)
    assert table["reach"].is_monotonic_decreasing
    assert table.groupby("setting")["reach"].nunique().eq(1).all()
    assert table["of"].nunique() == 1
    # Rounding alone: quotients of whole numbers below 2**53.
    np.testing.assert_allclose(
        table["difference"], (table["second_only"] - table["first_only"]) / table["of"], atol=1e-15
    )
    assert set(table["setting"]) == {s.setting for s in STEPS if s.measure == measure}
    # Both ways of a setting stand together.
    assert table["setting"].ne(table["setting"].shift()).sum() == table["setting"].nunique()
    assert set(table["by"]) == {1, -1}


def test_settings_without_effect(moved: list[Moved]) -> None:
    idle = set(without_effect(sweep_table(moved, DOUBLE_MEASURE)))
    after = ("notrump_one", "notrump_two", "notrump_three", "short_raise", "cue_bid", "strong")
    assert {f"response.{name}" for name in after} <= idle
    assert "response.double_one" not in idle
    # Level 4 is above the reference's ceiling.
    assert "response.double_four" in idle
    idle = set(without_effect(sweep_table(moved, comparing.GAME_MEASURE)))
    assert {"answer.spade_jump", "answer.spade_game"} <= idle


def test_a_sweep_without_doubles_changes_nothing() -> None:
    without = sweep(NOT_PLAYED, 10_000, SEED, workers=1, progress=False)
    for measure in (DOUBLE_MEASURE, comparing.GAME_MEASURE):
        table = sweep_table(without, measure)
        assert len(without_effect(table)) == table["setting"].nunique()
        assert with_effect(table).empty


def test_changes_beside_exact_values(moved: list[Moved], monkeypatch: pytest.MonkeyPatch) -> None:
    """The exact side stands in as a table of its form; its own tests say that it is right."""
    known = {REFERENCE: 0.015, REFERENCE.changed("response.double_one", 7): 0.0136}

    def exact_table(agreement: Agreement, calls: bool) -> pd.DataFrame:
        assert calls
        rows = [("any", 0.08), ("double", known[agreement])]
        return pd.DataFrame(rows, columns=["call", "probability"])

    monkeypatch.setattr(agreements, "exact_table", exact_table)
    monkeypatch.setattr(agreements, "serves", lambda _, other: other in known)
    nothing = study.count(1_000, SEED, REFERENCE, workers=1, progress=False)
    run = Run.of(nothing, SEED, REFERENCE, ExactUsed("", "", 0.0))
    ((_, row),) = agreements.exact_changes(moved, run).iterrows()
    (step,) = (m for m in moved if (m.step.setting, m.step.by) == ("response.double_one", 1))
    assert (row["setting"], row["deals"]) == ("response.double_one", step.first_seat.first_only)
    assert row["exact"] == pytest.approx(0.0014)
    # However few the deals, the binomial itself is the measure and no z.
    law = binom(row["of"], 0.0014)
    tails = law.cdf(row["deals"]), law.sf(row["deals"] - 1)
    assert row["p_value"] == pytest.approx(min(1, 2 * min(tails)))
    assert "z" not in row
    assert agreements.exact_changes(moved, Run.of(nothing, SEED, REFERENCE)).empty
