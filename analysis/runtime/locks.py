"""One run at a time for one file or folder."""

from __future__ import annotations

import os
import platform
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from analysis.errors import InputError

try:
    import fcntl
except ImportError:  # no such locks on Windows
    LOCKS = False
else:
    LOCKS = True

_held: set[Path] = set()
"""What this process holds: the system's locks are between processes."""


@contextmanager
def locked(path: Path, what: str, beside: Path | None = None, wait: bool = False) -> Iterator[None]:
    """Hold ``path`` for this run; if another run holds it, ``wait`` or raise :class:`InputError`.

    The lock is on a file, ``.NAME.lock``, in the folder ``beside`` or else beside ``path``; it says
    who holds it, and is gone when the run ends. The operating system lets go of it when the process
    ends in whatever way, so a lock file that was left behind is no hindrance. Worker processes do
    not inherit the lock. ``what`` names the path in a complaint.
    """
    if not LOCKS:
        raise InputError(f"{what}: this system has no file locks; allowed: runs without a store")
    lock = (beside or path.parent) / f".{path.name}.lock"
    if lock in _held:
        raise _in_use(what, f"process {os.getpid()}")
    file = _lock_file(lock, what, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    _held.add(lock)
    try:
        yield
    finally:
        _held.remove(lock)
        lock.unlink(missing_ok=True)
        os.close(file)


def _lock_file(lock: Path, what: str, how: int) -> int:
    """A descriptor of the locked file."""
    while True:
        try:
            file = os.open(lock, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o644)
        except OSError as error:
            raise _cannot(what, error) from None
        try:
            fcntl.lockf(file, how)
        except OSError:
            holder = os.read(file, 100).decode(errors="replace") or "another run"
            os.close(file)
            raise _in_use(what, holder) from None
        # The run before may have taken its lock file away between these two steps.
        if lock.exists() and os.path.samestat(os.fstat(file), lock.stat()):
            try:
                os.truncate(file, 0)
                os.write(file, f"process {os.getpid()} on {platform.node()}".encode())
            except OSError as error:  # a full disk
                lock.unlink()
                os.close(file)
                raise _cannot(what, error) from None
            return file
        os.close(file)


def _cannot(what: str, error: OSError) -> InputError:
    return InputError(f"{what}: {error.strerror}; allowed: one in a folder you may write to")


def _in_use(what: str, holder: str) -> InputError:
    return InputError(
        f"{what}: {holder} is writing it; allowed: one run at a time, or another place"
    )
