"""What tells two places of a ranking apart, against SciPy, and how often wrongly."""

import numpy as np
import pytest
from double_study.errors import InputError
from double_study.stats import parts_differ
from scipy.stats import binomtest


@pytest.mark.parametrize(
    ("one", "other"), [(12, 4), (10, 4), (0, 5), (0, 6), (1_000, 1_090), (0, 0)]
)
def test_parts_as_by_the_exact_test_of_scipy(one: int, other: int) -> None:
    reference = one + other > 0 and binomtest(one, one + other, 0.5).pvalue < 0.05
    assert bool(parts_differ(one, other)) == reference


def test_what_is_equal_is_distinguished_no_more_than_once_in_twenty_times() -> None:
    # 20,000 pairs: the standard deviation of their share is 0.0015, and four of them are allowed.
    rng = np.random.default_rng(18)
    parts = rng.multinomial(2_000, [0.1, 0.1, 0.8], 20_000).T
    assert parts_differ(parts[0], parts[1]).mean() < 0.056


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(InputError):
        parts_differ(-1, 4)
