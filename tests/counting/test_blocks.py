"""Blocks by number: those of a run, and sets of them."""

import numpy as np
import pytest
from double_study.cards.deal import BLOCK_DEALS
from double_study.counting.tally import BlockSet, RunBlocks


@pytest.mark.parametrize("deals", [1, 49_999, 50_000, 50_001, 150_000, 199_999])
def test_the_blocks_of_a_run_add_up_to_its_deals(deals: int) -> None:
    blocks = list(RunBlocks(deals))
    assert [number for number, _ in blocks] == list(range(len(blocks)))
    assert all(kept == BLOCK_DEALS for _, kept in blocks[:-1])
    assert sum(kept for _, kept in blocks) == deals
    assert RunBlocks(deals)[:2] == blocks[:2]
    assert RunBlocks(deals)[-1] == blocks[-1]


def test_the_blocks_of_the_longest_run_are_not_made_before_they_are_asked_for() -> None:
    blocks = RunBlocks(10**13)
    assert len(blocks) == 200_000_000
    assert blocks[123_456_789] == (123_456_789, BLOCK_DEALS)


def test_sets_of_blocks_against_plain_sets() -> None:
    rng = np.random.default_rng(3)
    for _ in range(100):
        added = [rng.choice(30, size=rng.integers(0, 8), replace=False) for _ in range(4)]
        blocks, plain = BlockSet(), set[int]()
        for some in added:
            blocks, plain = blocks.with_blocks(some.tolist()), plain | set(some.tolist())
        assert len(blocks) == len(plain)
        assert blocks.end == max(plain, default=-1) + 1
        assert list(blocks.missing(35)) == sorted(set(range(35)) - plain)
        assert blocks.n_missing(35) == 35 - len(plain)
        assert BlockSet(blocks.ranges) == blocks


def test_the_blocks_below_a_number() -> None:
    assert BlockSet.below(0) == BlockSet()
    assert BlockSet.below(4) == BlockSet().with_blocks(range(4))


@pytest.mark.parametrize("ranges", [((2, 1),), ((-1, 1),), ((0, 1), (2, 3)), ((4, 5), (0, 1))])
def test_what_is_no_set_of_blocks(ranges: tuple[tuple[int, int], ...]) -> None:
    with pytest.raises(ValueError, match="not a set"):
        BlockSet(ranges)
