"""Exact tables kept on disk, so that each is worked out once for an agreement.

A file's name carries a digest of the agreement's settings and of the sources that the table comes
from, so a changed setting or rule never meets an old table. Its first line is a checksum of the
rest, JSON, whose numbers are read back as they were; a file that does not match it is worked out
anew. Where nothing can be written, a table is kept for as long as the process lasts.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pandas as pd

from analysis.agreements.agreement import Agreement
from analysis.runtime.staging import write_file

_PACKAGE = Path(__file__).parent.parent
_unwritten: dict[Path, pd.DataFrame] = {}
"""Tables that could not be written, for as long as this process lasts: minutes of work, some."""
_SOURCES = (
    "exact/*.py",
    "bidding/*.py",
    "hands.py",
    "classes.py",
    "cards.py",
    "agreement.py",
    "settings.py",
)


def kept(name: str, agreement: Agreement, compute: Callable[[], pd.DataFrame]) -> pd.DataFrame:
    """The table ``name`` of an agreement: from disk, or from ``compute`` and then kept on disk.

    Columns of text, int64 and float64 come back as they were, to the last bit.
    """
    table = if_kept(name, agreement)
    if table is None:
        table = compute()
        _write(_path(name, agreement), table)
    return table


def if_kept(name: str, agreement: Agreement) -> pd.DataFrame | None:
    """The table ``name`` of an agreement if it was worked out before, else None."""
    path = _path(name, agreement)
    table = _read(path)
    return _unwritten.get(path) if table is None else table


def _path(name: str, agreement: Agreement) -> Path:
    key = hashlib.sha256(f"{agreement.digest} {_source_digest()}".encode()).hexdigest()
    return folder() / f"{name}-{key[:32]}.json"


def folder() -> Path:
    """Where exact tables are kept: ``double-study`` in the user's cache folder."""
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "double-study"


@lru_cache
def _source_digest() -> str:
    digest = hashlib.sha256()
    for pattern in _SOURCES:
        for file in sorted(_PACKAGE.glob(pattern)):
            digest.update(file.name.encode() + file.read_bytes())
    return digest.hexdigest()


def _checksum(text: str) -> str:
    return f"# sha256 {hashlib.sha256(text.encode()).hexdigest()}"


def _read(path: Path) -> pd.DataFrame | None:
    """The table in ``path``, None where there is none that can be trusted."""
    try:
        checksum, _, text = path.read_text(encoding="utf-8").partition("\n")
    except (OSError, UnicodeDecodeError):
        return None
    if checksum != _checksum(text):
        return None
    return pd.DataFrame(json.loads(text))


def _write(path: Path, table: pd.DataFrame) -> None:
    text = json.dumps(table.to_dict("list"))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, f"{_checksum(text)}\n{text}".encode())
    except OSError:
        _unwritten[path] = table
