"""Counts that add.

A tally is a set of named tables of whole numbers, each declared as a :class:`Count`: a stage of the
auction and the columns by which its deals are counted. Adding two tallies adds their tables, so the
result does not depend on how blocks are distributed over processes, computers and interruptions, and
memory is constant.

A tally also holds the *fingerprints* of a few deals, a thousandth of a byte per deal, which reveal a
repeated deal in a run of any length. A fingerprint is a number that mixes all the cards of a deal. It is
as good as random, so the deals it picks are typical; and it does not depend on the place of a deal, so
the counts of parts add up to those of the whole.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import prod
from typing import Any, Never

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.cards.deal import BLOCK_DEALS
from double_study.columns import Axis, Column, Combination, axis_of, cells
from double_study.rules.batch import Batch
from double_study.workers import LostResult

Block = tuple[int, int]
"""A block by number, with the number of its deals that count, which are its first."""

Blocks = Sequence[Block]


class RunBlocks(Blocks):
    """The blocks of a run; the last may be partial.

    Blocks are created when they are read, so a run of any length takes no memory.
    """

    def __init__(self, deals: int) -> None:
        self._deals = deals

    def __len__(self) -> int:
        return -(-self._deals // BLOCK_DEALS)

    def __getitem__(self, at: Any) -> Any:
        number = range(len(self))[at]
        if isinstance(number, range):
            return [self[block] for block in number]
        return number, min(BLOCK_DEALS, self._deals - number * BLOCK_DEALS)


@dataclass(frozen=True)
class BlockSet:
    """A set of whole blocks: ``ranges`` of first and last, in order, with a gap between any two."""

    ranges: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        end = -1
        for first, last in self.ranges:
            if not end < first <= last:
                raise ValueError(f"not a set of blocks: {self.ranges}")
            end = last + 1

    @classmethod
    def below(cls, end: int) -> BlockSet:
        return cls(((0, end - 1),) if end else ())

    def __len__(self) -> int:
        return sum(last - first + 1 for first, last in self.ranges)

    @property
    def end(self) -> int:
        return self.ranges[-1][1] + 1 if self.ranges else 0

    def missing(self, end: int) -> Iterator[int]:
        """Yield the blocks below ``end`` that the set lacks, in order."""
        start = 0
        for first, last in self.ranges:
            yield from range(start, min(first, end))
            start = last + 1
        yield from range(start, end)

    def n_missing(self, end: int) -> int:
        """Return how many blocks below ``end`` the set lacks; ``end`` is not below :attr:`end`."""
        return end - len(self)

    def with_blocks(self, blocks: Iterable[int]) -> BlockSet:
        merged: list[tuple[int, int]] = []
        for first, last in sorted([*self.ranges, *((block, block) for block in blocks)]):
            if merged and first <= merged[-1][1] + 1:
                merged[-1] = merged[-1][0], max(last, merged[-1][1])
            else:
                merged.append((first, last))
        return BlockSet(tuple(merged))


Fingerprints = NDArray[np.uint64]

BITS = 64
KEPT_SHARE = 1 << 13
"""One deal in this many leaves its fingerprint: about six per block of 50,000, 49 bytes."""


_CHUNK = 1 << 14
"""Deals mixed at a time, few enough to stay in the processor's cache."""


def fingerprint(cards: NDArray[np.uint64]) -> Fingerprints:
    """Return a 64-bit number that mixes all bits of a deal; uint64, shape (deals,).

    Different deals have the same number with chance 2**-64, as if it were drawn at random.
    """
    prints = cards[0].copy()
    for start in range(0, len(prints), _CHUNK):
        mixed = prints[start : start + _CHUNK]
        for hand in cards[1:3, start : start + _CHUNK]:
            # Multiplication by an odd number and a shift to the right lose nothing and mix upwards
            # and downwards; the fourth hand follows from the other three.
            mixed *= np.uint64(0x9E3779B97F4A7C15)
            mixed ^= mixed >> np.uint64(29)
            mixed += hand
        mixed *= np.uint64(0xD1342543DE82EF95)
        mixed ^= mixed >> np.uint64(32)
        mixed *= np.uint64(0x9E3779B97F4A7C15)
        mixed ^= mixed >> np.uint64(29)
    return prints


Counts = NDArray[np.int64]


@dataclass(frozen=True)
class Count:
    """One table: its name, the stage whose deals it counts, and the columns by which it counts.

    A column may have several values per deal, on further axes of its array; columns broadcast.
    """

    name: str
    on: str
    by: tuple[str | Axis, ...]

    @cached_property
    def axes(self) -> tuple[Axis, ...]:
        return tuple(map(axis_of, self.by))

    @property
    def shape(self) -> tuple[int, ...]:
        return tuple(axis.size for axis in self.axes)

    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        part = deals.at(self.on)
        positions = tuple(axis.positions(part[axis.key]) for axis in self.axes)
        cell = np.ravel_multi_index(positions, self.shape)
        return np.bincount(cell.ravel(), minlength=prod(self.shape)).reshape(self.shape)


@dataclass(frozen=True)
class Tally:
    """The number of deals counted, the tables, and the fingerprints in any order."""

    deals: int
    tables: Mapping[str, Counts]
    fingerprints: Fingerprints = field(default_factory=lambda: np.empty(0, dtype=np.uint64))

    @classmethod
    def of(cls, deals: Batch, counts: Iterable[Count], blocks: Blocks | None = None) -> Tally:
        blocks = blocks or ((0, len(deals)),)
        tables = {count.name: count.count(deals, blocks) for count in counts}
        every = deals["fingerprint"]
        # KEPT_SHARE is a power of two, because a mask takes a tenth of the time of a remainder.
        return cls(len(deals), tables, every[every & np.uint64(KEPT_SHARE - 1) == 0])

    @classmethod
    def empty(cls, counts: Iterable[Count]) -> Tally:
        return cls(0, {c.name: np.zeros(c.shape, dtype=np.int64) for c in counts})

    def __add__(self, other: Tally) -> Tally:
        return self._with(other, {name: of + other[name] for name, of in self.tables.items()})

    def __iadd__(self, other: Tally) -> Tally:
        """Add in place to this tally's tables, which no other object may share."""
        for name, table in self.tables.items():
            table += other[name]
        return self._with(other, self.tables)

    def _with(self, other: Tally, tables: Mapping[str, Counts]) -> Tally:
        fingerprints = np.concatenate([self.fingerprints, other.fingerprints])
        return Tally(self.deals + other.deals, tables, fingerprints)

    def __iter__(self) -> Never:
        # Dask unpacks a result as if it were an error if its worker dies while it is fetched.
        raise LostResult

    def __getitem__(self, name: str) -> Counts:
        return self.tables[name]

    def along(self, count: Count, *axes: str | Combination) -> Counts:
        """Return one table summed over all its axes except ``axes``, which stay in the table's order."""
        names = [axis.columns[0] if isinstance(axis, Column) else axis for axis in count.axes]
        if unknown := set(axes) - {*names}:
            raise ValueError(f"{count.name} has no axis {unknown}; allowed: {names}")
        others = tuple(at for at, name in enumerate(names) if name not in axes)
        return np.asarray(self[count.name].sum(axis=others))

    @cached_property
    def digest(self) -> str:
        """SHA-256 of everything in the tally, independent of the order of addition; 64 hex digits."""
        digest = hashlib.sha256(str(self.deals).encode())
        for name in sorted(self.tables):
            digest.update(name.encode())
            digest.update(np.ascontiguousarray(self.tables[name], dtype="<i8").tobytes())
        digest.update(np.sort(self.fingerprints).astype("<u8").tobytes())
        return digest.hexdigest()

    def frame(self, count: Count) -> pd.DataFrame:
        """Return one table in tidy form: one row per cell with deals, the axes' columns and ``deals``."""
        table = self[count.name]
        seen = np.nonzero(table)
        return cells(count.axes, seen).assign(deals=table[seen])
