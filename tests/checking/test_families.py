"""The table of counterparts: what was dealt against a plain count, its tests against known laws."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.deal import deal_block
from double_study.checking import families as checked
from double_study.checking.families import FALSE_ALARM, Family, dealt_families
from double_study.cli import check
from double_study.cli.main import FAILED
from double_study.combinatorics import table as exact_side
from double_study.combinatorics.table import exact_table
from double_study.counting import counts as counted
from double_study.counting import run as study
from double_study.counting.record import ExactUsed
from double_study.counting.tally import KEPT_SHARE, Count, Tally, fingerprint
from double_study.rules.batch import Batch
from double_study.tables import Run
from numpy.typing import NDArray
from scipy.stats import chisquare, kstest
from shared.commands import ran, said

CARDS = deal_block(seed=4_411, block=2)
DEALT = Tally.of(Batch(CARDS, REFERENCE), counted.DEALT_COUNTS)


def assert_counted(count: Count, *columns: NDArray[np.int64]) -> None:
    """The count has the deals looked at by these columns of numbers."""
    keys, deals = np.unique(np.column_stack(columns), axis=0, return_counts=True)
    ours = DEALT.frame(count).to_numpy().tolist()
    assert sorted(ours) == np.column_stack([keys, deals]).tolist()


def test_dealt_counts_agree_with_counting_card_by_card() -> None:
    # The deals looked at are those whose mixed number is in the lowest eighth.
    chosen = fingerprint(CARDS) < np.uint64(2**64 // counted.CHECKED_SHARE)
    bits = (CARDS[:, chosen, np.newaxis] >> np.arange(52, dtype=np.uint64)).astype(int) & 1
    assert np.array_equal(DEALT[counted.CARDS_BY_SEAT.name], bits.sum(axis=1).T)
    lengths = bits.reshape(4, -1, 4, 13).sum(axis=3)
    points = bits @ np.tile([0] * 9 + [1, 2, 3, 4], 4)
    assert_counted(counted.PARTNERSHIP_HCP, points[0] + points[2])
    seats = np.repeat(np.arange(1, 5), points.shape[1])
    assert_counted(counted.HAND_CLASSES, seats, lengths.reshape(-1, 4), points.ravel())
    pair = lengths[0] + lengths[2]
    assert_counted(counted.PARTNERSHIP_LENGTHS, pair)
    splits = pair[:, 2], lengths[1, :, 2], pair[:, 3], lengths[1, :, 3]
    assert_counted(counted.MAJOR_SPLITS, *splits)


def test_about_one_deal_in_eight_is_looked_at() -> None:
    # 50,000 deals: binomial standard deviation 74; five of them, a false alarm of 6e-7.
    seen = DEALT[counted.PARTNERSHIP_HCP.name].sum()
    assert abs(seen - len(CARDS[0]) / counted.CHECKED_SHARE) < 370


def test_fingerprints_tell_deals_apart_and_spread() -> None:
    mixed = fingerprint(CARDS)
    assert len(np.unique(mixed)) == len(mixed)
    # Uniform on 64 bits: Kolmogorov-Smirnov on the whole and on the lowest bits.
    for part, size in ((mixed, 2.0**64), (mixed % np.uint64(KEPT_SHARE), KEPT_SHARE)):
        assert kstest((part.astype(float) + 0.5) / size, "uniform").pvalue > 1e-6
    # A card changed in one hand, and the same card in another, moves about half the bits.
    moved = CARDS.copy()
    moved[0] ^= np.uint64(1)
    flipped = np.bitwise_count(mixed ^ fingerprint(moved)).mean()
    assert 28 < flipped < 36


def test_a_tally_keeps_the_fingerprints_of_a_few_deals() -> None:
    mixed = fingerprint(CARDS)
    picked = mixed[mixed % np.uint64(KEPT_SHARE) == 0]
    assert DEALT.fingerprints.tolist() == picked.tolist()
    assert (DEALT + DEALT).fingerprints.tolist() == [*picked.tolist()] * 2
    assert len(picked) > 0


@pytest.mark.parametrize("deals", [0, 1, 2, 3])
def test_a_handful_of_deals_is_no_trouble(deals: int) -> None:
    tally = Tally.of(Batch(CARDS[:, :deals], REFERENCE), counted.DEALT_COUNTS)
    found = list(dealt_families(tally))
    assert checked.joint_tests(found)["passes"].all()
    assert np.isfinite(checked.counterparts(found)["exact"]).all()


def test_the_joint_test_of_cards_is_chi_square_with_153_degrees_of_freedom() -> None:
    # 600 runs of 250 shuffled packs; Kolmogorov-Smirnov at 1e-6. Without the factor 51/52 or with
    # 156 degrees of freedom the test fails.
    stream = np.random.Generator(np.random.PCG64(15))
    nothing = Tally.empty(counted.DEALT_COUNTS).tables
    p_values = []
    for _ in range(600):
        order = stream.permuted(np.tile(np.arange(52), (250, 1)), axis=1)
        hands = [order[:, 13 * seat : 13 * seat + 13].ravel() for seat in range(4)]
        counts = np.stack([np.bincount(hand, minlength=52) for hand in hands], axis=1)
        tally = replace(DEALT, tables={**nothing, counted.CARDS_BY_SEAT.name: counts})
        p_values.append(next(dealt_families(tally)).joint.p_value)
    assert kstest(p_values, "uniform").pvalue > 1e-6


def repeats(cards: NDArray[np.uint64]) -> Family:
    tally = Tally.of(Batch(cards, REFERENCE), counted.DEALT_COUNTS)
    (family,) = [f for f in dealt_families(tally) if f.name == "deals that came twice"]
    return family


def test_a_deal_that_comes_twice_is_found() -> None:
    assert repeats(CARDS).counts.tolist() == [0]
    assert repeats(CARDS).joint.p_value == 1.0
    picked = CARDS[:, fingerprint(CARDS) % np.uint64(KEPT_SHARE) == 0]
    again = np.hstack([CARDS, picked[:, :1]])
    assert repeats(again).counts.tolist() == [1]
    assert repeats(again).joint.p_value < FALSE_ALARM / 100


@pytest.mark.parametrize("deals", [10**8, 10**9])
def test_one_deal_that_comes_twice_is_enough_in_a_long_run(deals: int) -> None:
    # Counts need not be made for it: the fingerprints of so many deals are independent and uniform.
    rng = np.random.default_rng(deals)
    kept = rng.integers(0, 2**51, deals // KEPT_SHARE, dtype=np.uint64) * np.uint64(KEPT_SHARE)
    (right,), (wrong,) = (
        [f for f in dealt_families(replace(DEALT, fingerprints=some)) if "twice" in f.name]
        for some in (kept, np.append(kept, kept[7]))
    )
    assert right.joint.p_value == 1.0
    assert wrong.joint.p_value < FALSE_ALARM / 100


def test_a_family_is_tested_with_the_deals_that_are_in_no_cell() -> None:
    family = Family("f", ["a", "b"], np.array([300, 210]), np.array([0.3, 0.2]), 1_000)
    reference = chisquare([300, 210, 490], [300, 200, 500])
    assert family.joint.p_value == pytest.approx(reference.pvalue, rel=1e-12)


def test_a_conditional_family_states_shares_of_its_case() -> None:
    labels, cases = ["3-2", "4-1", "1-1"], ["5 out", "5 out", "2 out"]
    family = Family("f", labels, np.array([60, 40, 7]), np.array([0.3, 0.1, 0.6]), 107, cases)
    rows = family.rows()
    assert rows["case"].to_list() == ["5 out: 3-2", "5 out: 4-1", "2 out: 1-1"]
    assert rows["of"].to_list() == [100, 100, 7]
    assert rows["exact"].to_list() == pytest.approx([0.75, 0.25, 1.0])
    assert rows["z"].to_list() == pytest.approx([-15 / np.sqrt(18.75), 15 / np.sqrt(18.75), 0.0])


def test_rare_cells_have_no_z_and_impossible_ones_an_infinite_one() -> None:
    counts, chances = np.array([2, 996, 1, 0]), np.array([0.001, 0.999, 0.0, 0.0])
    rows = Family("f", ["rare", "common", "never", "unseen"], counts, chances, 999).rows()
    assert rows["case"].to_list() == ["rare", "common", "never"]
    assert np.isnan(rows["z"].iloc[0])
    assert rows["z"].iloc[2] == np.inf


def test_coarser_labels_add_cells_up() -> None:
    family = Family("f", ["a1", "b1", "a2"], np.array([1, 2, 4]), np.array([0.5, 0.25, 0.25]), 7)
    coarse = family.grouped("g", ["a", "b", "a"])
    assert coarse.labels == ["a", "b"]
    assert coarse.counts.tolist() == [5, 2]
    assert coarse.probabilities.tolist() == [0.75, 0.25]


def test_every_family_is_tested_at_its_share_of_the_false_alarm_rate() -> None:
    right = Family("right", ["a"], np.array([500]), np.array([0.5]), 1_000)
    wrong = Family("wrong", ["a"], np.array([600]), np.array([0.5]), 1_000)
    tests = checked.joint_tests([right, wrong])
    assert tests["fails_below"].to_list() == [FALSE_ALARM / 2] * 2
    assert tests["passes"].to_list() == [True, False]


def test_the_command_passes_what_is_right() -> None:
    out = said("check --no-exact --deals 100000 --seed 8 --workers 1")
    assert out.startswith("Passed: all ")
    assert "22 HCP" in out
    assert ": opener 4 or more" in out


def test_the_command_fails_what_is_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    def bid_otherwise(deals: int, seed: int, agreement: Agreement, workers: int | None) -> Tally:
        changed = agreement.changed("opening.suit", 13)
        return study.count(deals, seed, changed, workers, progress=False)

    monkeypatch.setattr(check, "study", SimpleNamespace(count=bid_otherwise))
    status, out, _ = ran("check --no-exact --deals 200000 --seed 8 --workers 1")
    assert status == FAILED == 1
    first, *lines = out.splitlines()
    assert first.startswith("FAILED: openings")
    assert any(line.rstrip().endswith(" no") for line in lines)


def test_reasons_messages_and_openers_cards_are_families(monkeypatch: pytest.MonkeyPatch) -> None:
    """A run of ten times the deals stands for exact values.

    It has the run's own deals in it, so no cell seen is impossible, and chi-square is smaller by a
    tenth: a correct program falls below 1e-4 less often than that.
    """
    table = study.count(2_000_000, 50, REFERENCE, 1, progress=False).frame(counted.FIRST_SEAT_FITS)
    table["probability"] = table.pop("deals") / 2_000_000
    monkeypatch.setattr(exact_side, "doubles_table", lambda _: table)
    monkeypatch.setattr(exact_side, "exact_table", lambda one, calls: exact_table(one, calls=False))

    def doubled(agreement: Agreement) -> dict[str, float]:
        tally = study.count(200_000, 50, agreement, 1, progress=False)
        run = Run.of(tally, 50, REFERENCE, ExactUsed("", "", 0.0))
        return {f.name: f.joint.p_value for f in checked.bid_families(run) if "double" in f.name}

    right = doubled(REFERENCE)
    assert len(right) == 3
    assert min(right.values()) > 1e-4
    wrong = doubled(REFERENCE.changed("response.strong", 11))
    assert wrong["reasons for the double"] < 1e-4 < wrong["messages of the double"]
