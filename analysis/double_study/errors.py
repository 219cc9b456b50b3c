"""The errors that end a command with one line."""

from __future__ import annotations


class InputError(Exception):
    """Input that cannot be used; the text is one line: what is wrong and what is allowed.

    Not a ``ValueError``, which argument parsers and readers of files catch to put their own, less
    helpful words in its place.
    """


class Failure(Exception):
    """The study itself failed and nothing was written; the text is one line: what failed and where."""


class Interrupted(KeyboardInterrupt):
    """The user stopped a run by Ctrl-C; the text is one line: what was saved, and how to resume."""
