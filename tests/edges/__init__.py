"""Hand-made edge cases of the reference agreement, each worked out by hand from its text.

The tables in calls, answers and contested are text, one case a line: the hand or hands (spades,
hearts, diamonds, clubs), the context, the expected result and, after the bar, the reason; '-' is
None. EDGES holds them in the form that the functions of plain.bidding take and return.
"""

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import plain.bidding as plain

from edges.answers import ANSWERS, RESTS, SPADE_RAISES
from edges.calls import OPENINGS, OVERCALLS, REASONS, RESPONSES
from edges.contested import ADVANCERS, CONTESTED_ANSWERS, CONTESTED_RESTS, REOPENINGS


class Edge(NamedTuple):
    """One case.

    step is opening, overcall, response, reason, answer, spade_raise, rest, advancer,
    contested_answer, contested_rest or reopening; hands are texts; context is the seat (an int) or
    the calls so far, in contested_rest with the name of the advancer's; expected is what the
    function returns.
    """

    step: str
    hands: tuple[str, ...]
    context: tuple[Any, ...]
    expected: Any
    why: str


def _edges(step: str, table: str, hands: int, calls: int, after: str = "") -> Iterator[Edge]:
    """Read a table whose lines start with this many hands and calls (or a seat), ``after`` others."""
    for line in table.strip().splitlines():
        case, why = line.split("|")
        fields = case.split()
        said = [*after.split(), *fields[hands:][:calls]]
        context = tuple(int(word) if word.isdigit() else word for word in said)
        result = tuple(
            None if word == "-" else int(word) if word.isdigit() else word
            for word in fields[hands + calls :]
        )
        expected = result[0] if len(result) == 1 else result
        yield Edge(step, tuple(fields[:hands]), context, expected, why.strip())


EDGES: list[Edge] = [
    *_edges("opening", OPENINGS, hands=1, calls=1),
    *_edges("overcall", OVERCALLS, hands=1, calls=1),
    *_edges("response", RESPONSES, hands=1, calls=2),
    *_edges("reason", REASONS, hands=1, calls=2),
    *_edges("answer", ANSWERS, hands=1, calls=2),
    *_edges("spade_raise", SPADE_RAISES, hands=1, calls=0),
    *_edges("continuation", RESTS, hands=2, calls=2),
    *_edges("advancer", ADVANCERS, hands=1, calls=3),
    *_edges("contested_answer", CONTESTED_ANSWERS, hands=1, calls=3),
    *(
        edge
        for auction, table in CONTESTED_RESTS.items()
        for edge in _edges("contested_rest", table, hands=3, calls=0, after=auction)
    ),
    *_edges("reopening", REOPENINGS, hands=1, calls=2),
]


def plain_result(edge: Edge) -> Any:
    """What the plain reading gives for a case, to be compared with edge.expected."""
    hands = [plain.read_hand(text) for text in edge.hands]
    if edge.step == "opening":
        return plain.opening(hands[0], *edge.context)
    suits = [plain.read_bid(call)[1] for call in edge.context[:2]]
    if edge.step == "spade_raise":
        return plain.spade_raise(hands[0])
    if edge.step == "overcall":
        return plain.overcall(hands[0], *suits)
    level = plain.read_bid(edge.context[1])[0]
    if edge.step == "advancer":
        opened, overcalled = suits
        doubled = edge.context[2] == "X"
        return plain.advancer(hands[0], opened, overcalled, level, after_double=doubled)
    functions: dict[str, Callable[..., Any]] = {
        "response": plain.response,
        "reason": plain.reason,
        "answer": plain.answer,
        "continuation": plain.resting_place,
        "contested_answer": plain.contested_answer,
        "contested_rest": plain.contested_end,
        "reopening": plain.reopening,
    }
    return functions[edge.step](*hands, *suits, level, *edge.context[2:])
