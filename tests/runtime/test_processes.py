"""What a process of its own loads: the package by its name, what exact values depend on; its memory."""

import os
import platform
import shutil
import site
from pathlib import Path
from typing import Any

import pytest
from double_study.combinatorics.cache import EXACT_PARTS
from double_study.sources import PACKAGE
from jupyter_client.manager import start_new_kernel
from shared.commands import python

FOUND = "import double_study, os; print(os.path.dirname(double_study.__file__))"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a user's folder: an ``analysis`` of their own, a file and a folder."""
    (tmp_path / "analysis.py").write_text("raise ImportError('the user's own')\n")
    (tmp_path / "analysis").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PYTHONPATH", str(PACKAGE.parent))
    return tmp_path


def test_a_users_own_analysis_does_not_hide_it(folder: Path) -> None:
    assert Path(python("-c", FOUND).strip()) == PACKAGE


def test_nor_in_a_notebook(folder: Path) -> None:
    manager, client = start_new_kernel(cwd=str(folder))
    said: list[str] = []

    def heard(message: Any) -> None:
        said.append(message["content"].get("text", ""))

    try:
        client.execute_interactive(FOUND, timeout=60, output_hook=heard)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    assert "".join(said).strip() == str(PACKAGE)


def test_a_copy_that_is_not_installed_counts(tmp_path: Path) -> None:
    """The package alone, and then, by its version, a copy of the repository."""
    shutil.copytree(PACKAGE, tmp_path / "copy" / "analysis" / "double_study")
    # What is installed, without the study.
    libraries = tmp_path / "libraries"
    libraries.mkdir()
    for place in map(Path, site.getsitepackages()):
        for library in place.iterdir() if place.is_dir() else ():
            if not library.name.startswith(("responders_double_study", "__editable__")):
                (libraries / library.name).symlink_to(library)
    path = os.pathsep.join([str(tmp_path / "copy" / "analysis"), str(libraries)])

    def run(*words: str) -> str:
        environment = os.environ | {"PYTHONPATH": path}
        return python("-S", "-m", "double_study", *words, cwd=tmp_path, env=environment)

    said = run("how-often", "level == 1", *"--deals 1e4 --workers 1".split())
    assert "version unknown" in " ".join(said.split())
    shutil.copy(PACKAGE.parents[1] / "pyproject.toml", tmp_path / "copy")
    assert "unknown" not in run("--version")


NO_PART_IN_A_VALUE = {
    "__init__",
    "errors",
    "escape",
    "files",
    "numbers_in_words",
    "sources",
    "workers",
}
"""Messages, where a table is written and by which processes it is computed."""


def test_every_imported_module_is_in_the_digest_of_exact_values_or_has_no_part_in_one() -> None:
    names = "m.__file__ for n, m in sys.modules.items() if n.startswith('double_study')"
    loaded = python(
        "-c", f"import sys, double_study.combinatorics.table; print(*({names}), sep='\\n')"
    )
    places = [Path(file).relative_to(PACKAGE) for file in loaded.splitlines()]
    assert {p.stem for p in places if p.parts[0] not in EXACT_PARTS} == NO_PART_IN_A_VALUE


ARRAYS = 40
TOUCHED = f"""
import resource, sys
import numpy as np
from double_study.workers import keep_freed_memory

if sys.argv[1] == "reused":
    keep_freed_memory()
np.ones(1_000_000)
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range({ARRAYS}):
    np.ones(1_000_000)
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def fetched(how: str) -> int:
    """Return the pages that a process fetches for its arrays, with the environment of a Dask worker."""
    environment = os.environ | {"MALLOC_TRIM_THRESHOLD_": "65536"}
    return int(python("-c", TOUCHED, how, env=environment))


def test_freed_memory_is_reused() -> None:
    """Also in a process set to return it at once. Without glibc the call leaves memory as it is."""
    returned, reused = fetched("returned"), fetched("reused")
    if platform.libc_ver()[0] == "glibc":
        assert returned > ARRAYS  # otherwise there would be nothing to mend
        assert reused < returned / 20
