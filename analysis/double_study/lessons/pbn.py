"""Practice boards in Portable Bridge Notation 2.1, its export format.

All fifteen mandatory tags in their order, ``?`` for what is not known, single spaces, lines that
end in carriage return and line feed. A board's question and answer are a comment; where its deal
comes from is in the supplemental tags ``DealId`` (seed:block:deal) and ``Generator``. Sections by
their numbers in the standard: 2.1 export format, 2.3 lines, 2.4 escape lines, 3.3 tag pairs, 3.4
the identification section, 3.5 the auction, 4 supplemental tags.

References
----------
.. [1] Portable Bridge Notation 2.1 (2007), https://www.tistis.nl/pbn/pbn_v21.txt
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from double_study.cards.bids import DOUBLE, PASS, SUIT_SYMBOLS, Bid
from double_study.cards.notation import write_hand
from double_study.lessons.board import Board
from double_study.lessons.lesson import LessonBoard
from double_study.lessons.text import TITLE, answer, question

VERSION = "2.1"
_EOL = "\r\n"
_UNKNOWN = "?"
_PLACES = "NESW"
_BARE = {PASS: "Pass", DOUBLE: "X"}
_NOT_FINISHED = "*"
_CALLS_IN_A_LINE = 4
_COMMENT_WIDTH = 78
_LONGEST_NAME = 100
"""Letters of an agreement's name: with each of them escaped the tag keeps to a line of 255 (2.3)."""
# A brace would end the comment, and a semicolon might start another.
_PLAIN = str.maketrans(
    dict(zip(SUIT_SYMBOLS, "CDHS", strict=True)) | {"–": "-", ";": ",", "{": "(", "}": ")"}
)


def pbn(boards: Iterable[LessonBoard]) -> str:
    """Return the whole file, in ASCII with the line ends that the standard requires."""
    head = [f"% PBN {VERSION}", "% EXPORT"]
    games = [_EOL.join(game(item)) + _EOL for item in boards]
    return _EOL.join(head) + _EOL + _EOL.join(games)


def game(item: LessonBoard) -> list[str]:
    """Return one board, line by line."""
    pairs = [*_identification(item.board), *_supplements(item.board)]
    calls = [str(call) if isinstance(call, Bid) else _BARE[call] for call in item.calls]
    if not item.board.course.complete:
        calls.append(_NOT_FINISHED)
    rows = range(0, len(calls), _CALLS_IN_A_LINE)
    return [
        *(_tag(name, value) for name, value in pairs),
        *_comment(item),
        _tag("Auction", _PLACES[item.board.dealer]),
        *(" ".join(calls[at : at + _CALLS_IN_A_LINE]) for at in rows),
    ]


def deal_value(board: Board) -> str:
    """Return the value of the Deal tag: the hands clockwise from the dealer."""
    hands = " ".join(write_hand(cards) for cards in board.course.cards)
    return f"{_PLACES[board.dealer]}:{hands}"


def _identification(board: Board) -> Iterator[tuple[str, str]]:
    contract, declarer = board.contract or (_UNKNOWN, None)
    yield "Event", TITLE
    yield "Site", _UNKNOWN
    yield "Date", _UNKNOWN
    yield "Board", str(board.number)
    for player in ("West", "North", "East", "South"):
        yield player, _UNKNOWN
    yield "Dealer", _PLACES[board.dealer]
    yield "Vulnerable", board.vulnerability
    yield "Deal", deal_value(board)
    yield "Scoring", _UNKNOWN
    yield "Declarer", _UNKNOWN if declarer is None else _PLACES[declarer]
    yield "Contract", contract
    yield "Result", _UNKNOWN


def _supplements(board: Board) -> Iterator[tuple[str, str]]:
    origin = board.origin
    yield "DealId", f"{origin.seed}:{origin.place}"
    name = board.course.agreement.name
    shown = name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}..."
    yield "Generator", f"double-study boards, agreement {shown}"


def _tag(name: str, value: str) -> str:
    plain = _ascii(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'[{name} "{plain}"]'


def _comment(item: LessonBoard) -> list[str]:
    parts = [question(item), answer(item)]
    wrapped = [
        line
        for part in parts
        for line in textwrap.wrap(_ascii(part.translate(_PLAIN)), _COMMENT_WIDTH)
    ]
    return ["{", *wrapped, "}"]


def _ascii(text: str) -> str:
    """Return text in ASCII, which every reader of the format supports."""
    return text.encode("ascii", errors="replace").decode("ascii")
