"""A tally on disk: one file from which a run resumes, or which passes the run to another process.

The file is a NumPy archive (``.npz``): the tables by name, int64; ``fingerprints``, rising, uint64;
``header``, the bytes of a JSON object that says what was counted (seed, agreement, blocks and so on)
and has the digest of the tally; and ``sha256``, the checksum of ``header``.
"""

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from double_study.agreements.reader import Agreement, of_document
from double_study.cards.deal import BIT_GENERATOR, BLOCK_DEALS
from double_study.counting.counts import COUNTS
from double_study.counting.tally import BlockSet, Count, Tally
from double_study.errors import InputError
from double_study.files import locked, write_file

_FIRST_EDITION = b"responders-double-study tally "


@dataclass
class StoredTally:
    """A tally and a description of its run; with a ``path`` each addition is saved there.

    ``blocks`` are the blocks counted whole; ``tally`` may have the first deals of one more.
    ``first_block`` is the digest of block 0's counts, which shows whether a study counts the same.
    """

    seed: int
    agreement: Agreement
    blocks: BlockSet
    tally: Tally
    first_block: str
    path: Path | None = field(default=None, compare=False)

    @property
    def partial(self) -> int:
        return self.tally.deals - len(self.blocks) * BLOCK_DEALS

    def add(self, blocks: Iterable[int], part: Tally) -> None:
        """Add the counts of more blocks; raise :class:`InputError` if they cannot be written."""
        self.tally += part
        self.blocks = self.blocks.with_blocks(blocks)
        if self.path:
            write(self.path, self)

    def __str__(self) -> str:
        if self.path is None:
            return "nothing was saved; with --store FILE a run can be resumed"
        return f"{self.path} holds {self.tally.deals} deals; to resume, repeat the command"


def what_is_dealt(seed: int, agreement: Agreement) -> dict[str, Any]:
    """Return everything that determines a run's deals and their bidding, as files store it."""
    about = {"name": agreement.name, "digest": agreement.digest, "settings": agreement.document}
    dealt = {"seed": seed, "bit_generator": BIT_GENERATOR.__name__, "block_deals": BLOCK_DEALS}
    return {**dealt, "agreement": about}


def encode(stored: StoredTally) -> bytes:
    """Return ``stored`` as the bytes of a file, the same for the same tally."""
    tally = stored.tally
    about = {"blocks": stored.blocks.ranges, "deals": tally.deals}
    counted = {"first_block": stored.first_block, "tally": tally.digest}
    header = json.dumps(about | what_is_dealt(stored.seed, stored.agreement) | counted).encode()
    arrays: dict[str, Any] = dict(tally.tables)
    arrays["header"] = np.frombuffer(header, np.uint8)
    arrays["sha256"] = np.frombuffer(hashlib.sha256(header).digest(), np.uint8)
    arrays["fingerprints"] = np.sort(tally.fingerprints)
    file = BytesIO()
    np.savez(file, **arrays)
    return file.getvalue()


def decode(data: bytes, path: Path, counts: Sequence[Count] = COUNTS) -> StoredTally:
    """Decode the bytes of :func:`encode`; raise :class:`InputError`, which names ``path``."""
    if data.startswith(_FIRST_EDITION):
        raise _unusable(path, "it is in the format of version 1 of the study")
    try:
        with np.load(BytesIO(data)) as archive:
            arrays = dict(archive)
        header = arrays.pop("header").tobytes()
        about = json.loads(header)
        tally = Tally(about["deals"], arrays, arrays.pop("fingerprints"))
        checksum = arrays.pop("sha256").tobytes()
        if (checksum, about["tally"]) != (hashlib.sha256(header).digest(), tally.digest):
            raise ValueError
        if (about["bit_generator"], about["block_deals"]) != (BIT_GENERATOR.__name__, BLOCK_DEALS):
            raise _unusable(path, "its deals were dealt in another way")
        shapes = {count.name: count.shape for count in counts}
        if {name: table.shape for name, table in arrays.items()} != shapes:
            raise _unusable(path, "it has other counts, of another question or version")
        agreement = about["agreement"]
        stored = StoredTally(
            about["seed"],
            of_document(agreement["settings"], agreement["name"], f"store {path}"),
            BlockSet(tuple((first, last) for first, last in about["blocks"])),
            tally,
            about["first_block"],
        )
        if stored.agreement.digest != agreement["digest"]:
            raise _unusable(path, "another version of the study wrote it, with other settings")
        return stored
    except InputError:
        raise
    except Exception:  # zipfile, NumPy and JSON may raise anything for a damaged or foreign file
        raise _unusable(path, "it is damaged, or no store of this study") from None


def _unusable(path: Path, why: str) -> InputError:
    return InputError(
        f"store {path}: {why}; allowed: a store written by this version of the study, or a new file"
    )


def read(path: Path, counts: Sequence[Count] = COUNTS) -> StoredTally:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"store {path}: {error.strerror}; allowed: a readable file") from None
    return decode(data, path, counts)


def write(path: Path, stored: StoredTally) -> None:
    """Write a store atomically; on failure raise :class:`InputError` and leave ``path`` unchanged."""
    try:
        write_file(path, encode(stored))
    except OSError as error:
        raise InputError(
            f"store {path}: {error.strerror}, so it was not changed; allowed: a file in a folder "
            "you may write to, with room on the disk"
        ) from None


@contextmanager
def in_store(
    path: Path,
    seed: int,
    agreement: Agreement,
    first_block: Callable[[], str],
    counts: Sequence[Count] = COUNTS,
) -> Iterator[StoredTally]:
    """Lock the store at ``path`` and yield its tally, to which blocks may be added; empty if missing.

    ``first_block`` counts block 0 and returns the digest. Raises :class:`InputError` if the store is
    unusable, belongs to another run (seed, agreement or counts), or is locked.
    """
    path = path.resolve()
    with locked(path, f"store {path}"):
        if path.exists():
            stored = read(path, counts)
            _check_same(path, stored, seed, agreement)
            if stored.first_block != first_block():
                raise _unusable(path, "a version of the study that counts otherwise wrote it")
        else:
            empty = Tally.empty(counts)
            stored = StoredTally(seed, agreement, BlockSet(), empty, first_block())
        stored.path = path
        yield stored


def _check_same(path: Path, stored: StoredTally, seed: int, agreement: Agreement) -> None:
    if stored.seed != seed:
        raise _other(path, f"seed {stored.seed}", f"seed {seed}")
    if stored.agreement.digest != agreement.digest:
        both = (f"agreement {a.name} ({a.digest[:12]})" for a in (stored.agreement, agreement))
        raise _other(path, *both)
    if stored.partial:
        raise _unusable(path, "its run ended inside a block, so it cannot be extended")


def _other(path: Path, held: str, asked: str) -> InputError:
    return InputError(
        f"store {path} holds {held}, not {asked}; allowed: the run that it holds, or another file"
    )
