"""Tallies add, whatever the order; tables show what was counted; blocks by number."""

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.columns import every_cell
from double_study.counting import counts
from double_study.counting.counts import CALL_COUNTS, COUNTS
from double_study.counting.run import count_blocks
from double_study.counting.tally import Block, BlockSet, Count, RunBlocks, Tally

BLOCKS = ((5, 12_000), (8, 9_000), (6, 10_000))


def tally_of(*blocks: Block) -> Tally:
    return count_blocks(77, blocks, REFERENCE)


WHOLE = tally_of(*BLOCKS)


def test_parts_add_to_the_whole_in_any_order() -> None:
    first, second, third = map(tally_of, BLOCKS)
    assert (first + second + third).digest == WHOLE.digest
    assert (third + (first + second)).digest == WHOLE.digest
    assert (Tally.empty(COUNTS) + WHOLE).digest == WHOLE.digest
    assert tally_of(*reversed(BLOCKS)).digest == WHOLE.digest
    assert first.digest != second.digest


@pytest.mark.parametrize("count", COUNTS, ids=lambda count: count.name)
def test_a_tidy_table_holds_every_count(count: Count) -> None:
    table = WHOLE.frame(count)
    keys = [column for axis in count.axes for column in axis.columns]
    assert list(table.columns) == [*keys, "deals"]
    assert table["deals"].sum() == WHOLE[count.name].sum()
    assert (table["deals"] > 0).all()
    assert not table.duplicated(keys).any()
    assert len(every_cell(count.axes)) == np.prod(count.shape)


def test_each_stage_counts_the_deals_that_the_one_before_let_through() -> None:
    assert WHOLE[counts.EVERY_OPENING.name].sum() == WHOLE.deals
    # Column 1 + code of the bid: 1C 1D 1H 1S are the codes 0 to 3.
    assert WHOLE[counts.EVERY_OPENING.name][1:, 1:5].sum() == WHOLE[counts.NEXT_HANDS.name].sum()
    doubled = WHOLE.frame(CALL_COUNTS).query("call == 'double'")["deals"].sum()
    assert WHOLE[counts.DOUBLE_COUNTS.name].sum() == doubled == WHOLE[counts.PROMISED.name].sum()


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
    assert BlockSet.below(0) == BlockSet()
    assert BlockSet.below(4) == BlockSet().with_blocks(range(4))


@pytest.mark.parametrize("ranges", [((2, 1),), ((-1, 1),), ((0, 1), (2, 3)), ((4, 5), (0, 1))])
def test_what_is_no_set_of_blocks(ranges: tuple[tuple[int, int], ...]) -> None:
    with pytest.raises(ValueError, match="not a set"):
        BlockSet(ranges)
