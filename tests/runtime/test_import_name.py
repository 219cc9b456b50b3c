"""The package is found under its name, whatever the user's folder holds and whether it is installed."""

import os
import shutil
import site
import subprocess
import sys
from pathlib import Path

import double_study
import pytest
from jupyter_client.manager import start_new_kernel

PACKAGE = Path(double_study.__file__).parent
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
    found = subprocess.check_output([sys.executable, "-c", FOUND], text=True)  # noqa: S603
    assert Path(found.strip()) == PACKAGE


def test_nor_in_a_notebook(folder: Path) -> None:
    manager, client = start_new_kernel(cwd=str(folder))
    said: list[str] = []
    try:
        client.execute_interactive(
            FOUND, timeout=60, output_hook=lambda m: said.append(m["content"].get("text", ""))
        )
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
        command, environment = [sys.executable, "-S", *words], os.environ | {"PYTHONPATH": path}
        return subprocess.check_output(command, cwd=tmp_path, env=environment, text=True)  # noqa: S603

    said = run("-m", "double_study", "how-often", "level == 1", *"--deals 1e4 --workers 1".split())
    assert "version unknown" in " ".join(said.split())
    shutil.copy(PACKAGE.parents[1] / "pyproject.toml", tmp_path / "copy")
    assert "unknown" not in run("-m", "double_study", "--version")
