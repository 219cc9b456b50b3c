"""Agreements on the same deals: counts against a plain reading of each deal, tables, the command.

Seven seconds. Nothing here is left to chance: the deals are fixed.
"""

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pandas as pd
import plain.bidding as plain
import pytest
from double_study import tables_compared as compared
from double_study.agreements.reader import REFERENCE, Agreement, load, shipped
from double_study.cards.bids import MAJORS, Bid
from double_study.columns import COLUMNS
from double_study.combinatorics.table import ANY
from double_study.comparing import NOT_KNOWN, OUTCOMES_SHAPE, Comparison, compare, count_outcomes
from double_study.counting.counts import CALL_COUNTS
from double_study.counting.run import cards_of, count_blocks
from double_study.rules.response import RESPONSE
from double_study.rules.terms import SEQUENCE
from double_study.tables import Run
from scipy.stats import binomtest
from shared.commands import said
from shared.plain_reading import plain_hands, plainly

SEED = 4_711
FEW = ((0, 4_000),)
"""Deals for the plain reading, which is slow."""

WEAK, NOT_PLAYED = load("weak_notrump"), load("not_played")


@cache
def comparisons() -> dict[str, Comparison]:
    """Return the reference compared with each shipped agreement, by the name of the other."""
    agreements = list(map(load, shipped()))
    found = compare(agreements, 100_000, SEED, workers=1, progress=False)
    return {comparison.second.name: comparison for comparison in found}


Outcome = tuple[str, bool, int]
"""What a deal comes to, whether a fit goes without mention, and opener's seat (0: no responder)."""


def plain_outcome(deal: list[plain.Hand]) -> Outcome:
    """Return the outcome by its definition in words, written apart from the package."""
    auction = plain.whole_auction(deal)
    if not auction.seat:
        return "passed_out", False, 0
    if auction.overcall is None:
        return "no_suit_overcall" if auction.action else "other_opening", False, 0
    opener, responder = deal[auction.seat - 1], deal[(auction.seat + 1) % 4]
    (_, opened), (level, overcalled) = map(plain.read_bid, (auction.opening, auction.overcall))
    call, bid = plain.response(responder, opened, overcalled, level)
    if call == "penalty_pass" and auction.reopening != "double":
        call = "penalty_lost"
    named = {plain.read_bid(bid)[1]} if bid not in (None, "pass", "X") else set()
    if call == "double":
        named = set(plain.promised_suits(opened, overcalled, level))
    unmentioned = any(
        opener[suit].bit_count() + responder[suit].bit_count() >= 8
        for suit in MAJORS
        if suit not in {opened, overcalled} | named
    )
    return call, unmentioned, auction.seat


def plain_outcomes(agreement: Agreement) -> list[Outcome]:
    with plainly(agreement):
        return [plain_outcome(plain_hands(cards)) for cards in cards_of(SEED, FEW).T]


def plain_counts(first: list[Outcome], second: list[Outcome]) -> np.ndarray:
    counts = np.zeros(OUTCOMES_SHAPE, dtype=np.int64)
    for (call, unmentioned, seat), (other, missed, chair) in zip(first, second, strict=True):
        same = int(seat == chair != 0)
        ours, theirs = map(COLUMNS["outcome"].code, (call, other))
        counts[ours, int(unmentioned), theirs, int(missed), same] += 1
    return counts


def test_counts_are_those_of_the_plain_reading() -> None:
    agreements = REFERENCE, WEAK, NOT_PLAYED
    standing, *others = map(plain_outcomes, agreements)
    for ours, theirs in zip(count_outcomes(SEED, agreements, FEW), others, strict=True):
        np.testing.assert_array_equal(ours, plain_counts(standing, theirs))
    # The comparison would say little if nothing had happened.
    met = {call for call, _, _ in standing} | {"cue_bid", "new_major"}
    assert met >= {*COLUMNS["outcome"].names}
    penalties = [call for call, _, _ in standing if call in ("penalty_pass", "penalty_lost")]
    itself = compare([REFERENCE, replace(REFERENCE, name="again")], 4_000, SEED, 1, progress=False)
    assert itself[0].penalties_wanted == (len(penalties), 0, 0, 4_000 - len(penalties))
    assert itself[0].penalties_lost.both == penalties.count("penalty_lost")
    unmentioned = [sum(missed for _, missed, _ in found) for found in (others[1], standing)]
    assert unmentioned[0] > unmentioned[1] > 0


def test_an_agreement_differs_in_nothing_from_itself() -> None:
    same = comparisons()["through_3s"]
    assert (same.doubles.first_only, same.doubles.second_only) == (0, 0)
    by_both = same.counts.sum(axis=(1, 3, 4))
    assert by_both.trace() == by_both.sum() == same.deals == 100_000
    table = compared.doubles_compared([same])
    assert (table["difference"] == 0).all()
    # Nothing seen is not nothing known: the interval is narrow, but it has a width.
    assert table["difference_low"][1] < 0 < table["difference_high"][1] < 1e-4


def test_what_each_change_can_do() -> None:
    """By the rules: what only adds doubles never loses one, and the other way about."""
    doubles = {name: comparison.doubles for name, comparison in comparisons().items()}
    adding = "through_4s one_major_enough double_on_their_length five_three_majors"
    for name in f"{adding} no_two_suited_calls light_overcalls".split():
        assert doubles[name].first_only == 0 < doubles[name].second_only, name
    for name in "through_2s values_6_8_9_10 double_on_six sound_overcalls not_played".split():
        assert doubles[name].second_only == 0 < doubles[name].first_only, name
    for name in ("reopening_on_two", "reopening_suits_first"):
        assert doubles[name].first_only == doubles[name].second_only == 0
    assert doubles["not_played"].both == 0
    for name in "not_played through_2s through_4s one_major_enough seven_throughout".split():
        responders = comparisons()[name].responders
        assert responders.first_only == responders.second_only == 0, name


def test_what_each_change_can_do_to_the_price() -> None:
    shorter, readier, slower = (
        comparisons()[name]
        for name in ("penalty_on_four", "reopening_on_two", "reopening_suits_first")
    )
    assert shorter.penalties_wanted.first_only == 0 < shorter.penalties_wanted.second_only
    for more in (shorter, slower):
        assert more.penalties_lost.first_only == 0 < more.penalties_lost.second_only
    assert readier.penalties_lost.second_only == 0
    for same in (readier.penalties_wanted, slower.penalties_wanted):
        assert same.first_only == same.second_only == 0


def test_the_reversed_comparison_is_the_one_made_the_other_way() -> None:
    (other_way,) = compare([WEAK, REFERENCE], 100_000, SEED, workers=1, progress=False)
    turned = comparisons()["weak_notrump"].reversed()
    np.testing.assert_array_equal(turned.counts, other_way.counts)
    assert turned.doubles == other_way.doubles
    assert turned.doubles[1:3] == comparisons()["weak_notrump"].doubles[2:0:-1]


def test_workers_do_not_change_the_counts() -> None:
    (two,) = compare([REFERENCE, WEAK], 100_000, SEED, workers=2, progress=False)
    np.testing.assert_array_equal(two.counts, comparisons()["weak_notrump"].counts)


def test_the_command() -> None:
    options = "--deals 20_000 --seed 3 --workers 1"
    printed = said(f"compare reference not_played weak_notrump {options}")
    first, second, *_ = printed.splitlines()
    assert re.fullmatch(
        r"Under reference the responder doubles on \d\.\d+% \(.* to .*\) of all deals\.", first
    )
    changed = "Under not_played, on the same deals, the responder doubles less often: -"
    assert second.startswith(changed)
    differs = "The agreement differs in: the responder's double is played: no (not yes)."
    assert differs in " ".join(printed.split())
    assert "20,000 deals, seed 3." in printed
    assert "What the doubles of reference came to under not_played" in printed
    assert "What the doubles of not_played came to" not in printed
    assert "Deals that come to a responder under reference alone" in printed
    # Headings and names are people's: no column's name, no bare proportion.
    assert "first_only" not in printed
    assert not re.search(r"\b0\.\d{4}", printed)


# --- The tables, and their intervals against an independent test ----------------------------


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
