"""The commit that a run cites is that of the study's own files, or none."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest
from double_study import sources
from shared.commands import python

PACKAGE = "analysis/double_study"
ASK = "from double_study.sources import commit; print(commit())"


def git(folder: Path, *words: str, said: bytes | None = None) -> str:
    identity = ("-c", "user.name=n", "-c", "user.email=e")
    command = ["git", "-C", str(folder), *identity, *words]
    return subprocess.run(command, check=True, capture_output=True, input=said).stdout.decode()  # noqa: S603


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Return a small copy of the study in a folder, in no repository."""
    folder = tmp_path / "around" / "study"
    (folder / PACKAGE).mkdir(parents=True)
    shutil.copy(sources.PACKAGE / "sources.py", folder / PACKAGE)
    for name in (f"{PACKAGE}/__init__.py", "notebooks/01.ipynb", "pyproject.toml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text("")
    return folder


def committed(folder: Path, what: str = "-A") -> str:
    git(folder, "init", "-q")
    git(folder, "add", what)
    git(folder, "commit", "-q", "-m", "all")
    return git(folder, "rev-parse", "HEAD").strip()


def cited(study: Path, program: str = ASK, **environment: str) -> str | None:
    """Return the commit that a fresh process cites, or what another program prints there."""
    environment = os.environ | {"PYTHONPATH": str(study / "analysis")} | environment
    said = python("-B", "-c", program, cwd=study.parent, env=environment).strip()
    return None if said == "None" else said.strip("()").split(",")[0].strip("'")


def test_the_studys_own_repository_counts(study: Path) -> None:
    head = committed(study)
    assert cited(study) == head
    (study / "README.md").write_text("no result depends on it")
    assert cited(study) == head
    (study / PACKAGE / "new.py").write_text("")
    assert cited(study) == head + "-modified"
    (study / PACKAGE / "new.py").unlink()
    (study / "notebooks" / "01.ipynb").write_text("changed")
    assert cited(study) == head + "-modified"


def test_the_users_settings_of_git_hide_nothing(study: Path, tmp_path: Path) -> None:
    head = committed(study)
    (tmp_path / "ignored").write_text("*.py\n")
    (tmp_path / ".gitconfig").write_text(
        f"[core]\nexcludesFile = {tmp_path}/ignored\n[status]\nshowUntrackedFiles = no\n"
        "branch = true\nshowStash = true\n[color]\nui = always\n[log]\nshowSignature = true\n"
    )
    assert cited(study, HOME=str(tmp_path)) == head
    (study / PACKAGE / "new.py").write_text("")
    assert cited(study, HOME=str(tmp_path)) == head + "-modified"


def test_what_is_committed_after_it_was_loaded_is_not_what_ran(study: Path) -> None:
    committed(study)
    commit_a_change = (
        "import subprocess; from pathlib import Path; "
        "Path('study/analysis/double_study/new.py').write_text(''); "
        "git = 'git -c user.name=n -c user.email=e -C study '.split(); "
        "subprocess.run([*git, 'add', '-A']); subprocess.run([*git, 'commit', '-q', '-m', 'new'])"
    )
    said = cited(study, ASK.replace("; ", f"; {commit_a_change}; "))
    assert said is not None
    assert said.endswith("-modified")
    assert cited(study) == said.removesuffix("-modified")


def test_a_signed_commit_is_cited_by_its_number(study: Path, tmp_path: Path) -> None:
    (tmp_path / ".gitconfig").write_text("[log]\nshowSignature = true\n")
    committed(study)
    # Signed by nobody: git says so before it shows the commit.
    head, _, message = git(study, "cat-file", "commit", "HEAD").partition("\n\n")
    signed = f"{head}\ngpgsig -----BEGIN SSH SIGNATURE-----\n none\n\n{message}".encode()
    made = git(study, "hash-object", "-w", "-t", "commit", "--stdin", said=signed).strip()
    git(study, "reset", "-q", "--soft", made)
    assert cited(study, HOME=str(tmp_path)) == made


def test_a_folder_whose_name_is_no_text_has_its_commit(study: Path, tmp_path: Path) -> None:
    head = committed(study)
    assert cited(study.rename(tmp_path / "\udcff")) == head


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
    committed(study, "pyproject.toml")
    assert cited(study) is None


def test_a_package_that_was_built_names_its_commit_and_whether_it_was_changed(study: Path) -> None:
    digest = cited(study, "from double_study.sources import SOURCES; print(SOURCES)")
    (study / PACKAGE / sources.COMMIT_FILE).write_text(f"0123abcd 2026 {digest}\n")
    committed(study)
    assert cited(study) == "0123abcd"
    (study / PACKAGE / ".#editing.py").symlink_to("nowhere")
    assert cited(study) == "0123abcd"
    (study / PACKAGE / "settings.toml").write_text("")
    assert cited(study) == "0123abcd-modified"


def test_without_git_there_is_no_commit(study: Path) -> None:
    committed(study)
    assert cited(study, PATH="") is None
