"""Exact tables cached on disk, so that each is computed once for an agreement.

The name of a file contains a digest of the agreement's settings and of the sources that exact values
depend on, so an old table is never read after a setting or rule has changed. The first line is a
checksum of the name and the contents, so a damaged or renamed file is computed again. The rest is JSON,
column by column, which preserves every float64 to the last bit.
"""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

import pandas as pd
from platformdirs import user_cache_path

from double_study import sources
from double_study.agreements.reader import Agreement
from double_study.errors import InputError
from double_study.files import locked, write_file
from double_study.workers import environment

FOLDER = "DOUBLE_STUDY_CACHE"
"""The environment variable that names a folder for the tables, in place of the one in the user's home."""

EXACT_PARTS = "cards agreements rules combinatorics columns.py columns.toml conditions.py".split()
"""The parts of the package that exact values depend on.

Pages, commands and counts are not among them, so a change in the wording of a page does not cost the
minute that it takes to compute the tables.
"""
EXACT_SOURCES = sources.digest(*EXACT_PARTS)

_ROOM = 20_000_000
"""Bytes that must be free: several times what the tables take."""

_memory: dict[Path, pd.DataFrame] = {}
"""The tables read or computed in this process, including those that could not be written."""


def cached(name: str, agreement: Agreement, compute: Callable[[], pd.DataFrame]) -> pd.DataFrame:
    """Return a table of an agreement from the cache, or compute it and add it.

    Columns of text, int64 and float64 are preserved to the last bit. If several processes need a
    table, one computes it and the others wait.
    """
    table, path = if_cached(name, agreement), _path(name, agreement)
    if table is not None:
        return table
    with ExitStack() as stack:
        with suppress(OSError, InputError):  # if nothing can be written, each process computes it
            path.parent.mkdir(parents=True, exist_ok=True)
            stack.enter_context(locked(path, str(path), wait=True))
        table = if_cached(name, agreement)
        if table is None:
            table = _memory[path] = compute()
            text = json.dumps(table.to_dict("list"))
            with suppress(OSError):
                write_file(path, f"{_checksum(path, text)}\n{text}".encode())
    return table.copy()


def if_cached(name: str, agreement: Agreement) -> pd.DataFrame | None:
    """Return a table of an agreement if it was computed before, else None."""
    path = _path(name, agreement)
    if path not in _memory:
        try:
            checksum, _, text = path.read_text(encoding="utf-8").partition("\n")
        except (OSError, ValueError):
            return None
        if checksum != _checksum(path, text):
            return None
        _memory[path] = pd.DataFrame(json.loads(text))
    return _memory[path].copy()


def _path(name: str, agreement: Agreement) -> Path:
    key = hashlib.sha256(f"{agreement.digest} {EXACT_SOURCES}".encode()).hexdigest()
    # Without a folder, return a path at which no file can exist.
    return (folder() or Path(os.devnull)) / f"{name}-{key[:32]}.json"


def _checksum(path: Path, text: str) -> str:
    return f"# sha256 {hashlib.sha256(f'{path.name} {text}'.encode()).hexdigest()}"


def folder() -> Path | None:
    """Return the folder of the cache, by default in the user's home; None if there is none.

    A relative path is ignored, because notebooks run in another current folder.
    """
    named = os.environ.get(FOLDER)
    path = Path(named) if named else user_cache_path("double-study", appauthor=False)
    return path if path.is_absolute() else None


@contextmanager
def cached_somewhere(place: Path) -> Iterator[None]:
    """Ensure that this process and those it starts share a cache while the block runs.

    If tables cannot be saved permanently, the cache is a temporary folder within ``place``.
    """
    if trouble() is None:
        yield
        return
    with (
        tempfile.TemporaryDirectory(prefix="exact-", dir=place) as name,
        environment({FOLDER: name}),
    ):
        yield


def trouble() -> str | None:
    """Return one line that says why tables cannot be cached, None if they can."""
    place = folder()
    if place is None:
        why = f"the user has no home folder, and {FOLDER} names none in full"
    else:
        with suppress(OSError):
            place.mkdir(parents=True, exist_ok=True)
        if not (place.is_dir() and os.access(place, os.W_OK | os.X_OK)):
            why = f"cannot write in {place}"
        elif shutil.disk_usage(place).free < _ROOM:
            why = f"no room on the disk of {place}"
        else:
            return None
    return f"exact values are not saved for the next run: {why}"
