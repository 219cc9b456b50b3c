"""Bad input: status 2, one line that says what is wrong and what is allowed, nothing written."""

import os
from pathlib import Path

import pytest
from double_study.cli import report
from double_study.cli.main import BAD_INPUT, LONGEST_LINE, main
from shared.bad_places import BAD_ADDRESSES, BAD_FILES, BAD_FOLDERS

BAD_OPTIONS = [
    ("", "required: COMMAND"),
    ("recount", "invalid choice: 'recount'"),
    ("count --deals", "--deals expected one argument"),
    ("count --deals none", "--deals none is not a whole number from 1"),
    ("count --deals 0", "--deals 0 is not a whole number from 1"),
    ("count --deals -5", "--deals -5 is not a whole number from 1"),
    ("count --deals 1.5", "--deals 1.5 is not a whole number from 1"),
    ("count --deals nan", "--deals nan is not a whole number from 1"),
    ("count --deals inf", "--deals inf is not a whole number from 1"),
    ("count --deals 1e99", "--deals 1e99 is not a whole number from 1"),
    ("count --seed -1", "--seed -1 is not a whole number from 0"),
    ("count --seed 2.5", "--seed 2.5 is not a whole number from 0"),
    ("count --seed seven", "--seed seven is not a whole number from 0"),
    ("count --seed 1e30", "--seed 1e30 is not a whole number from 0"),
    ("count --workers 0", "--workers 0 is not a whole number from 1"),
    ("count --workers two", "--workers two is not a whole number from 1"),
    ("count --workers 100000", "--workers 100000 is not a whole number from 1"),
    ("count --deal 100", "unrecognized arguments: --deal"),
    ("count 1000", "unrecognized arguments: 1000"),
    ("count --agreement nowhere.toml", "agreement nowhere.toml"),
    ("count --agreement .", "agreement ."),
    ("count --out taken", "--out taken"),
    ("count --out taken/inside", "--out taken/inside"),
    ("how-often level==1 --to 0", "--to 0 is not a number from 0.000001 to below 1"),
    ("how-often level==1 --to 2", "--to 2 is not a number from 0.000001 to below 1"),
    ("how-often level==1 --to fine", "--to fine is not a number from 0.000001 to below 1"),
    ("how-often level==1 --to +0.1", "--to +0.1 is not a number from 0.000001 to below 1"),
    ("how-often level==1 --to ٠.١", "--to ٠.١ is not a number from 0.000001 to below 1"),
    ("how-often level==1 --to 0.1_", "--to 0.1_ is not a number from 0.000001 to below 1"),
    ("count --deals 10 --store taken", "taken"),
    ("count --deals 10 --store nowhere/run.store", "nowhere"),
    ("count --deals 10 --cluster here", "--cluster here"),
    ("compare", "required"),
    ("compare reference", "allowed"),
    ("compare reference nowhere", "agreement nowhere"),
    ("agreement --agreement nowhere", "agreement nowhere"),
    ("agreement --force", "--force has no effect alone; allowed: with --new"),
    ("agreement --new mine", "--new mine cannot be written; allowed: a name ending in .toml"),
    ("agreement --new nowhere/mine.toml", "allowed: a name ending in .toml, in a folder"),
    (f"agreement --new {'x' * 300}.toml", "File name too long; allowed: "),
    (
        "agreement --new mine.toml --settings",
        "--new starts from the reference, so it takes no other",
    ),
    ("agreement --new mine.toml --agreement through_2s", "--new starts from the reference"),
    ("report --deals many", "--deals many is not a whole number from 1"),
    ("report --workers -1", "--workers -1 is not a whole number from 1"),
    ("report --agreement nowhere.toml", "agreement nowhere.toml"),
    ("report --out taken", "--out taken"),
    ("cite folder", "folder: no report is there; allowed: "),
    ("cite taken", "taken"),
    ("exact --deals 100", "unrecognized arguments: --deals"),
    ("exact --agreement nowhere.toml", "agreement nowhere.toml"),
    ("exact --out taken", "--out taken"),
    ("count --seed=--", "--seed=--: the option has no value"),
    ("count --deals 1_0_", "--deals 1_0_ is not a whole number from 1"),
    ("count --deals _1", "--deals _1 is not a whole number from 1"),
    ("count --deals ٣", "--deals ٣ is not a whole number from 1"),
    ("count --deals 1e999999999", "is not a whole number from 1"),
    ("check --seed x", "--seed x is not a whole number from 0"),
    ("check --deals 0", "--deals 0 is not a whole number from 1"),
]


BAD_RUNS = [
    ("--store taken", "store "),
    ("--store nowhere/run.store", "store "),
    ("--cluster here", "--cluster here"),
]


@pytest.mark.parametrize(("options", "expected"), BAD_RUNS)
def test_a_report_is_refused_before_the_minutes_of_exact_work(
    options: str,
    expected: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("no store")
    monkeypatch.setattr(report, "compute_exact", lambda *_, **__: pytest.fail("begun"))
    assert expected in complaint(["report", *options.split()], capsys)
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]


def complaint(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Return the one line that a command answers bad input with."""
    assert main(arguments) == BAD_INPUT
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("double-study: ")
    assert said.err.count("\n") == 1
    return said.err


@pytest.mark.parametrize(("command", "expected"), BAD_OPTIONS)
def test_bad_options(
    command: str,
    expected: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file where a folder is asked for")
    assert expected in complaint(command.split(), capsys)
    assert [path.name for path in tmp_path.rglob("*")] == ["taken"]


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> set[Path]:
    """Return the folder that :mod:`shared.bad_places` speaks of, the current one, and what is in it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "nowhere").symlink_to("missing")
    return set(tmp_path.rglob("*"))


@pytest.mark.parametrize(
    ("option", "place"),
    [("--out", place) for place in BAD_FOLDERS]
    + [("--store", place) for place in BAD_FILES]
    + [("--cluster", place) for place in BAD_ADDRESSES],
)
def test_places_that_cannot_be_used(
    option: str,
    place: str,
    places: set[Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(
        "double_study.counting.cluster.SECONDS", 0.2
    )  # what is not there stays silent
    line = complaint(["count", "--deals", "100", "--out", "out", f"{option}={place}"], capsys)
    assert option.lstrip("-") in line
    assert "; allowed: " in line
    assert len(line) <= LONGEST_LINE + 1
    assert line.rstrip("\n").isprintable()
    assert set(tmp_path.rglob("*")) == places
