"""Which sources a result comes from: their digest, and the commit that they are of."""

from __future__ import annotations

import hashlib
import os
import subprocess
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
"""The folder of the package, wherever it is installed."""

CHECKOUT = PACKAGE.parent
"""The folder of the repository, where the package is used from a copy of it."""

COMMIT_FILE = "COMMIT"
"""In a package that was built: the commit it was built from and the year of that, in one line."""

BUILT_NOTEBOOKS = "notebooks"
"""In a package that was built: the folder of the notebooks."""

MODIFIED = "-modified"
"""After a commit: files differ from it."""

_MAKES_RESULTS = ("analysis", "notebooks", "pyproject.toml")


def _digest() -> str:
    digest = hashlib.sha256()
    for file in sorted(PACKAGE.rglob("*.py")):
        digest.update(file.relative_to(PACKAGE).as_posix().encode() + b"\n" + file.read_bytes())
    return digest.hexdigest()


SOURCES = _digest()
"""SHA-256 of the sources of the package as they were when this process loaded them."""


def commit() -> tuple[str, str] | None:
    """The commit that the package's own files are of, and its year; None where there is none.

    A built package names the one it was built from. Elsewhere only the repository counts that
    holds the package's files: not one around it, and not one that the environment points to.
    """
    file = PACKAGE / COMMIT_FILE
    if file.is_file():
        built, year = file.read_text(encoding="ascii").split()
        return built, year
    try:
        if Path(_git("rev-parse", "--show-toplevel")).resolve() != CHECKOUT:
            return None
        _git("ls-files", "--error-unmatch", *_MAKES_RESULTS)
        number, year = _git("show", "-s", "--format=%H %cd", "--date=format:%Y", "HEAD").split()
        return number + (
            MODIFIED if _git("status", "--porcelain", "--", *_MAKES_RESULTS) else ""
        ), year
    except (OSError, subprocess.CalledProcessError):
        return None


def _git(*arguments: str) -> str:
    # The study's own folder, and git by its name: nothing of the user's reaches the command.
    done = subprocess.run(  # noqa: S603
        ["git", "--no-optional-locks", "-C", str(CHECKOUT), *arguments],  # noqa: S607
        capture_output=True,
        text=True,
        check=True,
        env={name: value for name, value in os.environ.items() if not name.startswith("GIT_")},
    )
    return done.stdout.strip()
