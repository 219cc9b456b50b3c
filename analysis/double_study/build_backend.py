"""The build: setuptools, and the files that setuptools would leave out.

``pyproject.toml`` names this module; nothing imports it at run time. A built package works without
the repository, so it contains its commit and the notebooks; a source distribution contains the
notebooks, the tests and the reports.
"""

import shutil
from pathlib import Path

from setuptools import build_meta  # noqa: F401 - the build system asks this module for it
from setuptools.command.build_py import build_py
from setuptools.command.sdist import sdist

from double_study.sources import BUILT_NOTEBOOKS, CHECKOUT, COMMIT_FILE, SOURCES, commit

_DISTRIBUTED = (".ci", "DEVELOPERS.md", "notebooks", "reports", "tests")
"""The files of a source distribution other than the package and what setuptools adds by itself."""
_LEFTOVERS = {"__pycache__", ".ipynb_checkpoints"}


def _write_commit(package: Path) -> None:
    """Write the commit, if known, into a package that is being built."""
    if found := commit():
        (package / COMMIT_FILE).write_text(" ".join((*found, SOURCES)) + "\n", encoding="ascii")


class BuildWithNotebooks(build_py):
    def run(self) -> None:
        """Build as usual, then add the files; an editable install has the repository instead."""
        super().run()
        if not self.editable_mode:
            package = Path(self.build_lib, "double_study")
            _write_commit(package)
            (package / BUILT_NOTEBOOKS).mkdir(exist_ok=True)
            for notebook in (CHECKOUT / "notebooks").glob("*.ipynb"):
                shutil.copy(notebook, package / BUILT_NOTEBOOKS)


class WholeSources(sdist):
    """Make a source distribution of the whole repository, with its commit."""

    def make_release_tree(self, base_dir: str, files: list[str]) -> None:
        super().make_release_tree(base_dir, [*files, *map(str, _distributed())])
        _write_commit(Path(base_dir, "analysis", "double_study"))


def _distributed() -> list[Path]:
    """Return the files of :data:`_DISTRIBUTED`, relative to the repository."""
    places = [CHECKOUT / name for name in _DISTRIBUTED]
    found = [file for place in places for file in (place, *place.rglob("*")) if file.is_file()]
    files = [file.relative_to(CHECKOUT) for file in found]
    return sorted(file for file in files if not _LEFTOVERS & {*file.parts})
