"""Writing results all or nothing: into a folder aside, then into place."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from analysis.errors import InputError


def checked_folder(folder: Path) -> Path:
    """``folder`` if results can be written there; raises :class:`InputError` otherwise.

    Asked before a long run starts, so that it does not end in vain. Nothing is created.
    """
    nearest = folder
    while not nearest.exists() and nearest != nearest.parent:
        nearest = nearest.parent
    if not nearest.is_dir() or not os.access(nearest, os.W_OK | os.X_OK):
        raise InputError(f"--out {folder}: cannot write there; allowed: a folder you may write to")
    return folder


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """An empty folder to write into; what it holds goes into ``folder`` if all went well.

    Files of ``folder`` that the stage does not have are left alone; each file is put in place by
    a rename, so a reader never sees half of one.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(prefix=".unfinished-", dir=folder))
    except OSError as error:
        raise InputError(
            f"--out {folder}: {error.strerror}; allowed: a folder you may write to"
        ) from None
    try:
        yield stage
        for file in sorted(path for path in stage.rglob("*") if path.is_file()):
            target = folder / file.relative_to(stage)
            target.parent.mkdir(parents=True, exist_ok=True)
            file.replace(target)
    finally:
        shutil.rmtree(stage, ignore_errors=True)
