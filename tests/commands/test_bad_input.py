"""Bad input: status 2, one line that says what is wrong and what is allowed, nothing written."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from double_study.cli import report
from shared.bad_commands import BAD_ADDRESSES, BAD_COMMANDS, BAD_FILES, BAD_FOLDERS
from shared.commands import complaint


@pytest.fixture(autouse=True)
def _places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Make the current folder that :mod:`shared.bad_commands` speaks of, which stays as it is."""
    monkeypatch.chdir(tmp_path)
    Path("taken").write_text("a file")
    Path("folder").mkdir()
    os.mkfifo("pipe")
    Path("loop").symlink_to("loop")
    Path("nowhere").symlink_to("missing")
    before = set(tmp_path.rglob("*"))
    yield
    assert set(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(("command", "expected"), BAD_COMMANDS)
def test_bad_commands(command: str, expected: str) -> None:
    assert expected in complaint(command)


REFUSED = {"out": BAD_FOLDERS, "store": BAD_FILES, "cluster": BAD_ADDRESSES}


@pytest.mark.parametrize(
    ("option", "place"), [(option, place) for option in REFUSED for place in REFUSED[option]]
)
def test_places_that_cannot_be_used(
    option: str, place: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What is not there stays silent.
    monkeypatch.setattr("double_study.counting.cluster.SECONDS", 0.2)
    line = complaint(["count", "--deals", "100", "--out", "out", f"--{option}={place}"])
    assert option in line
    assert "; allowed: " in line


@pytest.mark.parametrize("options", ["--store taken", "--store missing/x", "--cluster here"])
def test_a_report_is_refused_before_the_minutes_of_exact_work(
    options: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report, "compute_exact", lambda *_, **__: pytest.fail("begun"))
    assert options.split()[0].lstrip("-") in complaint(f"report {options}")
