"""Commands of the study run in this process, programs in another: what they say."""

import io
import shlex
import subprocess
import sys
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from typing import Any, NamedTuple, TypeVar
from unittest.mock import patch

from double_study.cli.main import BAD_INPUT, LONGEST_LINE, main
from double_study.errors import InputError

T = TypeVar("T")
Words = str | Sequence[str]
"""A command as in a shell, or its words."""


class Ran(NamedTuple):
    status: int
    out: str
    err: str


def ran(command: Words, typed: str = "") -> Ran:
    """Run a command while this is typed, and return its status and what it printed."""
    words = shlex.split(command) if isinstance(command, str) else command
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err), patch("sys.stdin", io.StringIO(typed)):
        try:
            status = main(words)
        except SystemExit as left:  # after --help and --version
            status = int(left.code or 0)
    return Ran(status, out.getvalue(), err.getvalue())


def said(command: Words, typed: str = "") -> str:
    """Return what a command prints, which must succeed."""
    status, out, err = ran(command, typed)
    assert status == 0, err
    return out


def complaint(command: Words, typed: str = "") -> str:
    """Return the one line with which a command refuses bad input."""
    status, out, err = ran(command, typed)
    assert (status, out) == (BAD_INPUT, "")
    assert err.startswith("double-study: ")
    assert err.count("\n") == 1
    assert err.rstrip("\n").isprintable()
    assert len(err) <= LONGEST_LINE + 1
    return err


def read_or_refused(read: Callable[[], T]) -> T | None:
    """Return what is read, or None after one line that says what is allowed; no other error passes."""
    try:
        return read()
    except InputError as refused:
        line = str(refused)
    assert len(line.splitlines()) == 1
    assert "allowed: " in line
    return None


def python(*words: str, **how: Any) -> str:
    """Return what this Python prints in a process of its own."""
    return subprocess.check_output([sys.executable, *words], text=True, **how)  # noqa: S603
