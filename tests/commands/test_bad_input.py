"""Bad input: status 2, one line that says what is wrong and what is allowed, nothing written."""

import os
import shlex
from pathlib import Path

import pytest
from double_study.cli import report
from shared.bad_commands import BAD_ADDRESSES, BAD_COMMANDS, BAD_FILES, BAD_FOLDERS
from shared.complaints import complaint


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> set[Path]:
    """Return what is in the current folder, the one that :mod:`shared.bad_commands` speaks of."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "nowhere").symlink_to("missing")
    return set(tmp_path.rglob("*"))


@pytest.mark.parametrize(("command", "expected"), BAD_COMMANDS)
def test_bad_commands(
    command: str, expected: str, places: set[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert expected in complaint(shlex.split(command), capsys)
    assert set(Path.cwd().rglob("*")) == places


@pytest.mark.parametrize(
    ("option", "place"),
    [
        (option, place)
        for option, refused in (
            ("--out", BAD_FOLDERS),
            ("--store", BAD_FILES),
            ("--cluster", BAD_ADDRESSES),
        )
        for place in refused
    ],
)
def test_places_that_cannot_be_used(
    option: str,
    place: str,
    places: set[Path],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    # What is not there stays silent.
    monkeypatch.setattr("double_study.counting.cluster.SECONDS", 0.2)
    line = complaint(["count", "--deals", "100", "--out", "out", f"{option}={place}"], capsys)
    assert option.lstrip("-") in line
    assert "; allowed: " in line
    assert set(Path.cwd().rglob("*")) == places


@pytest.mark.parametrize("options", ["--store taken", "--store missing/x", "--cluster here"])
def test_a_report_is_refused_before_the_minutes_of_exact_work(
    options: str,
    places: set[Path],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(report, "compute_exact", lambda *_, **__: pytest.fail("begun"))
    assert options.split()[0].lstrip("-") in complaint(["report", *options.split()], capsys)
    assert set(Path.cwd().rglob("*")) == places
