"""Write files and folders atomically, by one run at a time."""

import os
import platform
import shutil
from collections.abc import Callable, Iterable, Iterator, Set
from contextlib import ExitStack, contextmanager, suppress
from errno import EEXIST
from pathlib import Path

from double_study.errors import InputError

try:
    import fcntl
except ImportError:  # on Windows nothing prevents two runs from writing the same folder
    LOCKS = False
else:
    LOCKS = True


@contextmanager
def locked(path: Path, what: str, beside: Path | None = None, wait: bool = False) -> Iterator[None]:
    """Lock ``path`` for this run; if another run has it, ``wait`` or raise :class:`InputError`.

    The lock is on the file ``.NAME.lock`` in the folder ``beside``, by default that of ``path``. It
    names the process, and is removed at the end. The operating system releases it with the process,
    so a file left by a killed run locks nothing. ``what`` names the path in a message.
    """
    if not LOCKS:
        raise InputError(f"{what}: this system has no file locks; allowed: runs without a store")
    lock = (beside or path.parent) / f".{path.name}.lock"
    try:
        file = _lock_file(lock, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        raise InputError(
            f"{what}: {error.strerror} is writing it; allowed: one run at a time, or another place"
        ) from None
    except OSError as error:
        raise InputError(
            f"{what}: {error.strerror}; allowed: one in a folder you may write to"
        ) from None
    try:
        yield
    finally:
        lock.unlink(missing_ok=True)
        os.close(file)


def _lock_file(lock: Path, how: int) -> int:
    """Return a descriptor of the locked file; ``BlockingIOError`` names the process that holds the lock."""
    while True:
        file = os.open(lock, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o644)
        try:
            fcntl.flock(file, how)
            # The previous run may have removed its lock file after it was opened here.
            if lock.exists() and os.path.samestat(os.fstat(file), lock.stat()):
                os.truncate(file, 0)
                os.write(file, f"process {os.getpid()} on {platform.node()}".encode())
                return file
        except BlockingIOError as error:
            holder = os.read(file, 100).decode(errors="replace") or "another run"
            os.close(file)
            raise BlockingIOError(error.errno, holder) from None
        except OSError:  # a full disk
            lock.unlink()
            os.close(file)
            raise
        os.close(file)


def write_file(path: Path, data: bytes) -> None:
    """Write a file atomically: to a file beside ``path``, flushed to the disk and renamed.

    On failure raise ``OSError`` and leave ``path`` unchanged.
    """
    beside = path.with_name(f".{path.name}.unfinished")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


@contextmanager
def staged(
    folder: Path, superseded: Callable[[Path], Set[Path]] = lambda folder: frozenset()
) -> Iterator[Path]:
    """Yield an empty folder; if the block succeeds, move its files into ``folder``.

    Before the block begins, ``folder`` is checked to be writable and locked against other runs, and
    the leftovers of a killed run are cleaned up. Other files of ``folder`` stay, except those that
    ``superseded(folder)`` returns, as paths relative to it, at the end. The old folder is renamed to
    ``.NAME.replaced`` and the new one takes its place; a run killed between these two steps leaves
    no ``folder``, and the next one renames the old one back. If a folder cannot be renamed
    (a mount point, the current folder), its files are replaced one by one.

    Raises :class:`InputError` if ``folder`` cannot be written or another run has locked it, and
    ``OSError`` if the results cannot be put in place.
    """
    what = f"--out {folder}"
    with ExitStack() as stack:
        try:
            folder = folder.resolve()
            existing = next(path for path in (folder, *folder.parents) if path.exists())
            if not existing.is_dir() or folder == folder.parent:
                raise NotADirectoryError(0, "this is not a folder to write into")
            for parent in reversed(folder.parents):
                if not parent.exists():
                    parent.mkdir()
                    stack.callback(_remove_if_empty, parent)
            for path, _, _ in os.walk(folder):
                if not _writable(path):
                    raise PermissionError(0, f"cannot write in {path}")
            inside = folder.is_mount() or (folder.exists() and not _writable(folder.parent))
            place = folder if inside else folder.parent
            if LOCKS:
                stack.enter_context(locked(folder, what, place))
            stage, old = (place / f".{folder.name}.{end}" for end in ("unfinished", "replaced"))
            shutil.rmtree(stage, ignore_errors=True)
            new = stage / "new"
            new.mkdir(parents=True)
            stack.callback(shutil.rmtree, stage, ignore_errors=True)
            if old.exists():
                old.rename(stage / "earlier" if folder.exists() else folder)
        except (OSError, RuntimeError, ValueError) as error:  # a loop of links, a name with NUL
            why = getattr(error, "strerror", None) or error
            raise InputError(f"{what}: {why}; allowed: a folder you may write to") from None
        yield new
        _put_in_place(new, folder, old, superseded(folder))
        if old.exists():
            old.rename(stage / "old")


def _writable(folder: Path | str) -> bool:
    return os.access(folder, os.W_OK | os.X_OK)


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _put_in_place(new: Path, folder: Path, old: Path, superseded: Set[Path]) -> None:
    """Replace ``folder`` by ``new``, or else its files; ``old`` is the temporary name of the old folder."""
    if not folder.exists():
        new.rename(folder)
        return
    files = {path.relative_to(new) for path in new.rglob("*") if path.is_file()}
    for result in new.rglob("*"):
        place = folder / result.relative_to(new)
        # Leave the user's own alone: a file with the name of a results folder, or the reverse.
        if os.path.lexists(place) and place.is_dir() != result.is_dir():
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(place))
    # A new folder within the old one cannot take its place, and copying the old one would not end.
    if not _is_current(folder) and not new.is_relative_to(folder):
        with suppress(OSError):
            _add_others(new, folder, superseded)
            folder.rename(old)
            try:
                new.rename(folder)
            except OSError:
                old.rename(folder)
                raise
            return
    for file in sorted(files):
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (new / file).replace(folder / file)
    # Only names found in the folder are removed, so that none leads out of it.
    for path, _, names in os.walk(folder, topdown=False):
        part = Path(path).relative_to(folder)
        for file in (superseded - files) & {part / name for name in names}:
            (folder / file).unlink()
            _remove_if_empty(folder / part)


def _is_current(folder: Path) -> bool:
    with suppress(OSError):
        return Path.cwd().is_relative_to(folder)
    return False


def _add_others(new: Path, folder: Path, superseded: Set[Path]) -> None:
    """Link the files of ``folder`` that ``new`` lacks into ``new``, except ``superseded`` ones."""

    def left_out(path: str, names: Iterable[str]) -> set[str]:
        part = Path(path).relative_to(folder)
        return {
            name
            for name in names
            if not os.path.isdir(folder / part / name) or os.path.islink(folder / part / name)
            if part / name in superseded or os.path.lexists(new / part / name)
        }

    shutil.copytree(
        folder, new, symlinks=True, ignore=left_out, copy_function=_link, dirs_exist_ok=True
    )
    for path, folders, files in os.walk(folder, topdown=False):
        if folders or files:
            _remove_if_empty(new / Path(path).relative_to(folder))


def _link(source: str, target: str) -> None:
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:  # a file system without hard links
        shutil.copy2(source, target, follow_symlinks=False)
