"""Escapes for text from outside: names of files, arguments, keys, which may contain anything.

Apply each where the text is written. Ordinary text, letters of every script and suit symbols
are unchanged.
"""

import html as standard
import re

_TEX = {
    "\\": r"\textbackslash{}",
    "{": r"\{",
    "}": r"\}",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
    **{mark: f"\\{mark}" for mark in "#$%&_"},
}
_LONGEST = 60
_MARKDOWN = re.compile(r"[\\`*_{}\[\]<>()#|~$!&@]|:(?=//)|(?<=www)\.", re.IGNORECASE)
"""What starts or ends markup within a line, or makes a link."""


def terminal(text: str) -> str:
    """Return ``text`` for a terminal, in one line.

    Characters that are not printable (control characters, line ends, direction marks, lone
    surrogates) are replaced by Python's escapes.
    """
    return "".join(
        each if each.isprintable() else each.encode("unicode_escape", "surrogatepass").decode()
        for each in text
    )


def shortened(text: str) -> str:
    """Return a text for a message: its beginning, if it is longer than a reader needs."""
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"


def quoted(given: object) -> str:
    """Return what a user gave, in quotes for a message: on one line and shortened."""
    return repr(shortened(str(given)))


def html(text: str) -> str:
    """Return ``text`` for an element or a quoted attribute of HTML, line by line."""
    return "\n".join(standard.escape(terminal(line)) for line in text.split("\n"))


def markdown(text: str) -> str:
    """Return ``text`` for a line of Markdown or a cell of a table."""
    return _MARKDOWN.sub(lambda found: f"\\{found[0]}", terminal(text))


def bibtex(text: str) -> str:
    """Return ``text`` for the braces of a BibTeX field."""
    return "".join(_TEX.get(each, each) for each in terminal(text))
