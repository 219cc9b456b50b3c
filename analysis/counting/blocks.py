"""Blocks of deals by number: those that make up a run, and sets of those already counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import overload

from analysis.cards.dealing import BLOCK_DEALS

Block = tuple[int, int]
"""A block by number, with the number of its deals that count: the first so many."""

Blocks = Sequence[Block]


class RunBlocks(Blocks):
    """The blocks that make up a run of some deals; the last may be partial.

    None is made before it is asked for, so a run of any length takes no memory.
    """

    def __init__(self, deals: int) -> None:
        self._deals = deals

    def __len__(self) -> int:
        return -(-self._deals // BLOCK_DEALS)

    @overload
    def __getitem__(self, at: int) -> Block: ...

    @overload
    def __getitem__(self, at: slice) -> Blocks: ...

    def __getitem__(self, at: int | slice) -> Block | Blocks:
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
        """The blocks from 0 up to ``end``, left out."""
        return cls(((0, end - 1),) if end else ())

    def __len__(self) -> int:
        return sum(last - first + 1 for first, last in self.ranges)

    @property
    def end(self) -> int:
        """One more than the highest block."""
        return self.ranges[-1][1] + 1 if self.ranges else 0

    def missing(self, end: int) -> Iterator[int]:
        """The blocks below ``end`` that the set lacks, in order."""
        start = 0
        for first, last in self.ranges:
            yield from range(start, min(first, end))
            start = last + 1
        yield from range(start, end)

    def n_missing(self, end: int) -> int:
        """How many blocks below ``end`` the set lacks; ``end`` is not below :attr:`end`."""
        return end - len(self)

    def with_blocks(self, blocks: Iterable[int]) -> BlockSet:
        """The set with ``blocks`` added."""
        merged: list[tuple[int, int]] = []
        for first, last in sorted([*self.ranges, *((block, block) for block in blocks)]):
            if merged and first <= merged[-1][1] + 1:
                merged[-1] = merged[-1][0], max(last, merged[-1][1])
            else:
                merged.append((first, last))
        return BlockSet(tuple(merged))
