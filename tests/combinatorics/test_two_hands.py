"""Two hands against SciPy's distributions. Their published tables are in tests/published."""

from itertools import product
from math import comb, prod

import numpy as np
import pytest
from double_study.combinatorics import two_hands
from double_study.combinatorics.two_hands import N_PARTNERSHIPS, chance_of_holding
from double_study.errors import InputError
from scipy.stats import hypergeom, multivariate_hypergeom

# One probability in float64 against another: SciPy works through logarithms of factorials, whose
# rounding grows to about 1e-12.
RELATIVE = 1e-10


@pytest.mark.parametrize("places", [(13, 13), (13, 26), (8, 9), (12, 1), (3, 13)])
def test_vacant_places_are_hypergeometric(places: tuple[int, int]) -> None:
    here, there = places
    for outstanding in range(min(14, here + there + 1)):
        held = np.arange(outstanding + 1)
        counted = [float(chance_of_holding(int(k), outstanding, here, there)) for k in held]
        reference = hypergeom(here + there, outstanding, here).pmf(held)
        assert counted == pytest.approx(reference, rel=RELATIVE)


@pytest.mark.parametrize("own", range(14))
def test_partners_length_is_hypergeometric(own: int) -> None:
    reference = hypergeom(39, 13 - own, 13).pmf(np.arange(14))
    assert [float(p) for p in two_hands.partner_length(own)] == pytest.approx(
        reference, rel=RELATIVE
    )


def test_combined_lengths_of_all_suits_are_multivariate_hypergeometric() -> None:
    lengths, ways = two_hands.partnership_lengths()
    reference = multivariate_hypergeom([13] * 4, 26).pmf(lengths)
    assert ways / N_PARTNERSHIPS == pytest.approx(reference, rel=RELATIVE)
    assert ways.sum() == N_PARTNERSHIPS == comb(52, 26)


def test_partnership_points_are_those_of_the_honours() -> None:
    # Honours by kind over the whole pack, not suit by suit.
    expected = [0] * 41
    for aces, kings, queens, jacks in product(range(5), repeat=4):
        held = (aces, kings, queens, jacks)
        others = comb(36, 26 - sum(held))
        points = 4 * aces + 3 * kings + 2 * queens + jacks
        expected[points] += prod(comb(4, n) for n in held) * others
    assert two_hands.partnership_hcp_ways().tolist() == expected
    assert sum(expected) == N_PARTNERSHIPS


@pytest.mark.parametrize("numbers", [(2, 27, 13, 13), (1, -1, 13, 13), (1, 2, -3, 13)])
def test_impossible_places_are_one_clear_line(numbers: tuple[int, int, int, int]) -> None:
    with pytest.raises(InputError, match="vacant places") as error:
        chance_of_holding(*numbers)
    assert "\n" not in str(error.value)
