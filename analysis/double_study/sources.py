"""The sources that a piece of a package comes from: its modules and all that they import of it.

Which sources a result comes from: their digest, and the commit that they are of.
"""

from __future__ import annotations

import ast
import hashlib
import os
import subprocess
import tomllib
from collections.abc import Iterable, Iterator
from importlib import metadata
from pathlib import Path


def sources(package: Path, modules: Iterable[str]) -> set[Path]:
    """The files of some modules of a package, and of all that they import of it, however far.

    Parameters
    ----------
    package
        The folder of the package; its modules import each other by full names.
    modules
        Full dotted names, such as ``double_study.combinatorics.table``.
    """
    found: set[Path] = set()
    left = list(modules)
    while left:
        for file in _files(package, left.pop()):
            if file not in found:
                found.add(file)
                left += _names(file)
    return found


def _files(package: Path, name: str) -> Iterator[Path]:
    """The file of a module, and those of the packages that it is in; none for what is not here."""
    first, *parts = name.split(".")
    if first != package.name:
        return
    place = package
    yield place / "__init__.py"
    for part in parts:
        place /= part
        if place.with_suffix(".py").is_file():
            yield place.with_suffix(".py")
        elif (place / "__init__.py").is_file():
            yield place / "__init__.py"


def _names(file: Path) -> Iterator[str]:
    """Everything that a file imports: modules, and names that may be modules."""
    for node in ast.walk(ast.parse(file.read_bytes())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def digest(package: Path, files: Iterable[Path]) -> str:
    """SHA-256 of some files of a package, their places and contents; 64 hex digits."""
    together = hashlib.sha256()
    for file in sorted(files):
        content = hashlib.sha256(file.read_bytes()).hexdigest()
        together.update(f"{file.relative_to(package).as_posix()} {content}\n".encode())
    return together.hexdigest()


PACKAGE = Path(__file__).resolve().parent
"""The folder of the package, wherever it is installed."""

CHECKOUT = PACKAGE.parents[1]
"""The folder of the repository, where the package is used from a copy of it."""

COMMIT_FILE = "COMMIT"
"""In a built package: one line with the commit it was built from, its year and :data:`SOURCES`."""

BUILT_NOTEBOOKS = "notebooks"
"""In a built package: the folder of the notebooks."""

MODIFIED = "-modified"
"""After a commit: files differ from it."""

DISTRIBUTION = "responders-double-study"
"""The name under which the package is installed."""

_MAKES_RESULTS = ("analysis", "notebooks", "pyproject.toml")
_COUNTS = (".py", ".toml")


def _digest() -> str:
    digest = hashlib.sha256()
    # is_file skips dangling symlinks, such as an editor's lock files.
    found = (file for file in PACKAGE.rglob("*") if file.suffix in _COUNTS and file.is_file())
    for file in sorted(found):
        digest.update(file.relative_to(PACKAGE).as_posix().encode() + b"\n" + file.read_bytes())
    return digest.hexdigest()


SOURCES = _digest()
"""SHA-256 of the package's modules, settings and columns as this process loaded them."""


def version() -> str:
    """Return the study's version: that of the repository around it, or else of the installed package."""
    try:
        text = (CHECKOUT / "pyproject.toml").read_text(encoding="utf-8")
        project = tomllib.loads(text)["project"]
        if project["name"] == DISTRIBUTION:
            return str(project["version"])
    except (OSError, ValueError, KeyError):
        pass
    try:
        return metadata.version(DISTRIBUTION)
    except metadata.PackageNotFoundError:
        return "unknown"


def commit() -> tuple[str, str] | None:
    """Return the commit of the package's own files and its year; None where there is none.

    A built package names the commit it was built from. Otherwise it is the repository's that tracks
    the package's files, not of one around it or one that the environment points to. The commit ends
    in :data:`MODIFIED` if the files on disk, or those that this process loaded, differ from it.
    """
    file = PACKAGE / COMMIT_FILE
    if file.is_file():
        built, year, as_built = file.read_text(encoding="ascii").split()
        return _marked(built, as_built != SOURCES), year
    try:
        if Path(_git("rev-parse", "--show-toplevel")).resolve() != CHECKOUT:
            return None
        _git("ls-files", "--error-unmatch", *_MAKES_RESULTS)
        shown = ("--no-show-signature", "--format=%H %cd", "--date=format:%Y")
        number, year = _git("show", "-s", *shown, "HEAD").split()
        differ = _git("status", "--porcelain", "--untracked-files=all", "--", *_MAKES_RESULTS)
        return _marked(number, bool(differ) or _digest() != SOURCES), year
    except (OSError, subprocess.CalledProcessError):
        return None


def _marked(number: str, differ: bool) -> str:
    return number if number.endswith(MODIFIED) or not differ else number + MODIFIED


def _git(*arguments: str) -> str:
    # The user's environment and ignore file must not change the answer.
    own = ("-C", str(CHECKOUT), "-c", f"core.excludesFile={os.devnull}")
    done = subprocess.run(  # noqa: S603
        ["git", "--no-optional-locks", *own, *arguments],  # noqa: S607
        capture_output=True,
        check=True,
        env={name: value for name, value in os.environ.items() if not name.startswith("GIT_")},
    )
    return os.fsdecode(done.stdout).strip()
