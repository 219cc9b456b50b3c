"""Output reaches its reader, or the command fails with one line: never half of it, never a traceback."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from double_study import datapackage
from double_study.agreements.reader import load
from double_study.cli.main import main
from double_study.tables import TABLE_FILES
from shared.complaints import complaint
from shared.obstacles import full_disk

STUDY = [sys.executable, "-m", "double_study"]
SLOW_TO_IMPORT = ("scipy.stats", "matplotlib", "seaborn", "nbformat", "nbconvert", "distributed")


@pytest.mark.parametrize("words", [["agreement", "--settings"], ["--help"]])
def test_a_full_disk_behind_standard_output_is_a_failure(words: list[str]) -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run([*STUDY, *words], stdout=full, stderr=subprocess.PIPE, text=True)  # noqa: S603
    assert done.returncode == 1
    assert done.stderr.startswith("double-study: No space left on device")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("words", [["agreement", "--settings"], ["--help"]])
def test_a_closed_reader_ends_a_command_quietly(words: list[str]) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run([*STUDY, *words], stdout=writer, stderr=subprocess.PIPE)  # noqa: S603
    os.close(writer)
    assert done.returncode == 1
    assert done.stderr == b""


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("<&-", ["quiz", "--questions", "1"]),
        (">&-", ["agreement"]),
        ("2>&-", ["count", "--deals", "x"]),
    ],
)
def test_a_closed_stream_is_empty(how: str, words: list[str]) -> None:
    line = ["sh", "-c", f'exec "$@" {how}', "sh", *STUDY, *words]
    done = subprocess.run(line, capture_output=True)  # noqa: S603
    assert done.returncode == (2 if "count" in words else 0)
    assert done.stderr == b""


@pytest.mark.parametrize(
    "command",
    ["count --deals 1e4 --workers 1 --out out", "boards --deals 1e5 --number 4 --out out/lesson"],
)
def test_a_full_disk_leaves_what_was_there(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    with full_disk(2_000):
        assert main(command.split()) == 1
    *_, line = capsys.readouterr().err.splitlines()
    assert line.startswith("double-study: ")
    assert line.endswith("File too large; not all results were written")
    assert not list(tmp_path.iterdir())


def test_one_worker_is_one_thread() -> None:
    """Of linear algebra, too, which would use a thread a processor."""
    ask = (
        "import psutil; from double_study.cli.main import main; main(['agreement']); import numpy; "
        "numpy.ones((500, 500)) @ numpy.ones((500, 500)); print(psutil.Process().num_threads())"
    )
    environment = {name: value for name, value in os.environ.items() if "NUM_THREADS" not in name}
    said = subprocess.check_output([sys.executable, "-c", ask], text=True, env=environment)  # noqa: S603
    assert said.splitlines()[-1] == "1"


def test_help_waits_for_no_slow_library() -> None:
    def loaded(ask: str) -> set[str]:
        ask = f"import sys; from double_study.cli.main import *; {ask}; print(*sys.modules)"
        return set(subprocess.check_output([sys.executable, "-c", ask], text=True).split())  # noqa: S603

    assert not {"numpy", "pandas"} & loaded("every_command()")
    assert not {*SLOW_TO_IMPORT} & loaded("[command_parser(name) for name in COMMANDS]")


def test_what_is_wrong_with_a_long_place_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    place = "/nowhere/" + "x" * 150 + "/mine.toml"
    said = complaint(["count", "--agreement", place], capsys)
    assert said.startswith("double-study: agreement /nowhere/xxx")
    assert "xxx/mine.toml: No such file or directory; allowed: a readable TOML file" in said


@pytest.mark.parametrize(
    "command",
    [
        "count --deals 1e4 --workers 1 --out",
        "boards --deals 1e5 --number 1 --out",
        "agreement --new",
    ],
)
def test_where_results_are_is_said_in_one_line_that_moves_no_cursor(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(datapackage, "TABLE_FILES", TABLE_FILES[:1])
    monkeypatch.setattr("sys.stdin", io.StringIO("\x1b[31m\n" + "\n" * 20))
    place = "a\x1b[31m\n[hand]\u202e.toml"
    assert main([*command.split(), place]) == 0
    said = capsys.readouterr().out
    assert r"a\x1b[31m\n[hand]\u202e.toml" in said.splitlines()[-1]
    assert said.replace("\n", "").isprintable()
    if (tmp_path / place).is_file():
        load(place)
