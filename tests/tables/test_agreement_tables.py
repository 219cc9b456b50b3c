"""Tables of agreements compared, and their intervals against an independent test.

Two seconds. Nothing here is left to chance: the deals are fixed.
"""

import numpy as np
import pandas as pd
import pytest
from double_study import tables_compared as compared
from double_study.agreements.reader import REFERENCE, shipped
from double_study.cards.bids import Bid
from double_study.combinatorics.table import ANY
from double_study.comparing import NOT_KNOWN
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.run import count_blocks
from double_study.rules.response import RESPONSE
from double_study.rules.terms import SEQUENCE
from double_study.tables import Run
from scipy.stats import binomtest
from shared.compared import SEED, comparisons


def doubles() -> pd.DataFrame:
    return compared.doubles_compared(list(comparisons().values())).set_index("agreement")


def test_the_table_of_doubles() -> None:
    table = doubles()
    assert list(table.index) == list(shipped())
    share = table["deals"] / table["of"]
    np.testing.assert_allclose(table["estimate"], share)
    # Rounding alone: both sides are quotients of whole numbers below 2**53.
    np.testing.assert_allclose(table["difference"], share - share["reference"], atol=1e-15)
    np.testing.assert_array_equal(
        table["second_only"] - table["first_only"], table["deals"] - table["deals"]["reference"]
    )
    assert (table["difference_low"] <= table["difference"]).all()
    assert (table["difference"] <= table["difference_high"]).all()


def test_a_paired_interval_is_narrower_than_two_separate_ones() -> None:
    """Where the agreements share most of their doubles; by far, since chance cancels."""
    table = doubles()
    for name in ("values_6_8_9_10", "through_2s", "sound_openings", "weak_notrump"):
        row, reference = table.loc[name], table.loc["reference"]
        apart = np.hypot(row["high"] - row["low"], reference["high"] - reference["low"])
        assert row["difference_high"] - row["difference_low"] < 0.75 * apart, name


def test_the_interval_leaves_out_no_difference_where_mcnemar_is_sure() -> None:
    """The exact test of the same two-by-two table in SciPy, an independent method.

    Where it finds a difference beyond all doubt (p < 1e-6) the interval must not contain 0.
    """
    sure = 0
    for name, comparison in comparisons().items():
        p = comparison.doubles
        row = compared.doubles_compared([comparison]).iloc[1]
        if not p.first_only + p.second_only:
            assert np.isnan(row["chance"]), name
            continue
        result = binomtest(p.first_only, p.first_only + p.second_only)
        # The same binomial tail added up in another order.
        assert row["chance"] == pytest.approx(result.pvalue, rel=1e-9), name
        if result.pvalue < 1e-6:
            sure += 1
            assert row["difference_low"] * row["difference_high"] > 0, name
    assert sure > 5


def test_what_hands_did_instead() -> None:
    for comparison in comparisons().values():
        table, doubles = compared.instead(comparison), comparison.doubles
        assert table["deals"].sum() == doubles.both + doubles.first_only
        stays = table[table["came_to"] == "double"]
        assert stays["deals"].sum() == doubles.both
        assert table["deals"].is_monotonic_decreasing
    table = compared.instead(comparisons()["not_played"])
    # By the order of the rules: hands that reached the double had no call above it.
    after = RESPONSE.rules[RESPONSE.names.index("double") + 1 :]
    assert set(table["came_to"]) <= {rule.name for rule in after}
    assert table["same_hand"].all()
    assert not compared.instead(comparisons()["weak_notrump"])["same_hand"].all()


def test_fits_without_mention() -> None:
    fits = comparisons()["not_played"].unmentioned_fits
    # The double mentions every fit that it promises, so without it none is gained.
    assert fits.first_only == 0 < fits.second_only
    after_the_double = compared.instead(comparisons()["not_played"])["unmentioned"].sum()
    assert after_the_double == fits.second_only
    above = comparisons()["through_2s"]
    known = above.deals - above.counts[:, :, NOT_KNOWN].sum()
    assert above.unmentioned_fits.deals == known
    assert above.unmentioned_fits.first_only == above.unmentioned_fits.second_only == 0
    first, second = compared.fits_compared([comparisons()["not_played"]])["deals"]
    assert (first, second) == (fits.both, fits.both + fits.second_only)


def test_deals_that_no_longer_reach_the_responder() -> None:
    table = compared.no_longer_reached(list(comparisons().values()))
    openings = {"weak_notrump", "sound_openings", "four_card_majors", "two_card_club"}
    assert set(table["agreement"]) == openings | {"sound_overcalls"}
    for name, part in table.groupby("agreement"):
        assert part["deals"].sum() == comparisons()[str(name)].responders.first_only
    sound = table[table["agreement"] == "sound_overcalls"]
    assert list(sound["came_to"]) == ["no_suit_overcall"]
    assert sound["doubled_before"].sum() == comparisons()["sound_overcalls"].doubles.first_only


def test_what_the_double_costs() -> None:
    played = [c for c in comparisons().values() if c.second.response.double]
    lost = compared.penalties_lost(list(comparisons().values())).set_index("agreement")
    assert list(lost.index) == [REFERENCE.name, *(c.second.name for c in played)]
    for comparison in played:
        name = comparison.second.name
        assert lost["deals"][name] == comparison.penalties_lost.second
        assert lost["of"][name] == comparison.penalties_wanted.second
    # Nothing is given up for a double that is not played.
    assert comparisons()["not_played"].penalties_wanted.second == 0
    assert comparisons()["not_played"].penalties_lost.second == 0


def test_the_overcalls_above_each_ceiling() -> None:
    tally = count_blocks(SEED, ((0, 30_000),), REFERENCE)
    run = Run.of(tally, SEED, REFERENCE)
    first_seat = run.table("first_seat_calls")
    overcalls = first_seat[first_seat["call"] == ANY]
    exact = overcalls["exact"].to_numpy()[np.argsort(SEQUENCE.codes(overcalls))]
    ceilings = [Bid.parse(text) for text in ("2S", "3S", "4S")]
    table = compared.overcalls_above(first_seat, ceilings)
    for (_, row), ceiling in zip(table.iterrows(), ceilings, strict=True):
        above = [Bid.parse(overcall) > ceiling for _, overcall in SEQUENCE.names]
        assert row["deals"] == run.tally[CALL_COUNTS.name][0, above].sum()
        assert row["exact"] == pytest.approx(exact[above].sum())
    assert list(table["deals"] > 0) == [True, True, False]
