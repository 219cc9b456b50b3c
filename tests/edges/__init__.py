"""Hand-made edge cases of the agreements, each computed by hand from their texts.

The tables in calls, answers, contested and schools are text, one case a line: the hand or hands
(spades, hearts, diamonds, clubs), the context, the expected result and, after the bar, the reason;
'-' is None. EDGES holds them in the form that the functions of plain.bidding take and return.
"""

from collections.abc import Iterator
from typing import Any, NamedTuple

import plain.bidding as plain

from edges.answers import ANSWERS, CONTINUATIONS, SECOND_BIDS, SPADE_RAISES
from edges.calls import OPENINGS, OVERCALLS, REASONS, RESPONSES
from edges.contested import ADVANCERS, CONTESTED_ANSWERS, CONTESTED_ENDS, REOPENINGS, TAKEN_OUT
from edges.schools import SCHOOL_OPENINGS, SCHOOL_REOPENINGS, SCHOOL_RESPONSES


class Edge(NamedTuple):
    """One case.

    step is opening, overcall, response, reason, answer, spade_raise, second_bid (the overcaller's,
    after an answer of the opener's given by name and as made), continuation, advancer,
    contested_answer, contested_end, reopening or taken_out (the reopening as it is counted after a
    penalty pass: the hands are opener's and advancer's). hands are texts; context is the seat (an
    int) or the calls so far, in contested_end with the name of the advancer's; expected is what the
    function returns: of continuation and contested_end the contract, the last bid, the trumps and
    whether the pair settled.
    """

    step: str
    agreement: str
    hands: tuple[str, ...]
    context: tuple[Any, ...]
    expected: Any
    why: str


ENDS = ("continuation", "contested_end")
PLAIN = {
    "second_bid": "overcaller_after_answer",
    "contested_end": "contested",
    "taken_out": "reopening_name",
}
"""Functions of the plain reading whose names are not their steps'."""


def _word(text: str) -> Any:
    return None if text == "-" else int(text) if text.isdigit() else text


def _edges(
    step: str, table: str, hands: int = 1, calls: int = 2, after: str = "", school: bool = False
) -> Iterator[Edge]:
    """Read a table whose lines start with hands and calls (or a seat), ``after`` other calls.

    A line of a school has its agreement between them.
    """
    for line in table.strip().splitlines():
        case, why = line.split("|")
        texts, words = case.split()[:hands], case.split()[hands:]
        agreement = words.pop(0) if school else "reference"
        context = tuple(map(_word, [*after.split(), *words[:calls]]))
        expected = tuple(map(_word, words[calls:]))
        if step in ENDS:
            expected = (*expected[:3], "settled" in expected)
        if len(expected) == 1:
            (expected,) = expected
        yield Edge(step, agreement, tuple(texts), context, expected, why.strip())


EDGES = [
    *_edges("opening", OPENINGS, calls=1),
    *_edges("overcall", OVERCALLS, calls=1),
    *_edges("response", RESPONSES),
    *_edges("reason", REASONS),
    *_edges("answer", ANSWERS),
    *_edges("spade_raise", SPADE_RAISES, calls=0),
    *_edges("second_bid", SECOND_BIDS, calls=4),
    *_edges("continuation", CONTINUATIONS, hands=3),
    *_edges("advancer", ADVANCERS, calls=3),
    *_edges("contested_answer", CONTESTED_ANSWERS, calls=3),
    *(
        edge
        for auction, table in CONTESTED_ENDS.items()
        for edge in _edges("contested_end", table, hands=3, calls=0, after=auction)
    ),
    *_edges("reopening", REOPENINGS),
    *_edges("taken_out", TAKEN_OUT, hands=2),
    *_edges("opening", SCHOOL_OPENINGS, calls=0, after="1", school=True),
    *_edges("response", SCHOOL_RESPONSES, school=True),
    *_edges("reopening", SCHOOL_REOPENINGS, school=True),
]


NEVER_MATTERS = {
    # 22 HCP open 2♣ before 2NT is asked.
    ("opening.two_notrump", 1, 1),
    # 11 HCP with six cards in a suit, and so nine or more in two, open one of it.
    ("opening.weak", 1, 1),
    # 18 HCP double before an overcall is asked; 17 overcall at level one in any suit with an honour.
    ("overcall.one_level_good", 1, 1),
    ("overcall.one_level_good", 1, -1),
    ("overcall.one_level", 1, 1),
    ("overcall.two_level_six", 1, 1),
    ("overcall.two_level_five", 1, 1),
}
"""Settings, places in their ranges, and moves that change no call of any hand."""


def plain_result(edge: Edge) -> Any:
    """Return what the plain reading gives for a case, to be compared with edge.expected."""
    hands = [plain.read_hand(text) for text in edge.hands]
    function = getattr(plain, PLAIN.get(edge.step, edge.step))
    if edge.step in ("opening", "spade_raise"):
        return function(*hands, *edge.context)
    (_, Y), *overcall = map(plain.read_bid, edge.context[:2])
    if not overcall:
        return function(hands[0], Y)
    ((L, Z),), given = overcall, edge.context[2:]
    if edge.step == "advancer":
        return function(hands[0], Y, Z, L, after_double=given == ("X",))
    if edge.step == "taken_out":
        opener, advancer = hands
        return function(*plain.reopening(opener, Y, Z, L), "penalty_pass", not advancer[Z])
    result = function(*hands, Y, Z, L, *given)
    return result.end if edge.step in ENDS else result
