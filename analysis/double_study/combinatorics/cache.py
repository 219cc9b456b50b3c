"""Exact tables kept on disk, so that each is worked out once for an agreement.

A file's name carries a digest of the agreement's settings and of the sources that the table comes
from, so a changed setting or rule never meets an old table. Its first line is a checksum of that
name and of the rest, JSON, whose numbers are read back as they were; a file that does not match it,
is larger than any table, or has other columns than its table is worked out anew. Where nothing can
be written, a table is kept for as long as the process lasts.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import pandas as pd
from platformdirs import user_cache_path

from double_study import sources as imports
from double_study.agreements.reader import Agreement
from double_study.columns import named
from double_study.errors import InputError
from double_study.files import locked, write_file

FOLDER = "DOUBLE_STUDY_CACHE"
"""The environment variable that names another folder for the tables than the user's."""

_PACKAGE = Path(__file__).parent.parent
_unwritten: dict[Path, pd.DataFrame] = {}
"""Tables that could not be written, for as long as this process lasts: minutes of work, some."""
_LARGEST = 20_000_000
"""Bytes that a table may take: several times the largest."""
_MODULES = (f"{_PACKAGE.name}.combinatorics.table",)
"""The modules whose tables are kept."""


_TYPES = {"string": str, "integer": int, "number": float}
"""What a value is read back as, by the type of its column."""


class KeptTable(NamedTuple):
    """A table that is kept: its name, its columns, and its rows where every agreement has so many."""

    name: str
    columns: tuple[str, ...]
    rows: int | None = None

    def holds(self, values: dict[str, list[Any]]) -> bool:
        """Whether some values by column are a table of this kind."""
        return list(values) == list(self.columns) and all(
            type(values[column]) is list
            and self.rows in (None, len(values[column]))
            and all(type(value) is _TYPES[named(column).type] for value in values[column])
            for column in self.columns
        )


def kept(
    kind: KeptTable, agreement: Agreement, compute: Callable[[], pd.DataFrame]
) -> pd.DataFrame:
    """A table of an agreement: from disk, or from ``compute`` and then kept on disk.

    Columns of text, int64 and float64 come back as they were, to the last bit. Of several processes
    that want a table one works it out, and the others wait for it.
    """
    table, path = if_kept(kind, agreement), _path(kind, agreement)
    if table is not None:
        return table
    with ExitStack() as stack:
        with suppress(OSError, InputError):  # where nothing can be kept, each works it out
            path.parent.mkdir(parents=True, exist_ok=True)
            stack.enter_context(locked(path, str(path), wait=True))
        table = if_kept(kind, agreement)
        if table is None:
            table = compute()
            _write(path, table)
    return table


def if_kept(kind: KeptTable, agreement: Agreement) -> pd.DataFrame | None:
    """A table of an agreement if it was worked out before, else None."""
    path = _path(kind, agreement)
    if path in _unwritten:
        return _unwritten[path].copy()
    return _read(path, kind)


def _path(kind: KeptTable, agreement: Agreement) -> Path:
    key = hashlib.sha256(f"{agreement.digest} {source_digest()}".encode()).hexdigest()
    # Without a folder: a path that nothing can be at.
    return (folder() or Path(os.devnull)) / f"{kind.name}-{key[:32]}.json"


def folder() -> Path | None:
    """Where exact tables are kept, in the user's cache folder; None for a user who has no home.

    A place that depends on the current folder is none: notebooks run in another.
    """
    named = os.environ.get(FOLDER)
    path = Path(named) if named else user_cache_path("double-study", appauthor=False)
    return path if path.is_absolute() else None


@contextmanager
def kept_somewhere(place: Path) -> Iterator[None]:
    """Within, tables are kept for this process and those that it starts.

    Where they cannot be kept for longer, they are in a folder within ``place`` for so long.
    """
    if trouble() is None:
        yield
        return
    with tempfile.TemporaryDirectory(prefix="exact-", dir=place) as name:
        os.environ[FOLDER] = name
        try:
            yield
        finally:
            del os.environ[FOLDER]


def trouble() -> str | None:
    """In one line, why nothing can be kept; None where it can."""
    place = folder()
    if place is None:
        return (
            "exact values are not kept for the next run: the user has no home folder, and "
            f"{FOLDER} names none in full"
        )
    with suppress(OSError):
        place.mkdir(parents=True, exist_ok=True)
    if not (place.is_dir() and os.access(place, os.W_OK | os.X_OK)):
        return f"exact values are not kept for the next run: cannot write in {place}"
    if shutil.disk_usage(place).free < _LARGEST:
        return f"exact values are not kept for the next run: no room on the disk of {place}"
    return None


@lru_cache
def source_digest() -> str:
    """Digest of the sources that exact tables come from."""
    return imports.digest(_PACKAGE, imports.sources(_PACKAGE, _MODULES))


def _checksum(path: Path, text: str) -> str:
    """What the first line of the file must say: its name is bound as well as its content."""
    return f"# sha256 {hashlib.sha256(f'{path.name} {text}'.encode()).hexdigest()}"


def _read(path: Path, kind: KeptTable) -> pd.DataFrame | None:
    """The table in ``path``, None where there is none that can be trusted."""
    try:
        if not path.is_file() or path.stat().st_size > _LARGEST:
            return None
        checksum, _, text = path.read_text(encoding="utf-8").partition("\n")
        if checksum != _checksum(path, text):
            return None
        values = json.loads(text)
        return pd.DataFrame(values) if kind.holds(values) else None
    except (OSError, ValueError, TypeError, RecursionError):
        return None


def _write(path: Path, table: pd.DataFrame) -> None:
    text = json.dumps(table.to_dict("list"))
    try:
        write_file(path, f"{_checksum(path, text)}\n{text}".encode())
    except OSError:
        _unwritten[path] = table
