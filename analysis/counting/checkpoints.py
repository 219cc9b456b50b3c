"""What a run has counted so far, in memory or in a store as well."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from analysis.agreements.agreement import Agreement
from analysis.counting import store
from analysis.counting.auction_counts import COUNTS
from analysis.counting.blocks import BlockSet
from analysis.counting.tally import Tally
from analysis.runtime.locks import locked


class CountedSoFar:
    """Whole blocks counted so far: ``blocks`` says which, ``tally`` has their counts."""

    def __init__(self) -> None:
        self.blocks = BlockSet()
        self.tally = Tally.empty(COUNTS)

    def add(self, blocks: Iterable[int], part: Tally) -> None:
        """Add the counts of some more blocks."""
        self.tally += part
        self.blocks = self.blocks.with_blocks(blocks)

    def __str__(self) -> str:
        return "nothing was kept; a run with a store (--store FILE) can be gone on with"


class CountedInStore(CountedSoFar):
    """The same with a store that is written anew at each addition."""

    def __init__(self, path: Path, stored: store.StoredTally) -> None:
        self._path, self._made = path, stored
        self.blocks, self.tally = stored.blocks, stored.tally

    def add(self, blocks: Iterable[int], part: Tally) -> None:
        """Add the counts of some more blocks; raises InputError where they cannot be written."""
        super().add(blocks, part)
        made = self._made
        store.write(
            self._path,
            store.StoredTally(made.seed, made.agreement, self.blocks, self.tally, made.first_block),
        )

    def __str__(self) -> str:
        return f"{self._path} holds {self.tally.deals} deals; the same command again goes on from there"


@contextmanager
def in_store(
    path: Path, seed: int, agreement: Agreement, first_block: Callable[[], str]
) -> Iterator[CountedInStore]:
    """What the store at ``path`` has kept, to be added to by this run alone.

    ``first_block`` counts block 0 and gives its digest. Raises
    :class:`~analysis.errors.InputError` as :func:`analysis.counting.store.to_extend` and
    :func:`analysis.runtime.locks.locked` do.
    """
    path = path.resolve()
    with locked(path, f"store {path}"):
        yield CountedInStore(path, store.to_extend(path, seed, agreement, first_block))
