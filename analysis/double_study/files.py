"""One run at a time for one file or folder.

Writing all or nothing: aside first, then into place in one step.
"""

from __future__ import annotations

import ctypes
import os
import platform
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Set
from contextlib import ExitStack, contextmanager, suppress
from errno import EEXIST
from glob import escape
from pathlib import Path

from double_study.errors import InputError

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


_EXCHANGE = 2
"""The flag of renameat2(2) and renamex_np(2) that swaps two names in one step."""
_HERE = -100
"""The folder that renameat2(2) takes names from: the current one."""


def write_file(path: Path, data: bytes) -> None:
    """Write a file all or nothing: beside ``path``, to the disk, and then in its place.

    Raises ``OSError`` where that fails; what stood at ``path`` then still does.
    """
    beside = path.with_name(f".{path.name}.unfinished")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
        _flush_folder(path.parent)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def _flush_folder(folder: Path) -> None:
    """Have the disk keep a new name, too, where the system can be told so."""
    with suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


@contextmanager
def staged(
    folder: Path, superseded: Callable[[Path], Set[Path]] = lambda folder: frozenset()
) -> Iterator[Path]:
    """An empty folder to write into; what it holds goes into ``folder`` if all went well.

    Entered before the work starts, it finds out then whether results can be written, holds
    ``folder`` against other runs and clears what a killed run left. Files of ``folder`` that the
    stage does not have stay, but for those that ``superseded``, asked at the end, names by their
    places in it. The folder is swapped for the new one in one step where the system can do so and
    nobody stands in it; else its files are renamed into place one by one.

    Raises :class:`InputError` where ``folder`` cannot be written or another run holds it, and
    ``OSError`` where putting the files in place fails.
    """
    what = f"--out {folder}"
    with ExitStack() as stack:
        try:
            folder = folder.resolve()
            if _file_in_the_way(folder) or folder == folder.parent:
                raise NotADirectoryError(0, "not a folder to write into")
            for parent in reversed(folder.parents):
                if not parent.exists():
                    parent.mkdir()
                    stack.callback(_remove_if_empty, parent)
            aside = folder.parent
            if folder.exists() and not os.access(aside, os.W_OK | os.X_OK):
                aside = folder
            for path, _, _ in os.walk(folder):
                if Path(path).exists() and not os.access(path, os.W_OK | os.X_OK):
                    raise PermissionError(0, f"cannot write in {path}")
            if LOCKS:
                stack.enter_context(locked(folder, what, aside))
            for left in aside.glob(f".{escape(folder.name)}.unfinished-*"):
                shutil.rmtree(left, ignore_errors=True)
            stage = Path(tempfile.mkdtemp(prefix=f".{folder.name}.unfinished-", dir=aside))
            stack.callback(shutil.rmtree, stage, ignore_errors=True)
            new = stage / "new"
            new.mkdir()
        except (OSError, RuntimeError, ValueError) as error:  # a loop of links, a name with NUL
            why = getattr(error, "strerror", None) or error
            raise InputError(f"{what}: {why}; allowed: a folder you may write to") from None
        yield new
        _put_in_place(new, folder, superseded(folder))


def _file_in_the_way(folder: Path) -> bool:
    """Whether something other than a folder stands at ``folder`` or where its parents should be."""
    while not folder.exists():
        folder = folder.parent
    return not folder.is_dir()


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _put_in_place(new: Path, folder: Path, gone: Set[Path]) -> None:
    if not folder.exists():
        new.rename(folder)
        return
    for result in new.rglob("*"):
        place = folder / result.relative_to(new)
        # The user's own: a file where the stage has a folder, or the other way round.
        if os.path.lexists(place) and place.is_dir() != result.is_dir():
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(place))
    if new.is_relative_to(folder.parent) and not _stood_in(folder):
        _bring_along(folder, new, gone)
        if _exchanged(new, folder):
            return
    files = sorted(path.relative_to(new) for path in new.rglob("*") if path.is_file())
    for file in files:
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (new / file).replace(folder / file)
    # Only what is met on the way: no name leads out of the folder.
    for path, _, names in os.walk(folder, topdown=False):
        part = Path(path).relative_to(folder)
        for file in (gone - {*files}) & {part / name for name in names}:
            (folder / file).unlink()
            _remove_if_empty(folder / part)


def _stood_in(folder: Path) -> bool:
    """Whether this process, and so most likely the user's shell, is in ``folder``."""
    with suppress(OSError):
        return Path.cwd().is_relative_to(folder)
    return False


def _bring_along(folder: Path, new: Path, gone: Set[Path]) -> None:
    """Give ``new`` what ``folder`` has and it has not, but for what has gone.

    They are the same files under a second name.
    """
    for path, folders, files in os.walk(folder, topdown=False):
        part = Path(path).relative_to(folder)
        links = [name for name in folders if os.path.islink(os.path.join(path, name))]
        brought = [
            part / name
            for name in (*files, *links)
            if part / name not in gone and not os.path.lexists(new / part / name)
        ]
        if brought or not (files or folders):
            (new / part).mkdir(parents=True, exist_ok=True)
        for name in brought:
            try:
                os.link(folder / name, new / name, follow_symlinks=False)
            except OSError:  # a file system without second names
                shutil.copy2(folder / name, new / name, follow_symlinks=False)
        if (new / part).is_dir():
            shutil.copymode(path, new / part)


def _exchanged(new: Path, folder: Path) -> bool:
    """Swap the two in one step; whether the system and the file system could."""
    paths = os.fsencode(new), os.fsencode(folder)
    try:
        libc = ctypes.CDLL(None)
        if sys.platform == "darwin":
            return libc.renamex_np(*paths, _EXCHANGE) == 0
        return libc.renameat2(_HERE, paths[0], _HERE, paths[1], _EXCHANGE) == 0
    except (AttributeError, TypeError, OSError):
        return False
