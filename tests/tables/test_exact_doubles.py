"""The exact table by auction adds up, and its plain splits are SciPy's."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.api import deals
from double_study.cards.bids import MAJORS, MINORS, SPADES, SUIT_NAMES
from double_study.combinatorics.hands import N_HANDS, opening_ways
from double_study.combinatorics.table import exact_table
from double_study.counting.record import ExactUsed
from double_study.tables import Run
from scipy.stats import chi2, hypergeom, multivariate_hypergeom
from shared.small_runs import run_of


@pytest.fixture(scope="module")
def run(exact_report: Path) -> Run:
    counted = run_of("reference")
    return replace(counted, record=replace(counted.record, exact=ExactUsed("", "", 0.0)))


@pytest.fixture(scope="module")
def table(run: Run) -> pd.DataFrame:
    return run.table("exact_by_auction")


def test_the_shares_multiply_to_all_doubles(table: pd.DataFrame) -> None:
    # Roundings of a product and of a quotient of doubles.
    product = table["overcalled"] * table["of_overcalls"]
    np.testing.assert_allclose(product, table["doubled"], rtol=1e-14)
    exact = exact_table(REFERENCE, calls=True).query("call == 'double'")
    assert table["doubled"].sum() == pytest.approx(exact["probability"].sum(), rel=1e-12)


def test_the_plain_splits_are_hypergeometric(table: pd.DataFrame) -> None:
    """Of 39 unseen cards opener holds 13; nine are in each suit in which the responder has four."""
    two = table["message"].isin(["both_majors", "both_minors"])
    both = [[one, other, 13 - one - other] for one in range(4) for other in range(4)]
    short = multivariate_hypergeom.pmf(both, [9, 9, 21], 13).sum()
    # SciPy's logarithms of factorials are good to about 1e-12.
    np.testing.assert_allclose(table.loc[~two, "naive"], hypergeom(39, 9, 13).sf(3), rtol=1e-10)
    np.testing.assert_allclose(table.loc[two, "naive"], 1 - short, rtol=1e-10)
    assert two.any()
    assert not two.all()
    assert table["after_overcall"].isna().eq(two).all()


def test_openings_and_overcalls_multiply(table: pd.DataFrame) -> None:
    ways = dict(zip(("1C", "1D", "1H", "1S"), opening_ways(REFERENCE)[1:5], strict=True))
    chance = table["opening"].astype(str).map(ways) / N_HANDS
    np.testing.assert_allclose(table["of_openings"] * chance, table["overcalled"], rtol=1e-11)


PROMISED = {"both_majors": MAJORS, "both_minors": MINORS, "exactly_four_spades": (SPADES,)}


def promised(row: pd.Series) -> tuple[int, ...]:
    bid = row["opening"][1] + row["overcall"][1]
    return PROMISED.get(row["message"], tuple(s for s in MAJORS if "CDHS"[s] not in bid))


def test_fits_and_four_cards_come_as_often_in_deals_as_they_should(table: pd.DataFrame) -> None:
    """A correct program fails one of the two tests about once in 5,000 runs."""
    dealt = deals(600_000, seed=71).query("seat == 1")
    tests: dict[str, list[float]] = {"fit_given_double": [], "double_given_four": []}
    for _, row in table.iterrows():
        suits = promised(row)
        here = dealt[(dealt["opening"] == row["opening"]) & (dealt["overcall"] == row["overcall"])]
        held = here[[f"responder_{SUIT_NAMES[suit]}" for suit in suits]].to_numpy()
        opener = here[[f"opener_{SUIT_NAMES[suit]}" for suit in suits]].to_numpy()
        # The opener's longest promised suit, between equals the higher-ranking.
        longest = len(suits) - 1 - opener[:, ::-1].argmax(axis=1)
        fit = np.take_along_axis(held + opener, longest[:, np.newaxis], 1).ravel() >= 8
        doubled, four = (here["call"] == "double").to_numpy(), (held == 4).all(axis=1)
        cases = ("fit_given_double", fit[doubled]), ("double_given_four", doubled[four])
        for name, seen in cases:
            spread = len(seen) * row[name] * (1 - row[name])
            if spread >= 5:
                tests[name].append((seen.sum() - len(seen) * row[name]) ** 2 / spread)
    for squares in tests.values():
        assert len(squares) >= 15
        assert chi2.sf(sum(squares), len(squares)) > 1e-4


def test_a_run_without_exact_calls_has_the_columns_and_no_rows(table: pd.DataFrame) -> None:
    without = run_of("reference").table("exact_by_auction")
    assert without.empty
    assert list(without) == list(table)
