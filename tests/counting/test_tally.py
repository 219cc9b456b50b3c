"""Tallies add, whatever the order; tables show what was counted."""

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.columns import every_cell
from double_study.counting.counts import (
    CALL_COUNTS,
    COUNTS,
    DOUBLE_COUNTS,
    EVERY_OPENING,
    NEXT_HANDS,
    PROMISED,
)
from double_study.counting.run import count_blocks
from double_study.counting.tally import Block, Count, Tally

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
    assert WHOLE[EVERY_OPENING.name].sum() == WHOLE.deals
    # Column 1 + code of the bid: 1C 1D 1H 1S are the codes 0 to 3.
    assert WHOLE[EVERY_OPENING.name][1:, 1:5].sum() == WHOLE[NEXT_HANDS.name].sum()
    doubled = WHOLE.frame(CALL_COUNTS).query("call == 'double'")["deals"].sum()
    assert WHOLE[DOUBLE_COUNTS.name].sum() == doubled == WHOLE[PROMISED.name].sum()
