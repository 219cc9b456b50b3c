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

from collections.abc import Iterable
from textwrap import wrap

from double_study.cards.bids import DOUBLE, PASS, SUIT_SYMBOLS, Bid
from double_study.cards.notation import write_hand
from double_study.lessons.board import Board, vulnerability_of
from double_study.lessons.board_answers import answer

TITLE = "Practice boards: the negative double"
"""The name of the event."""

VERSION = "2.1"
_EOL = "\r\n"
_TAGS = "Event Site Date Board West North East South Dealer Vulnerable Deal Scoring Declarer Contract Result"
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


def pbn(boards: Iterable[Board]) -> str:
    """Return the whole file, in ASCII with the line ends that the standard requires."""
    head = [f"% PBN {VERSION}", "% EXPORT"]
    games = [_EOL.join(game(board)) + _EOL for board in boards]
    return _EOL.join(head) + _EOL + _EOL.join(games)


def game(board: Board) -> list[str]:
    calls = [str(call) if isinstance(call, Bid) else _BARE[call] for call in board.calls]
    if not board.bidding.complete:
        calls.append(_NOT_FINISHED)
    rows = range(0, len(calls), _CALLS_IN_A_LINE)
    said = [_ascii(part.translate(_PLAIN)) for part in (board.question, answer(board))]
    return [
        *(_tag(name, value) for name, value in _tags(board).items()),
        *["{", *(line for part in said for line in wrap(part, _COMMENT_WIDTH)), "}"],
        _tag("Auction", _PLACES[board.dealer]),
        *(" ".join(calls[at : at + _CALLS_IN_A_LINE]) for at in rows),
    ]


def deal_value(board: Board) -> str:
    """Return the value of the Deal tag: the hands clockwise from the dealer."""
    return f"{_PLACES[board.dealer]}:{' '.join(map(write_hand, board.bidding.cards))}"


def _tags(board: Board) -> dict[str, str]:
    tags = dict.fromkeys(_TAGS.split(), "?") | {
        "Event": TITLE,
        "Board": str(board.number),
        "Dealer": _PLACES[board.dealer],
        "Vulnerable": vulnerability_of(board.number),
        "Deal": deal_value(board),
    }
    if board.contract:
        bid, doubled, declarer = board.contract
        tags |= {"Declarer": _PLACES[declarer], "Contract": f"{bid}{'X' * doubled}"}
    name = board.agreement.name
    shown = name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}..."
    return tags | {
        "DealId": f"{board.origin.seed}:{board.origin.place}",
        "Generator": f"double-study boards, agreement {shown}",
    }


def _tag(name: str, value: str) -> str:
    plain = _ascii(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'[{name} "{plain}"]'


def _ascii(text: str) -> str:
    """Return text in ASCII, which every reader of the format supports."""
    return text.encode("ascii", errors="replace").decode("ascii")
