"""Random deals: whole packs, the same again at any time, and every deal equally likely.

Random checks have fixed seeds; each would give a false alarm with one seed in a thousand.
"""

import hashlib
from itertools import product

import numpy as np
import pytest
from scipy import stats

from analysis.dealing import BLOCK_DEALS, CARDS, FULL_PACK, _keys, _short, _split, deal_block

FALSE_ALARM = 0.001
DEALS = np.concatenate([deal_block(seed=271_828, block=block) for block in range(4)], axis=1)
N = DEALS.shape[1]


def split(keys: np.ndarray) -> np.ndarray:
    """The hands by keys of shape (deals, 52)."""
    rows = np.zeros((len(keys), 64), dtype=np.uint16)
    rows[:, :CARDS] = keys
    hands = np.empty((4, len(keys)), dtype=np.uint64)
    _split(rows, hands)
    return hands


def cards_of(hand: np.uint64) -> list[int]:
    return [card for card in range(CARDS) if int(hand) >> card & 1]


def test_every_deal_is_a_whole_pack() -> None:
    assert (np.bitwise_count(DEALS) == 13).all()
    assert (np.bitwise_or.reduce(DEALS, axis=0) == FULL_PACK).all()


def test_a_block_depends_on_the_seed_and_its_number_alone() -> None:
    np.testing.assert_array_equal(
        deal_block(271_828, 2), DEALS[:, 2 * BLOCK_DEALS : 3 * BLOCK_DEALS]
    )
    firsts = {
        deal_block(seed, block)[:, 0].tobytes() for seed, block in product(range(3), range(3))
    }
    assert len(firsts) == 9


def test_the_first_block_is_what_it_was() -> None:
    """A citation names a seed, so the deals of a seed may not change.

    The digest comes from the code itself, after it had passed every other test of this file.
    """
    cards = deal_block(seed=2026, block=0).astype("<u8").tobytes()
    assert hashlib.sha256(cards).hexdigest() == (
        "e0b9bf850ee2f6dddc26eac5e681d9cfbbd7f599bfd55273b81c4a52c77de791"
    )


def test_the_lowest_keys_go_to_the_dealer() -> None:
    keys = np.random.default_rng(5).permuted(np.tile(np.arange(CARDS), (500, 1)), axis=1)
    for deal, hands in zip(keys, split(keys * 1000).T, strict=True):
        for seat, hand in enumerate(hands):
            lowest = range(13 * seat, 13 * seat + 13)
            assert cards_of(hand) == [card for card in range(CARDS) if deal[card] in lowest]


def test_equal_keys_matter_only_where_they_straddle_two_hands() -> None:
    ranked = np.arange(CARDS)
    for rank in range(CARDS - 1):
        keys = ranked.copy()
        keys[rank] = keys[rank + 1]
        straddles = rank in (12, 25, 38)
        assert _short(split(keys[np.newaxis])).item() is straddles


def test_renaming_the_cards_renames_them_in_the_hands() -> None:
    """The step that the proof of uniformity turns on, where keys are often equal, too."""
    rng = np.random.default_rng(11)
    for highest in (40, 300, 1 << 16):
        keys = rng.integers(0, highest, size=(400, CARDS))
        to = rng.permutation(CARDS)
        renamed = np.empty_like(keys)
        renamed[:, to] = keys
        before, after = split(keys), split(renamed)
        np.testing.assert_array_equal(_short(before), _short(after))
        for hand, other in zip(before.ravel(), after.ravel(), strict=True):
            assert sorted(to[cards_of(hand)].tolist()) == cards_of(other)


def test_deals_without_a_rightful_owner_are_dealt_again() -> None:
    """They come about once in 400 deals, so a block has them: its keys as drawn must show some."""
    seed = np.random.SeedSequence(271_828, spawn_key=(0,))
    keys = _keys(np.random.SFC64(seed), 5_000)
    as_drawn = np.empty((4, len(keys)), dtype=np.uint64)
    _split(keys, as_drawn)
    short = _short(as_drawn)
    kept = DEALS[:, : len(keys)]
    assert short.any()
    np.testing.assert_array_equal(as_drawn[:, ~short], kept[:, ~short])
    assert (as_drawn[:, short] != kept[:, short]).any(axis=0).all()


def test_each_card_goes_to_each_seat_alike() -> None:
    """Cards of one deal exclude each other, which stretches chi-square of the table by 52/51."""
    seen = np.array(
        [
            [((hands >> np.uint64(card)) & np.uint64(1)).sum() for hands in DEALS]
            for card in range(CARDS)
        ]
    )
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
    assert (
        stats.chisquare(observed, expected * (observed.sum() / expected.sum())).pvalue > FALSE_ALARM
    )


@pytest.mark.parametrize("gap", [1, 3, 13])
def test_neighbouring_deals_are_independent(gap: int) -> None:
    """Cards that seat 1 keeps from one deal to the next: hypergeometric (SciPy), mean 13/4."""
    kept = np.bitwise_count(DEALS[0, gap:] & DEALS[0, :-gap])
    seen = np.bincount(kept, minlength=14)[:10]
    expected = stats.hypergeom.pmf(np.arange(10), CARDS, 13, 13) * len(kept)
    seen[9], expected[9] = (kept >= 9).sum(), len(kept) - expected[:9].sum()
    assert stats.chisquare(seen, expected).pvalue > FALSE_ALARM
