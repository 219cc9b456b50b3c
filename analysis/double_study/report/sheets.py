"""Write boards as sheets to print, as Markdown and as a page to send.

Questions show only the hand asked and the auction so far; answers have all four hands in the
compass form that books use.
"""

from collections.abc import Container, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any

from markupsafe import Markup

from double_study.cards.bids import NOTRUMP, SUIT_SYMBOLS, SUITS, Bid, legal_calls
from double_study.cards.notation import holding_shown, with_suits
from double_study.escape import markdown
from double_study.lessons.board import COMPASS, Board
from double_study.lessons.board_answers import ALERTING, called, spoken, why
from double_study.lessons.pbn import TITLE, pbn
from double_study.lessons.practice import Practice
from double_study.lessons.teachable import CLAUSES
from double_study.report.typeset import FOLDER, TEMPLATES, filled

AGAIN = "How to make these boards again"
ENDINGS = (".pbn", ".html", ".md")
"""The endings of the three files that contain the boards."""


def write(folder: Path, name: str, practice: Practice, boards: Sequence[Board]) -> None:
    """Write boards with each of :data:`ENDINGS`: for a dealing machine, for print, as plain text."""
    by = practice.agreement.name
    contents = (
        pbn(boards),
        sheet_html(TITLE, boards, introduction(practice, by), again=True),
        sheet_markdown(boards, TITLE, introduction(practice, markdown(by)), again=True),
    )
    for ending, content in zip(ENDINGS, contents, strict=True):
        (folder / f"{name}{ending}").write_bytes(content.encode())


def introduction(practice: Practice, agreement: str) -> list[str]:
    """Return what the boards are, in paragraphs; ``agreement`` is its name, escaped."""
    shown = {"practice": practice, "agreement": agreement, "clauses": CLAUSES}
    return filled("introduction", **shown, alerting=ALERTING).split("\n\n")


def page(template: str, title: str, **values: Any) -> str:
    """Return a self-contained page of HTML from a template and the style sheets."""
    css = "".join((FOLDER / name).read_text("utf-8") for name in ("page.css", "sheet.css"))
    shown = {"title": title, "css": Markup(css)}  # noqa: S704 -- the study's own
    return with_suits(TEMPLATES.get_template(template).render(shown | values))


def sheet_html(
    title: str,
    boards: Sequence[Board],
    introduction: Sequence[str] = (),
    parts: Container[str] = ("questions", "answers"),
    again: bool = False,
) -> str:
    """Return boards as a page to print: the ``parts`` requested, and a foot that says how to repeat them."""
    shown = {"introduction": introduction, "boards": boards, "parts": parts}
    return page("sheet.html", title, **shown, again=again and AGAIN)


def sheet_markdown(
    boards: Sequence[Board], title: str = "", introduction: Sequence[str] = (), again: bool = False
) -> str:
    """Return the questions and answers in Markdown; without a title there are no headings either."""
    shown = {"title": title, "introduction": introduction, "boards": boards}
    return filled("sheet", **shown, again=again and AGAIN) + "\n"


def homework_html(title: str, boards: Sequence[Board], foot: str) -> str:
    """Return questions as one page to send: a hand at a time, call buttons, the answer, the score.

    It needs nothing else, and without a script or in print it shows every hand, and the answers last.
    """
    return page("homework.html", title, boards=boards, rows_of=_buttons, foot=foot)


def _buttons(board: Board) -> list[list[str]]:
    """Return the calls to choose from: a pass, a double if it is legal, and bids to level 4, row
    by row.
    """
    highest = max([Bid(4, NOTRUMP), *([board.call] if isinstance(board.call, Bid) else [])])
    legal = legal_calls(board.before, highest)
    rows = groupby(legal, lambda call: call.level if isinstance(call, Bid) else 0)
    return [[spoken(call) for call in row] for _, row in rows]


def suits(cards: int) -> list[tuple[str, str]]:
    """Return each suit of a hand, from spades to clubs: its symbol and its ranks."""
    return [(SUIT_SYMBOLS[suit], holding_shown(cards, suit, " ")) for suit in reversed(SUITS)]


def auction_rows(board: Board, calls: Sequence[str]) -> list[list[str]]:
    """Return an auction in rows from West to South, as books print it."""
    cells = [""] * ((board.dealer + 1) % 4) + [*calls]
    cells += [""] * (-len(cells) % 4)
    return [cells[at : at + 4] for at in range(0, len(cells), 4)]


def compass_text(board: Board) -> str:
    north, east, south, west = (
        [place, *(f"{symbol} {held}" for symbol, held in suits(cards))]
        for place, cards in zip(COMPASS, board.hands, strict=True)
    )
    wide = max(map(len, west)) + 2
    centre = max(map(len, north + south)) + 2
    middle = [f"{left:{wide + centre}}{right}" for left, right in zip(west, east, strict=True)]
    above, below = ([" " * wide + line for line in lines] for lines in (north, south))
    return "\n".join(line.rstrip() for line in (*above, "", *middle, "", *below))


TEMPLATES.filters["spoken"] = spoken
TEMPLATES.globals |= {
    "places": ("West", "North", "East", "South"),
    "compass": COMPASS,
    "suits": suits,
    "auction_rows": auction_rows,
    "compass_text": compass_text,
    "called": called,
    "why": why,
}
