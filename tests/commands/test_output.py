"""What is said reaches its reader, or the command fails: never half of it, never a traceback."""

import os
import resource
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from analysis.__main__ import COMMANDS, LONGEST_LINE, main

STUDY = [sys.executable, "-m", "analysis"]
SLOW_TO_IMPORT = ("scipy.stats", "matplotlib", "seaborn", "nbformat", "nbconvert", "distributed")


@pytest.mark.parametrize("words", [["agreement", "--settings"], ["--help"], ["ask", "--help"]])
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


@contextmanager
def full_disk() -> Iterator[None]:
    """A limit on the size of files stands for it: a write fails half-way just the same."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (2_000, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize(
    "command",
    [
        "count --deals 1e4 --workers 1 --out out",
        "boards --deals 1e5 --number 4 --out out/lesson",
    ],
)
def test_a_full_disk_leaves_what_was_there(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    with full_disk():
        assert main(command.split()) == 1
    *_, line = capsys.readouterr().err.splitlines()
    assert line.startswith("double-study: ")
    assert line.endswith("File too large; the results were not written")
    assert not list(tmp_path.iterdir())


def test_help_waits_for_no_slow_library() -> None:
    ask = (
        "import sys; from analysis.__main__ import COMMANDS, command_parser, every_command; "
        "every_command(); [command_parser(name) for name in COMMANDS]; print(*sys.modules)"
    )
    loaded = subprocess.check_output([sys.executable, "-c", ask], text=True).split()  # noqa: S603
    assert not set(SLOW_TO_IMPORT) & set(loaded)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_complaint_is_one_line_of_a_length_that_is_read(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    word = "--no\x1b[31m\n\t\u202e" + "x" * 10_000
    assert main([command, word]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert said.rstrip("\n").isprintable()
    assert len(said) <= LONGEST_LINE + 1
