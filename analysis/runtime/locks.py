"""One run at a time for one file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from analysis.errors import InputError

_held: set[Path] = set()
"""What this process holds: the system's locks are between processes."""


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold ``path`` for this run; raises :class:`InputError` if another run holds it.

    The lock is on a file beside it, ``.NAME.lock``, gone when the run ends. The operating system
    lets go of it when the process ends in whatever way, so a lock file that was left behind is no
    hindrance. Worker processes do not inherit the lock.
    """
    lock = path.with_name(f".{path.name}.lock")
    if lock in _held:
        raise _in_use(path)
    file = _lock_file(path, lock)
    _held.add(lock)
    try:
        yield
    finally:
        _held.remove(lock)
        lock.unlink(missing_ok=True)
        os.close(file)


def _lock_file(path: Path, lock: Path) -> int:
    """A descriptor of the locked file."""
    try:
        import fcntl
    except ImportError:
        raise InputError(
            f"store {path}: this system has no file locks; allowed: runs without a store"
        ) from None
    while True:
        try:
            file = os.open(lock, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise InputError(
                f"store {path}: {error.strerror}; allowed: a file in a folder you may write to"
            ) from None
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            os.close(file)
            raise _in_use(path) from None
        # The run before may have taken its lock file away between these two steps.
        if lock.exists() and os.path.samestat(os.fstat(file), lock.stat()):
            return file
        os.close(file)


def _in_use(path: Path) -> InputError:
    return InputError(
        f"store {path}: another run is writing it; allowed: one run at a time, or another file"
    )
