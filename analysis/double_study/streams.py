"""Standard streams that the caller has closed, or that lead to a full disk."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, suppress
from typing import Any, TextIO, cast


def open_closed_streams() -> None:
    """Have every standard stream open, so that no file of the study's gets the number of one.

    Where input or errors are closed there is nothing to read, and nobody is told. Closed output is
    like that of a reader who has left.
    """
    if sys.stdin is None:
        sys.stdin = open(os.devnull)
    if sys.stdout is None:
        reader, writer = os.pipe()
        os.close(reader)
        sys.stdout = open(writer, "w")
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")


def say_no_more(stream: TextIO) -> None:
    """Have what a stream still holds and is given go nowhere, in place of a complaint at the end."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


@contextmanager
def errors_unheeded() -> Iterator[None]:
    """Within, no result is lost because standard error cannot be written, such as a log on a full disk.

    A reader who has left is another matter.
    """
    with redirect_stderr(cast(TextIO, _Unheeded(sys.stderr))):
        yield


class _Unheeded:
    """A stream that gives up what it cannot write."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> None:
        with self._given_up():
            self._stream.write(text)

    def flush(self) -> None:
        with self._given_up():
            self._stream.flush()

    @contextmanager
    def _given_up(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:
            raise
        except OSError:
            say_no_more(self._stream)
