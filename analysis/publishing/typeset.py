"""Text and tables as HTML, set for readers: suits in their colours, columns of words to the left."""

from __future__ import annotations

import re

from nbconvert.filters import markdown2html

from analysis.cards.bids import DIAMONDS, HEARTS, SUIT_SYMBOLS
from analysis.telling.tables.files import TABLE_FILES, TABLES_FOLDER
from analysis.telling.tables.table_file import TableFile

_AS_TEXT = "\ufe0e"
"""Variation selector 15: asks for the plain symbol where a screen would draw a coloured one."""
_NUMBER = r"[-−+]?\d[\d,.]*(?:e[-+]\d+)?%?"
_INTERVAL = re.compile(rf"\(({_NUMBER}) to ({_NUMBER})\)")
_NUMBERS = re.compile(rf"({_NUMBER}|[-–]?|inf|NaN)( \(.*\))?")
_CELL = re.compile(r"<(t[dh])\b([^>]*)>(.*?)</\1>", re.S)


def text_html(markdown: str) -> str:
    """Markdown as HTML: headings with anchors, table files as links, the rest as :func:`typeset`."""
    html = re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html(markdown))
    for file in TABLE_FILES:
        name = f"<code>{file.path}</code>"
        html = html.replace(name, f'<a href="{table_link(file)}">{name}</a>')
    return typeset(html)


def table_link(file: TableFile) -> str:
    """Where a page finds a table file."""
    return f"{TABLES_FOLDER}/{file.path}"


def typeset(html: str) -> str:
    """``html`` with columns of words marked, an interval kept on one line, suits coloured."""
    html = re.sub(r"<table\b.*?</table>", lambda table: _words_marked(table[0]), html, flags=re.S)
    return with_suits(_INTERVAL.sub(r"(\1&nbsp;to&nbsp;\2)", html))


def with_suits(html: str) -> str:
    """``html`` with every suit symbol of its text black or red, as on the cards."""
    for_suit = {
        symbol: f'<span class="{"red" if suit in (DIAMONDS, HEARTS) else "black"}-suit">'
        f"{symbol}{_AS_TEXT}</span>"
        for suit, symbol in enumerate(SUIT_SYMBOLS)
    }
    pieces = re.split(r"(<[^>]*>)", html)
    for at in range(0, len(pieces), 2):  # text; tags are at the odd places
        pieces[at] = re.sub(
            f"([{''.join(SUIT_SYMBOLS)}])[\ufe0e\ufe0f]?", lambda m: for_suit[m[1]], pieces[at]
        )
    return "".join(pieces)


def _words_marked(table: str) -> str:
    """``table`` with the class ``words`` on every cell of a column that holds no numbers."""
    head, _, body = table.partition("</thead>")
    columns: dict[int, list[str]] = {}
    for row in body.split("</tr>"):
        for at, cell in enumerate(_CELL.findall(row)):
            columns.setdefault(at, []).append(re.sub(r"<[^>]*>", "", cell[2]).strip())
    words = {at for at, cells in columns.items() if not all(map(_NUMBERS.fullmatch, cells))}

    def row_marked(row: str) -> str:
        at = 0

        def cell_marked(cell: re.Match[str]) -> str:
            nonlocal at
            wide = re.search(r'colspan="(\d+)"', cell[2])
            here, at = at, at + (int(wide[1]) if wide else 1)
            mark = ' class="words"' if here in words and not wide else ""
            return f"<{cell[1]}{cell[2]}{mark}>{cell[3]}</{cell[1]}>"

        return _CELL.sub(cell_marked, row)

    return "</tr>".join(map(row_marked, f"{head}</thead>{body}".split("</tr>")))
