"""Tables of suit lengths on packs small enough to list every table.

The full pack's two counts are published, and checked beside the other tables.
"""

from collections.abc import Iterator
from itertools import permutations, product

import numpy as np
import pytest
from published import length_tables

Table = tuple[tuple[int, ...], ...]
"""The lengths of every suit in every hand."""


def every_table(cards: int) -> set[Table]:
    rows = [row for row in product(range(cards + 1), repeat=4) if sum(row) == cards]
    return {
        (*three, last)
        for three in product(rows, repeat=3)
        if min(last := tuple(cards - sum(column) for column in zip(*three, strict=True))) >= 0
    }


def changed(table: Table) -> Iterator[Table]:
    """Yield the table after every turn of the seats and renaming of the suits."""
    for turn in range(4):
        turned = table[turn:] + table[:turn]
        for suits in permutations(range(4)):
            yield tuple(tuple(row[s] for s in suits) for row in turned)


@pytest.mark.parametrize("cards", [1, 2, 3])
def test_tables_of_a_small_pack_one_by_one(cards: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [row for row in product(range(cards + 1), repeat=4) if sum(row) == cards]
    monkeypatch.setattr(length_tables, "HAND_CARDS", cards)
    monkeypatch.setattr(length_tables, "SHAPES", np.array(rows))
    tables = every_table(cards)
    # The undecorated functions: the full pack's cached counts are not touched.
    assert length_tables.length_tables.__wrapped__() == len(tables)
    different = {min(changed(table)) for table in tables}
    assert length_tables.length_tables_up_to_symmetry.__wrapped__() == len(different)
