"""How often one partnership meets a case: definitions computed by hand."""

import pandas as pd
import pytest
from double_study.columns import COLUMNS
from double_study.counting.sessions import per_session, with_sessions
from double_study.stats import CERTAINTY
from scipy.stats import geom


def test_one_partnership_meets_a_case_on_half_of_its_deals() -> None:
    assert per_session([0.0, 1 / 12, 0.5]) == pytest.approx([0.0, 1.0, 6.0], rel=1e-15)


def test_the_rarer_a_case_the_longer_the_wait() -> None:
    table = with_sessions(pd.DataFrame({"deals": [50, 500]}), 1_000)
    assert table["per_session"].to_list() == pytest.approx([0.6, 6.0], rel=1e-15)
    assert table["boards"].to_list() == [geom.ppf(CERTAINTY, share / 2) for share in (0.05, 0.5)]
    for column in ("per_session", "boards"):
        value, low, high = (table[name] for name in COLUMNS[column].columns)
        assert (low <= value).all()
        assert (value <= high).all()
