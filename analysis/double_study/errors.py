"""The errors that end a command with one line."""


class InputError(Exception):
    """Input that cannot be used. The text is one line: what is wrong and what is allowed.

    Not a ``ValueError``, because argument parsers and file readers catch that and put their own, less
    helpful words in its place.
    """


class Failure(Exception):
    """A failure of the study itself, which wrote nothing. The text is one line: what failed and where."""


class Interrupted(KeyboardInterrupt):
    """The end of a run by Ctrl-C. The text is one line: what was saved, and how to resume."""


class DoesNotApply(Exception):
    """The early end of a notebook's page about something that the run does not have.

    The text is one sentence in Markdown. A report ends the page with it; Jupyter shows it and stops.
    """

    def _render_traceback_(self) -> list[str]:
        """Return what Jupyter shows in place of a traceback."""
        return [str(self)]
