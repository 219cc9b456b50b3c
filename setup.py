"""What a built package has that the repository keeps elsewhere: its commit and the notebooks."""

import shutil
import sys
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py
from setuptools.command.sdist import sdist

sys.path.insert(0, str(Path(__file__).parent))
from analysis.runtime.sources import BUILT_NOTEBOOKS, CHECKOUT, COMMIT_FILE, commit


def write_commit(package: Path) -> None:
    """Write into a package that is being built which commit it is built from, if that is known."""
    if found := commit():
        (package / COMMIT_FILE).write_text(" ".join(found) + "\n", encoding="ascii")


class BuildWithNotebooks(build_py):
    """Build a package that needs no repository around it."""

    def run(self) -> None:
        """Build as usual, then add to it; an editable install is the repository itself."""
        super().run()
        if not self.editable_mode:
            package = Path(self.build_lib, "analysis")
            write_commit(package)
            (package / BUILT_NOTEBOOKS).mkdir(exist_ok=True)
            for notebook in (CHECKOUT / "notebooks").glob("*.ipynb"):
                shutil.copy(notebook, package / BUILT_NOTEBOOKS)


class SourcesWithCommit(sdist):
    """Sources outside a repository say which commit they are."""

    def make_release_tree(self, base_dir: str, files: list[str]) -> None:
        """Copy the sources as usual, then add to them."""
        super().make_release_tree(base_dir, files)
        write_commit(Path(base_dir, "analysis"))


setup(cmdclass={"build_py": BuildWithNotebooks, "sdist": SourcesWithCommit})
