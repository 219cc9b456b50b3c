"""Write boards as sheets to print, as Markdown and as a page to send.

Questions show only the hand asked and the auction so far; answers have all four hands in the
compass form that books use.
"""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from nbconvert.filters import markdown2html

from double_study.cards.bids import (
    DIAMONDS,
    DOUBLE,
    HEARTS,
    NOTRUMP,
    PASS,
    SUIT_SYMBOLS,
    SUITS,
    Bid,
    Call,
)
from double_study.cards.notation import holding_shown
from double_study.datapackage import TABLES_FOLDER
from double_study.escape import markdown
from double_study.lessons.board import COMPASS
from double_study.lessons.lesson import Lesson, LessonBoard
from double_study.lessons.pbn import pbn
from double_study.lessons.text import (
    TITLE,
    answer,
    called,
    conditions,
    heading,
    introduction,
    question,
    source,
)
from double_study.shown import markdown_table
from double_study.tables import TABLE_FILES, Table

AGAIN = "How to make these boards again"
_AS_TEXT = "\ufe0e"
"""Variation selector 15: asks for the plain symbol where a screen would draw a coloured one."""
_NUMBER = r"[-−+]?\d[\d,.]*(?:e[-+]\d+)?%?"
_INTERVAL = re.compile(rf"\(({_NUMBER}) to ({_NUMBER})\)")


def text_html(markdown: str) -> str:
    """Return Markdown as HTML: headings with anchors, table files as links, suits coloured.

    An interval stays on one line.
    """
    html = re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html(markdown))
    for file in TABLE_FILES:
        name = f"<code>{file.path}</code>"
        html = html.replace(name, f'<a href="{table_link(file)}">{name}</a>')
    return with_suits(_INTERVAL.sub(r"(\1&nbsp;to&nbsp;\2)", html))


def table_link(file: Table) -> str:
    """Return the link from a page to a table file."""
    return f"{TABLES_FOLDER}/{file.path}"


def with_suits(html: str) -> str:
    """Return ``html`` with every suit symbol of its text black or red, as on the cards."""
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


ENDINGS = (".pbn", ".html", ".md")
"""The endings of the three files that contain the boards."""
_TEMPLATES = Path(__file__).parent / "templates"
_PLACES = ("West", "North", "East", "South")
"""The columns of an auction, as books print it."""
_ASKED = "?"


@dataclass(frozen=True)
class ShownHand:
    """A hand for print: where it sits, and from spades to clubs each suit's symbol and ranks."""

    place: str
    suits: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ShownBoard:
    """A board for print; the words are those of :mod:`double_study.lessons.text`."""

    item: LessonBoard

    @property
    def number(self) -> int:
        """The board's number."""
        return self.item.board.number

    @property
    def heading(self) -> str:
        """The board's title."""
        return heading(self.item)

    @property
    def conditions(self) -> str:
        """Return dealer and vulnerability."""
        return conditions(self.item)

    @property
    def question(self) -> str:
        """Return what is asked."""
        return question(self.item)

    @property
    def asked(self) -> int:
        """Where the hand asked sits, a position in COMPASS."""
        return self.item.asked_at

    @property
    def called(self) -> str:
        """The call that is right."""
        return called(self.item)

    @cached_property
    def why(self) -> str:
        """Return why the call is right, and what follows."""
        return answer(self.item).removeprefix(f"{self.called}. ")

    @property
    def source(self) -> str:
        """The seed and number of the deal, for the foot."""
        return source(self.item)

    @cached_property
    def hands(self) -> list[ShownHand]:
        """The four hands in the order of COMPASS."""
        return [
            ShownHand(
                place,
                tuple(
                    (SUIT_SYMBOLS[suit], holding_shown(cards, suit, " "))
                    for suit in reversed(SUITS)
                ),
            )
            for place, cards in zip(COMPASS, self.item.board.hands, strict=True)
        ]

    @property
    def before(self) -> list[list[str]]:
        """The auction up to the question, in rows from West to South."""
        return self._rows([*map(_shown, self.item.before), _ASKED])

    @property
    def auction(self) -> list[list[str]]:
        """The auction that the answer shows, in rows from West to South."""
        return self._rows([*map(_shown, self.item.calls)])

    @property
    def contract(self) -> str:
        """The final contract and its declarer; empty if the auction is not shown to its end."""
        if self.item.board.contract is None:
            return ""
        contract, declarer = self.item.board.contract
        bid = Bid.parse(contract.removesuffix("X")).symbol
        return f"{bid}{' doubled' * contract.endswith('X')} by {COMPASS[declarer]}"

    def _rows(self, calls: list[str]) -> list[list[str]]:
        width = len(_PLACES)
        first = _PLACES.index(COMPASS[self.item.board.dealer])
        cells = [""] * first + calls
        cells += [""] * (-len(cells) % width)
        return [cells[at : at + width] for at in range(0, len(cells), width)]


def _shown(call: Call) -> str:
    return call.symbol if isinstance(call, Bid) else call.symbol.capitalize()


def templates() -> Environment:
    """Return the study's templates; text in those for pages is escaped."""
    return Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=select_autoescape(["html"]),
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )


def page(template: str, title: str, **values: Any) -> str:
    """Return a self-contained page of HTML from a template and the style sheets."""
    css = "".join((_TEMPLATES / name).read_text("utf-8") for name in ("page.css", "sheet.css"))
    shown = {"title": title, "css": Markup(css), "places": _PLACES}  # noqa: S704 -- the study's own
    return with_suits(templates().get_template(template).render(shown | values))


def write(folder: Path, name: str, lesson: Lesson, items: list[LessonBoard]) -> None:
    """Write boards with each of :data:`ENDINGS`: for a dealing machine, for print, as plain text."""
    contents = (
        pbn(items).encode("ascii"),
        sheet_html(TITLE, items, introduction(lesson), again=True).encode(),
        sheet_markdown(TITLE, items, introduction(lesson, markdown), again=True).encode(),
    )
    for ending, content in zip(ENDINGS, contents, strict=True):
        (folder / f"{name}{ending}").write_bytes(content)


def sheet_html(
    title: str,
    items: Sequence[LessonBoard],
    introduced: Sequence[str] = (),
    parts: Container[str] = ("questions", "answers"),
    again: bool = False,
) -> str:
    """Return boards as a page to print: the ``parts`` requested, and a foot that says how to repeat them."""
    boards = [ShownBoard(item) for item in items]
    return page(
        "sheet.html",
        title,
        introduction=introduced,
        boards=boards,
        parts=parts,
        again=again and AGAIN,
    )


def sheet_markdown(
    title: str, items: Sequence[LessonBoard], introduced: Sequence[str] = (), again: bool = False
) -> str:
    """Return the questions and answers in Markdown."""
    boards = [ShownBoard(item) for item in items]
    parts = [f"# {title}", *introduced, "## The hands"]
    parts += [part for board in boards for part in question_markdown(board)]
    parts += ["## The answers"]
    parts += [part for board in boards for part in answer_markdown(board)]
    parts += [f"## {AGAIN}", again_markdown(boards)] if again else []
    return "\n\n".join(parts) + "\n"


def question_markdown(board: ShownBoard) -> list[str]:
    """Return the question of a board: the hand asked and the auction so far."""
    hand = board.hands[board.asked]
    return [
        f"### {board.heading}",
        f"{board.conditions}.",
        _block([f"{symbol} {held}" for symbol, held in hand.suits]),
        markdown_table([_PLACES, *board.before]),
        f"{board.question}",
    ]


def answer_markdown(board: ShownBoard) -> list[str]:
    """Return the answer of a board: the four hands, the auction, the words."""
    return [
        f"### {board.heading}: the answer",
        f"{board.conditions}.",
        _block(compass_text(board.hands)),
        markdown_table([_PLACES, *board.auction]),
        f"**{board.called}.** {board.why}",
        *([f"Contract: {board.contract}."] if board.contract else []),
    ]


def again_markdown(boards: list[ShownBoard]) -> str:
    """Return the seed and number of each board's deal, with the command that prints it, for the foot."""
    return "\n".join(f"- {markdown(board.source)}" for board in boards)


def compass_text(hands: list[ShownHand]) -> list[str]:
    """Return four hands (in the order of COMPASS) in compass form, line by line."""
    north, east, south, west = (_lines(hand) for hand in hands)
    wide = max(map(len, west)) + 2
    centre = max(map(len, north + south)) + 2
    middle = [f"{left:{wide + centre}}{right}" for left, right in zip(west, east, strict=True)]
    above, below = ([" " * wide + line for line in lines] for lines in (north, south))
    return [*above, "", *middle, "", *below]


def _lines(hand: ShownHand) -> list[str]:
    return [hand.place, *(f"{symbol} {held}" for symbol, held in hand.suits)]


def _block(lines: list[str]) -> str:
    return "\n".join(["```text", *(line.rstrip() for line in lines), "```"])


def homework_html(title: str, items: Sequence[LessonBoard], foot: str) -> str:
    """Return questions as one page to send: a hand at a time, call buttons, the answer, the score.

    It needs nothing else, and without a script or in print it shows every hand, and the answers last.
    """
    boards = [ShownBoard(item) for item in items]
    return page("homework.html", title, boards=boards, rows_of=_buttons, foot=foot)


def _buttons(board: ShownBoard) -> list[list[str]]:
    """Return the calls to choose from: a pass, a double if it is legal, and bids to level 4, row
    by row.
    """
    last = max(call for call in board.item.before if isinstance(call, Bid))
    right = board.item.call
    highest = max(Bid(4, NOTRUMP), right if isinstance(right, Bid) else last)
    ours = (DOUBLE, PASS) == board.item.before[-2:]
    bids = map(Bid.from_code, range(last.code + 1, highest.code + 1))
    levels = [[bid.symbol for bid in level] for _, level in groupby(bids, lambda bid: bid.level)]
    return [["Pass"] if ours else ["Pass", "Double"], *levels]
