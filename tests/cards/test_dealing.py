"""Random deals: whole packs, the same again at any time, and every deal equally likely.

Random checks have fixed seeds; each would give a false alarm with one seed in a thousand.
"""

import hashlib
from collections import Counter
from itertools import combinations, product

import numpy as np
import pytest
from double_study.cards.deal import BLOCK_DEALS, CARDS, FULL_PACK, deal_block, halve, halve_packs
from scipy import stats

FALSE_ALARM = 0.001
DEALS = np.concatenate([deal_block(seed=271_828, block=block) for block in range(4)], axis=1)
N = DEALS.shape[1]


class Falls:
    """A stream that gives every fall of some coins once, then all tails but one for ever."""

    def __init__(self, falls: list[int], rest: int) -> None:
        self.falls, self.rest = falls, rest

    def random_raw(self, size: int) -> np.ndarray:
        now, self.falls = self.falls[:size], self.falls[size:]
        return np.array(now + [self.rest] * (size - len(now)), dtype=np.uint64)


def test_every_deal_is_a_whole_pack() -> None:
    assert (np.bitwise_count(DEALS) == 13).all()
    assert (np.bitwise_or.reduce(DEALS, axis=0) == FULL_PACK).all()


def test_a_block_depends_on_the_seed_and_its_number_alone() -> None:
    third = DEALS[:, 2 * BLOCK_DEALS : 3 * BLOCK_DEALS]
    np.testing.assert_array_equal(deal_block(271_828, 2), third)
    pairs = product(range(3), repeat=2)
    assert len({deal_block(seed, block)[:, 0].tobytes() for seed, block in pairs}) == 9


def test_the_first_block_is_what_it_was() -> None:
    """A citation names a seed, so the deals of a seed may not change.

    The digest comes from the code itself, after it had passed every other test of this file.
    """
    cards = deal_block(seed=2026, block=0).astype("<u8").tobytes()
    assert hashlib.sha256(cards).hexdigest() == (
        "5d70af84e9c24b754ee4d93c806ce712d4770b9599d0832f5be4522f0ecbf035"
    )


@pytest.mark.parametrize("cards", [(0, 1, 2, 3, 4, 5), (3, 7, 20, 21, 50, 51), (1, 40), (0, 51)])
def test_each_half_comes_from_exactly_one_fall_of_the_coins(cards: tuple[int, ...]) -> None:
    """The step that uniformity turns on, by trying every fall, those of unused coins alike."""
    size, whole = len(cards) // 2, sum(1 << card for card in cards)
    unused = ((1 << 64) - 1) ^ whole
    # What is tossed again gets the lowest half but one card, whatever it is: it is counted out.
    again = sum(1 << card for card in cards[1 : size + 1])
    heads = [some for n in range(len(cards) + 1) for some in combinations(cards, n)]
    falls = [sum(1 << card for card in some) | others for some in heads for others in (0, unused)]
    sets = np.full(len(falls), whole, dtype=np.uint64)
    # Falls has all that is asked of a stream.
    halves = halve(Falls(list(falls), again), sets, size)  # type: ignore[arg-type]
    coins = whole ^ 1 << cards[0]
    even = [size - (fall & coins).bit_count() in (0, 1) for fall in falls]
    assert (halves[~np.array(even)] == again).all()
    came = Counter(halves[even].tolist())
    # Four falls each: with and without a head of the lowest card, and of the unused coins.
    assert came == {sum(1 << card for card in half): 4 for half in combinations(cards, size)}


def test_packs_are_halved_by_the_first_tosses_that_come_out_even() -> None:
    """The same as halving one pack after the other, tossing again where it must be."""
    seed = np.random.SeedSequence(7)
    halves = halve_packs(np.random.SFC64(seed), 40_000)
    assert (np.bitwise_count(halves) == 26).all()
    coins = np.random.SFC64(seed).random_raw(400_000) & (FULL_PACK - np.uint64(1))
    heads = [int(fall) for fall in coins if int(fall).bit_count() in (25, 26)][:40_000]
    assert halves.tolist() == [fall + (fall.bit_count() == 25) for fall in heads]


def test_each_card_goes_to_each_seat_alike() -> None:
    """Cards of one deal exclude each other, which stretches chi-square of the table by 52/51."""
    cards = np.arange(CARDS, dtype=np.uint64)
    seen = np.array([((DEALS >> card) & np.uint64(1)).sum(axis=1) for card in cards])
    chi_square = ((seen - N / 4) ** 2 / (N / 4)).sum() * 51 / 52
    assert stats.chi2.sf(chi_square, 51 * 3) > FALSE_ALARM / 2
    assert stats.chi2.cdf(chi_square, 51 * 3) > FALSE_ALARM / 2


@pytest.mark.parametrize("suit", range(4))
def test_suits_split_over_the_hands_as_without_replacement(suit: int) -> None:
    """Against scipy.stats.multivariate_hypergeom: 13 cards of a suit over four hands of 13."""
    lengths = np.bitwise_count(DEALS >> np.uint64(13 * suit) & np.uint64(8191))
    splits = np.array([s for s in product(range(14), repeat=4) if sum(s) == 13])
    chance = stats.multivariate_hypergeom.pmf(splits, m=[13] * 4, n=13)
    number = np.full((14,) * 4, -1)
    number[tuple(splits.T)] = np.arange(len(splits))
    seen = np.bincount(number[tuple(lengths)], minlength=len(splits))
    # Chi-square wants five expected in a cell: the rarer splits make one cell together.
    common = chance * N >= 5
    observed = np.append(seen[common], seen[~common].sum())
    expected = np.append(chance[common], chance[~common].sum()) * N
    scaled = expected * (observed.sum() / expected.sum())
    assert stats.chisquare(observed, scaled).pvalue > FALSE_ALARM


@pytest.mark.parametrize("gap", [1, 3, 13])
def test_neighbouring_deals_are_independent(gap: int) -> None:
    """Cards that seat 1 keeps from one deal to the next: hypergeometric (SciPy), mean 13/4."""
    kept = np.bitwise_count(DEALS[0, gap:] & DEALS[0, :-gap])
    seen = np.bincount(kept, minlength=14)[:10]
    expected = stats.hypergeom.pmf(np.arange(10), CARDS, 13, 13) * len(kept)
    seen[9], expected[9] = (kept >= 9).sum(), len(kept) - expected[:9].sum()
    assert stats.chisquare(seen, expected).pvalue > FALSE_ALARM
