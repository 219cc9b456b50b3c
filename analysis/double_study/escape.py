"""Text from outside as text: one escape for each language that it is put into.

A name of a file, an argument or a key may hold anything. What is written in HTML, Markdown or
BibTeX, or said on a terminal, passes through the one of these that belongs there, where it is put out.
Escapes leave ordinary text, letters of every script and suit symbols among it, as it is.
"""

from __future__ import annotations

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
_MARKDOWN = re.compile(r"[\\`*_{}\[\]<>()#|~$!&@]|:(?=//)|(?<=www)\.", re.IGNORECASE)
"""What begins or ends markup within a line, or makes a link."""


def terminal(text: str) -> str:
    """``text`` in one line that moves no cursor and turns no direction.

    Whatever is not printed (control characters, line ends, marks of direction, halves of a
    character) is shown by its number, as Python writes it.
    """
    return "".join(
        each if each.isprintable() else each.encode("unicode_escape", "surrogatepass").decode()
        for each in text
    )


def html(text: str) -> str:
    """``text`` within an element or a quoted attribute of HTML, line by line."""
    return "\n".join(standard.escape(terminal(line)) for line in text.split("\n"))


def markdown(text: str) -> str:
    """``text`` within a line of Markdown, a cell of a table among them."""
    return _MARKDOWN.sub(lambda found: f"\\{found[0]}", terminal(text))


def bibtex(text: str) -> str:
    """``text`` within the braces of a field of BibTeX."""
    return "".join(_TEX.get(each, each) for each in terminal(text))
