"""The exact table by auction adds up, and its plain splits are SciPy's."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.combinatorics.table import exact_table
from double_study.counting.run import ExactUsed
from double_study.tables import Run
from scipy.stats import hypergeom, multivariate_hypergeom
from shared.small_runs import run_of


@pytest.fixture(scope="module")
def run(exact_report: Path) -> Run:
    counted = run_of("reference")
    return replace(counted, record=replace(counted.record, exact=ExactUsed("", "", {}, 0.0)))


@pytest.fixture(scope="module")
def table(run: Run) -> pd.DataFrame:
    return run.table("exact_by_auction")


def test_the_shares_multiply_to_all_doubles(table: pd.DataFrame) -> None:
    # Roundings of a product and of a quotient of doubles.
    np.testing.assert_allclose(
        table["overcalled"] * table["of_overcalls"], table["doubled"], rtol=1e-14
    )
    exact = exact_table(REFERENCE, calls=True)
    assert table["doubled"].sum() == pytest.approx(
        exact.loc[exact["call"] == "double", "probability"].sum(), rel=1e-12
    )


def test_the_plain_splits_are_hypergeometric(table: pd.DataFrame) -> None:
    """Of 39 unseen cards opener holds 13; nine are in each suit in which the responder has four."""
    two = table["message"].isin(["both_majors", "both_minors"])
    short = sum(
        multivariate_hypergeom.pmf([one, other, 13 - one - other], [9, 9, 21], 13)
        for one in range(4)
        for other in range(4)
    )
    # SciPy's logarithms of factorials are good to about 1e-12.
    np.testing.assert_allclose(table.loc[~two, "naive"], hypergeom(39, 9, 13).sf(3), rtol=1e-10)
    np.testing.assert_allclose(table.loc[two, "naive"], 1 - short, rtol=1e-10)
    assert two.any()
    assert not two.all()
    assert table["after_overcall"].isna().eq(two).all()


def test_a_run_without_exact_calls_has_the_columns_and_no_rows(table: pd.DataFrame) -> None:
    without = run_of("reference").table("exact_by_auction")
    assert without.empty
    assert list(without) == list(table)
