"""Output reaches its reader, or the command fails with one line: never half of it, never a traceback."""

import os
import subprocess
import sys
from contextlib import chdir
from pathlib import Path
from typing import Any

import pytest
from double_study import datapackage
from double_study.agreements.reader import load
from double_study.tables import TABLE_FILES
from shared.commands import complaint, python, ran, said
from shared.obstacles import full_disk

SLOW_TO_IMPORT = {"scipy.stats", "matplotlib", "seaborn", "nbformat", "nbconvert", "distributed"}


def study(command: str, **how: Any) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, "-m", "double_study", *command.split()]
    return subprocess.run(words, stderr=subprocess.PIPE, text=True, **how)  # noqa: S603


@pytest.mark.parametrize("command", ["agreement --settings", "--help"])
def test_a_full_disk_behind_standard_output_is_a_failure(command: str) -> None:
    with open("/dev/full", "w") as full:
        done = study(command, stdout=full)
    assert done.returncode == 1
    assert done.stderr.startswith("double-study: No space left on device")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("command", ["agreement --settings", "--help"])
def test_a_closed_reader_ends_a_command_quietly(command: str) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = study(command, stdout=writer)
    os.close(writer)
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.parametrize(
    ("how", "command", "status"),
    [("<&-", "quiz --questions 1", 0), (">&-", "agreement", 0), ("2>&-", "count --deals x", 2)],
)
def test_a_closed_stream_is_empty(how: str, command: str, status: int) -> None:
    line = ["sh", "-c", f"{sys.executable} -m double_study {command} {how}"]
    done = subprocess.run(line, capture_output=True)  # noqa: S603
    assert (done.returncode, done.stderr) == (status, b"")


WRITES = ["count --deals 1e4 --workers 1 --out", "boards --deals 1e5 --number 4 --out"]


@pytest.mark.parametrize("command", WRITES)
def test_a_full_disk_leaves_what_was_there(command: str, tmp_path: Path) -> None:
    with chdir(tmp_path), full_disk(2_000):
        status, _, err = ran(f"{command} out/here")
    assert status == 1
    *_, line = err.splitlines()
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
    assert python("-c", ask, env=environment).splitlines()[-1] == "1"


def test_help_waits_for_no_slow_library() -> None:
    def loaded(ask: str) -> set[str]:
        ask = f"import sys; from double_study.cli.main import *; {ask}; print(*sys.modules)"
        return set(python("-c", ask).split())

    assert not {"numpy", "pandas"} & loaded("every_command()")
    assert not SLOW_TO_IMPORT & loaded("[command_parser(name) for name in COMMANDS]")


def test_what_is_wrong_with_a_long_place_is_said() -> None:
    line = complaint(f"count --agreement /nowhere/{'x' * 150}/mine.toml")
    assert line.startswith("double-study: agreement /nowhere/xxx")
    assert "xxx/mine.toml: No such file or directory; allowed: a readable TOML file" in line


@pytest.mark.parametrize("command", [*WRITES, "agreement --new"])
def test_where_results_are_is_said_in_one_line_that_moves_no_cursor(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(datapackage, "TABLE_FILES", TABLE_FILES[:1])
    place = "a\x1b[31m\n[hand]\u202e.toml"
    told = said([*command.split(), place], typed="\x1b[31m\n" + "\n" * 20)
    assert r"a\x1b[31m\n[hand]\u202e.toml" in told.splitlines()[-1]
    assert told.replace("\n", "").isprintable()
    if (tmp_path / place).is_file():
        load(place)
