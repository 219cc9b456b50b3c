"""Identify the sources of the results: their digest, version and commit."""

import hashlib
import os
import subprocess
import tomllib
from datetime import UTC, datetime
from importlib import metadata
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
"""The folder of the package, wherever it is installed."""

CHECKOUT = PACKAGE.parents[1]
"""The folder of the repository, if the package is used from a copy of it."""

COMMIT_FILE = "COMMIT"
"""In a built package: one line with the commit it was built from, its date and :data:`SOURCES`."""

BUILT_NOTEBOOKS = "notebooks"
"""In a built package: the folder of the notebooks."""

MODIFIED = "-modified"
"""Follows a commit from which files differ."""

DISTRIBUTION = "responders-double-study"

_MAKES_RESULTS = ("analysis", "notebooks", "pyproject.toml")
_COUNTS = (".py", ".toml")


def digest(*parts: str) -> str:
    together = hashlib.sha256()
    # Skip dangling symlinks, such as an editor's lock files.
    files = (file for file in PACKAGE.rglob("*") if file.suffix in _COUNTS and file.is_file())
    for file in sorted(files):
        place = file.relative_to(PACKAGE)
        if not parts or place.parts[0] in parts:
            together.update(place.as_posix().encode() + b"\n" + file.read_bytes())
    return together.hexdigest()


SOURCES = digest()
"""SHA-256 of the package's modules, settings and columns as this process loaded them."""


def version() -> str:
    """Return the study's version, from the surrounding repository or else the installed package."""
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
    """Return the commit of the package's own files and its date (ISO 8601, UTC); None if there is none.

    A built package names the commit it was built from. Otherwise the commit is that of the repository
    that tracks the package's files, and never that of a repository around it or one that the
    environment names. The commit ends in :data:`MODIFIED` if the files on disk, or those that this
    process loaded, differ from it.
    """
    file = PACKAGE / COMMIT_FILE
    if file.is_file():
        built, date, as_built = file.read_text(encoding="ascii").split()
        return _marked(built, as_built != SOURCES), date
    try:
        if Path(_git("rev-parse", "--show-toplevel")).resolve() != CHECKOUT:
            return None
        _git("ls-files", "--error-unmatch", *_MAKES_RESULTS)
        shown = ("--no-show-signature", "--format=%H %ct")
        number, seconds = _git("show", "-s", *shown, "HEAD").split()
        differ = _git("status", "--porcelain", "--untracked-files=all", "--", *_MAKES_RESULTS)
        date = datetime.fromtimestamp(int(seconds), UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        return _marked(number, bool(differ) or digest() != SOURCES), date
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
