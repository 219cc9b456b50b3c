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


class DoesNotApply(Exception):
    """A notebook's page ends here, because it is about something that the run does not have.

    The text is one sentence in Markdown. A report ends the page with it; Jupyter shows it and stops.
    """

    def _render_traceback_(self) -> list[str]:
        """Return what Jupyter shows in place of a traceback."""
        return [str(self)]
