"""Counts that add.

A tally is a set of named tables of whole numbers. Each table is declared once, as a
:class:`Count`: its axes, which are dimensions, and the function that sorts auctions into its cells.
Adding two tallies adds their tables, so a tally goes over blocks, processes, machines and
interruptions unchanged, in constant memory. Beside the tables it keeps the fingerprints of a few
deals, a thousandth of a byte a deal, by which a deal that comes twice is found in a run of any
length.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import prod

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from analysis.bidding.auction import Auctions
from analysis.counting.blocks import Blocks
from analysis.counting.fingerprints import Fingerprints, kept_fingerprints
from analysis.vocabulary.dimension import Axis, cells, every_cell
from analysis.vocabulary.measure import WholeNumber

Counts = NDArray[np.int64]

DEALS = WholeNumber("deals", "deals", "Deals counted in the row's case.", "deals")


@dataclass(frozen=True)
class Count:
    """One table: its name, its axes, and where each auction belongs.

    ``cells`` returns one array an axis, all of one shape, an entry for each deal (or hand) that the
    table counts: codes of names, and whole numbers as they are.
    """

    name: str
    axes: tuple[Axis, ...]
    cells: Callable[[Auctions], tuple[ArrayLike, ...]]

    @property
    def shape(self) -> tuple[int, ...]:
        """The shape of the table."""
        return tuple(axis.size for axis in self.axes)

    def count(self, auctions: Auctions, blocks: Blocks) -> Counts:
        """The table of the auctions of some blocks; int64, of :attr:`shape`."""
        cell: NDArray[np.integer] = np.zeros((), dtype=np.intp)
        for axis, values in zip(self.axes, self.cells(auctions), strict=True):
            cell = cell * axis.size + axis.positions(values).astype(np.intp, copy=False)
        return np.bincount(cell.ravel(), minlength=prod(self.shape)).reshape(self.shape)


@dataclass(frozen=True)
class Tally:
    """How many deals were counted, the tables, and the fingerprints kept, in any order."""

    deals: int
    tables: Mapping[str, Counts]
    fingerprints: Fingerprints = field(default_factory=lambda: np.empty(0, dtype=np.uint64))

    @classmethod
    def of(cls, auctions: Auctions, counts: Iterable[Count], blocks: Blocks | None = None) -> Tally:
        """Count the auctions of some blocks, side by side; by default of the first of block 0."""
        deals = auctions.cards.shape[1]
        blocks = blocks or ((0, deals),)
        tables = {c.name: c.count(auctions, blocks) for c in counts}
        return cls(deals, tables, kept_fingerprints(auctions))

    @classmethod
    def empty(cls, counts: Iterable[Count]) -> Tally:
        """No deal counted yet."""
        return cls(0, {c.name: np.zeros(c.shape, dtype=np.int64) for c in counts})

    def __add__(self, other: Tally) -> Tally:
        return Tally(
            self.deals + other.deals,
            {name: table + other.tables[name] for name, table in self.tables.items()},
            self._fingerprints_with(other),
        )

    def __iadd__(self, other: Tally) -> Tally:
        """Add in place, into this tally's own tables, which nothing else may hold."""
        for name, table in self.tables.items():
            table += other.tables[name]
        return Tally(self.deals + other.deals, self.tables, self._fingerprints_with(other))

    def _fingerprints_with(self, other: Tally) -> Fingerprints:
        return np.concatenate([self.fingerprints, other.fingerprints])

    def __getitem__(self, name: str) -> Counts:
        return self.tables[name]

    def along(self, count: Count, *axes: Axis) -> Counts:
        """One table added up over all its axes but ``axes``, which stay in its own order."""
        others = tuple(at for at, axis in enumerate(count.axes) if axis not in axes)
        return np.asarray(self[count.name].sum(axis=others))

    @cached_property
    def digest(self) -> str:
        """SHA-256 of all that is in the tally, whatever order it came in; 64 hex digits."""
        digest = hashlib.sha256(str(self.deals).encode())
        for name in sorted(self.tables):
            digest.update(name.encode())
            digest.update(np.ascontiguousarray(self.tables[name], dtype="<i8").tobytes())
        digest.update(np.sort(self.fingerprints).astype("<u8").tobytes())
        return digest.hexdigest()

    def frame(self, count: Count, all_cells: bool = False) -> pd.DataFrame:
        """One table in tidy form: a row a cell, the axes' columns and ``deals``.

        Cells without a deal are left out unless ``all_cells``.
        """
        table = self[count.name]
        if all_cells:
            return every_cell(count.axes).assign(**{DEALS: table.ravel()})
        seen = np.nonzero(table)
        return cells(count.axes, seen).assign(**{DEALS: table[seen]})
