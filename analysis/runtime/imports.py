"""The sources that a piece of a package comes from: its modules and all that they import of it."""

from __future__ import annotations

import ast
import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path


def sources(package: Path, modules: Iterable[str]) -> set[Path]:
    """The files of some modules of a package, and of all that they import of it, however far.

    Parameters
    ----------
    package
        The folder of the package; its modules import each other by full names.
    modules
        Full dotted names, such as ``analysis.exact.table``.
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
