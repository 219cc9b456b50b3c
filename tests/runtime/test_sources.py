"""The commit that a run cites is that of the study's own files, or none."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from analysis.runtime import sources

ASK = "from analysis.runtime.sources import commit; print(commit())"


def git(folder: Path, *words: str) -> None:
    identity = ("-c", "user.name=n", "-c", "user.email=e")
    subprocess.run(["git", "-C", str(folder), *identity, *words], check=True, capture_output=True)  # noqa: S603, S607


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """A small copy of the study in a folder, in no repository."""
    folder = tmp_path / "around" / "study"
    shutil.copytree(sources.PACKAGE / "runtime", folder / "analysis" / "runtime")
    for name in ("analysis/__init__.py", "notebooks/01.ipynb", "pyproject.toml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text("")
    return folder


def committed(folder: Path) -> str:
    git(folder, "init", "-q")
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "all")
    head = subprocess.check_output(["git", "-C", str(folder), "rev-parse", "HEAD"], text=True)  # noqa: S603, S607
    return head.strip()


def cited(study: Path, **environment: str) -> str | None:
    """The commit that a fresh process cites."""
    said = subprocess.check_output(  # noqa: S603
        [sys.executable, "-B", "-c", ASK],
        cwd=study.parent,
        env=os.environ | {"PYTHONPATH": str(study)} | environment,
        text=True,
    ).strip()
    return None if said == "None" else said.strip("()").split(",")[0].strip("'")


def test_the_studys_own_repository_counts(study: Path) -> None:
    head = committed(study)
    assert cited(study) == head
    (study / "README.md").write_text("no result depends on it")
    assert cited(study) == head
    (study / "analysis" / "new.py").write_text("")
    assert cited(study) == head + "-modified"
    (study / "analysis" / "new.py").unlink()
    (study / "notebooks" / "01.ipynb").write_text("changed")
    assert cited(study) == head + "-modified"


def test_a_repository_around_it_or_pointed_to_does_not(study: Path, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "file").write_text("")
    committed(tmp_path / "other")
    elsewhere = {"GIT_DIR": str(tmp_path / "other" / ".git")}
    assert cited(study, **elsewhere) is None
    committed(study.parent)
    assert cited(study) is None
    head = committed(study)
    assert cited(study, **elsewhere) == head


def test_a_repository_in_its_place_that_does_not_hold_it_does_not(study: Path) -> None:
    git(study, "init", "-q")
    git(study, "add", "pyproject.toml")
    git(study, "commit", "-q", "-m", "another study")
    assert cited(study) is None


def test_a_package_that_was_built_names_its_commit(study: Path) -> None:
    (study / "analysis" / sources.COMMIT_FILE).write_text("0123abcd 2026\n")
    committed(study)
    assert cited(study) == "0123abcd"


def test_without_git_there_is_no_commit(study: Path) -> None:
    committed(study)
    assert cited(study, PATH="") is None
