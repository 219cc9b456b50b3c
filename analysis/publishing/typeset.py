"""Text as HTML, set for readers: suits in their colours, an interval on one line."""

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


def text_html(markdown: str) -> str:
    """Markdown as HTML: headings with anchors, table files as links, suits coloured.

    An interval stays on one line.
    """
    html = re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html(markdown))
    for file in TABLE_FILES:
        name = f"<code>{file.path}</code>"
        html = html.replace(name, f'<a href="{table_link(file)}">{name}</a>')
    return with_suits(_INTERVAL.sub(r"(\1&nbsp;to&nbsp;\2)", html))


def table_link(file: TableFile) -> str:
    """Where a page finds a table file."""
    return f"{TABLES_FOLDER}/{file.path}"


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
