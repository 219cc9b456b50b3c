"""A tally on disk: one file that a run can be taken up from, or handed over in.

The file has four parts: a line that names the format and its version, a line with the SHA-256 of
all that follows, a line of JSON that says what was counted (seed, agreement, blocks and so on), and
the tables in the order in which that line names them and then the fingerprints, rising, all as
64-bit integers, lowest byte first. Nothing in it is executed, and nothing is believed before the
checksum is.

What a run has counted so far, in memory or in a store as well.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import prod
from pathlib import Path
from typing import Any

import numpy as np

from double_study.agreements.reader import Agreement, of_document
from double_study.cards.deal import BIT_GENERATOR, BLOCK_DEALS
from double_study.counting.counts import COUNTS
from double_study.counting.tally import BlockSet, Counts, Fingerprints, Tally
from double_study.errors import InputError
from double_study.files import locked, write_file

FORMAT = b"responders-double-study tally "
VERSION = 1
_FIRST_LINE = FORMAT + b"%d\n" % VERSION
_CHECKSUM_LINE = 65
_CELL = np.dtype("<i8")
_FINGERPRINT = np.dtype("<u8")
_TABLES: list[list[Any]] = [[count.name, list(count.shape)] for count in COUNTS]


@dataclass(frozen=True)
class StoredTally:
    """A tally and what it is a tally of.

    ``blocks`` are the blocks counted whole; ``tally`` may have the first deals of one more.
    ``first_block`` is the digest of block 0's counts, by which a study that counts otherwise is
    found out.
    """

    seed: int
    agreement: Agreement
    blocks: BlockSet
    tally: Tally
    first_block: str

    @property
    def partial(self) -> int:
        """Deals of a block that was not counted whole."""
        return self.tally.deals - len(self.blocks) * BLOCK_DEALS


def encoded(stored: StoredTally) -> bytes:
    """``stored`` as the bytes of a file: the same bytes for the same tally."""
    header = {
        "seed": stored.seed,
        "bit_generator": BIT_GENERATOR.__name__,
        "block_deals": BLOCK_DEALS,
        "blocks": stored.blocks.ranges,
        "deals": stored.tally.deals,
        "agreement": {
            "name": stored.agreement.name,
            "digest": stored.agreement.digest,
            "settings": stored.agreement.document,
        },
        "first_block": stored.first_block,
        "tables": _TABLES,
        "fingerprints": len(stored.tally.fingerprints),
    }
    parts = [json.dumps(header).encode(), b"\n"]
    parts += [np.asarray(stored.tally[name], dtype=_CELL).tobytes() for name, _ in _TABLES]
    parts.append(np.sort(stored.tally.fingerprints).astype(_FINGERPRINT).tobytes())
    body = b"".join(parts)
    return _FIRST_LINE + hashlib.sha256(body).hexdigest().encode() + b"\n" + body


def decoded(data: bytes, path: Path) -> StoredTally:
    """What :func:`encoded` wrote; raises :class:`InputError`, with ``path`` in its line."""
    if not data.startswith(_FIRST_LINE):
        other = data.startswith(FORMAT) and data[: len(_FIRST_LINE)].endswith(b"\n")
        raise _unusable(path, "of another version" if other else "not a store of this study")
    start = len(_FIRST_LINE) + _CHECKSUM_LINE
    checksum, body = data[len(_FIRST_LINE) : start], memoryview(data)[start:]
    if checksum != hashlib.sha256(body).hexdigest().encode() + b"\n":
        raise _unusable(path, "damaged or cut short (its checksum is wrong)")
    header, _, tables = data[start:].partition(b"\n")
    try:
        held = json.loads(header)
        if (held["bit_generator"], held["block_deals"]) != (BIT_GENERATOR.__name__, BLOCK_DEALS):
            raise _unusable(path, "of deals dealt in another way")
        if held["tables"] != _TABLES:
            raise _unusable(path, "of another version of the study, which counts other tables")
        agreement = _agreement(held["agreement"], path)
        stored = StoredTally(
            int(held["seed"]),
            agreement,
            BlockSet(tuple((int(first), int(last)) for first, last in held["blocks"])),
            Tally(int(held["deals"]), *_split(tables, int(held["fingerprints"]))),
            str(held["first_block"]),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise _unusable(path, "malformed") from None
    if not 0 <= stored.partial < BLOCK_DEALS:
        raise _unusable(path, "malformed (its deals are not those of its blocks)")
    return stored


def _agreement(held: dict[str, Any], path: Path) -> Agreement:
    agreement = of_document(held["settings"], str(held["name"]), f"store {path}")
    if agreement.digest != held["digest"]:
        raise _unusable(path, "malformed (its agreement is not the one it names)")
    return agreement


def _split(data: bytes, fingerprints: int) -> tuple[dict[str, Counts], Fingerprints]:
    """The tables and so many fingerprints from their bytes; ``ValueError`` on a wrong length."""
    end_of_tables = len(data) - fingerprints * _FINGERPRINT.itemsize
    cells, tables, start = np.frombuffer(data[:end_of_tables], dtype=_CELL), {}, 0
    for count in COUNTS:
        end = start + prod(count.shape)
        tables[count.name] = cells[start:end].astype(np.int64).reshape(count.shape)
        start = end
    if start != len(cells) or cells.min(initial=0) < 0:
        raise ValueError
    return tables, np.frombuffer(data[end_of_tables:], dtype=_FINGERPRINT).astype(np.uint64)


def _unusable(path: Path, why: str) -> InputError:
    return InputError(
        f"store {path}: {why}; allowed: a store written by this version of the study, or a new file"
    )


def read(path: Path) -> StoredTally:
    """Read a store; raises :class:`InputError` for any file that is not a whole and sound one."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"store {path}: {error.strerror}; allowed: a readable file") from None
    return decoded(data, path)


def write(path: Path, stored: StoredTally) -> None:
    """Write a store all or nothing.

    Raises :class:`InputError` where that fails; what stood at ``path`` then still does.
    """
    try:
        write_file(path, encoded(stored))
    except OSError as error:
        raise InputError(
            f"store {path}: {error.strerror}; it is as it was before; allowed: a file in a folder "
            "you may write to, with room on the disk"
        ) from None


def to_extend(
    path: Path, seed: int, agreement: Agreement, first_block: Callable[[], str]
) -> StoredTally:
    """The store at ``path``, an empty one where there is none, to add blocks to.

    Raises :class:`InputError` for a store of another seed or agreement, for one that holds part of
    a block, and for one whose counts the study would no longer get.
    """
    if not path.exists():
        return StoredTally(seed, agreement, BlockSet(), Tally.empty(COUNTS), first_block())
    stored = read(path)
    if stored.seed != seed:
        raise _other(path, f"seed {stored.seed}", f"seed {seed}")
    if stored.agreement.digest != agreement.digest:
        mine, other = agreement, stored.agreement
        raise _other(path, *(f"agreement {a.name} ({a.digest[:12]})" for a in (other, mine)))
    if stored.partial:
        raise _unusable(path, "of a run that ended inside a block, and cannot be extended")
    if stored.first_block != first_block():
        raise _unusable(path, "of a version of the study that counted otherwise")
    return stored


def _other(path: Path, held: str, asked: str) -> InputError:
    return InputError(
        f"store {path}: holds {held}, not {asked}; allowed: what it holds, or another file"
    )


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

    def __init__(self, path: Path, stored: StoredTally) -> None:
        self._path, self._made = path, stored
        self.blocks, self.tally = stored.blocks, stored.tally

    def add(self, blocks: Iterable[int], part: Tally) -> None:
        """Add the counts of some more blocks; raises InputError where they cannot be written."""
        super().add(blocks, part)
        made = self._made
        write(
            self._path,
            StoredTally(made.seed, made.agreement, self.blocks, self.tally, made.first_block),
        )

    def __str__(self) -> str:
        return f"{self._path} holds {self.tally.deals} deals; the same command again goes on from there"


@contextmanager
def in_store(
    path: Path, seed: int, agreement: Agreement, first_block: Callable[[], str]
) -> Iterator[CountedInStore]:
    """What the store at ``path`` has kept, to be added to by this run alone.

    ``first_block`` counts block 0 and gives its digest. Raises
    :class:`~double_study.errors.InputError` as :func:`double_study.counting.store.to_extend` and
    :func:`double_study.files.locked` do.
    """
    path = path.resolve()
    with locked(path, f"store {path}"):
        yield CountedInStore(path, to_extend(path, seed, agreement, first_block))
