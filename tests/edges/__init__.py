"""Hand-made edge cases of the reference agreement, each computed by hand from its text.

The tables in calls, answers and contested are text, one case a line: the hand or hands (spades,
hearts, diamonds, clubs), the context, the expected result and, after the bar, the reason; '-' is
None. EDGES holds them in the form that the functions of plain.bidding take and return.
"""

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import plain.bidding as plain

from edges.answers import ANSWERS, CONTINUATIONS, SECOND_BIDS, SPADE_RAISES
from edges.calls import OPENINGS, OVERCALLS, REASONS, RESPONSES
from edges.contested import ADVANCERS, CONTESTED_ANSWERS, CONTESTED_ENDS, REOPENINGS, TAKEN_OUT


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
    hands: tuple[str, ...]
    context: tuple[Any, ...]
    expected: Any
    why: str


ENDS = ("continuation", "contested_end")


def _edges(step: str, table: str, hands: int, calls: int, after: str = "") -> Iterator[Edge]:
    """Read a table whose lines start with this many hands and calls (or a seat), ``after`` others."""
    for line in table.strip().splitlines():
        case, why = line.split("|")
        fields = case.split()
        said = [*after.split(), *fields[hands:][:calls]]
        context = tuple(int(word) if word.isdigit() else word for word in said)
        result: list[Any] = [
            None if word == "-" else int(word) if word.isdigit() else word
            for word in fields[hands + calls :]
        ]
        if step in ENDS:
            result[3:] = ["settled" in result]
        expected = result[0] if len(result) == 1 else tuple(result)
        yield Edge(step, tuple(fields[:hands]), context, expected, why.strip())


EDGES: list[Edge] = [
    *_edges("opening", OPENINGS, hands=1, calls=1),
    *_edges("overcall", OVERCALLS, hands=1, calls=1),
    *_edges("response", RESPONSES, hands=1, calls=2),
    *_edges("reason", REASONS, hands=1, calls=2),
    *_edges("answer", ANSWERS, hands=1, calls=2),
    *_edges("spade_raise", SPADE_RAISES, hands=1, calls=0),
    *_edges("second_bid", SECOND_BIDS, hands=1, calls=4),
    *_edges("continuation", CONTINUATIONS, hands=3, calls=2),
    *_edges("advancer", ADVANCERS, hands=1, calls=3),
    *_edges("contested_answer", CONTESTED_ANSWERS, hands=1, calls=3),
    *(
        edge
        for auction, table in CONTESTED_ENDS.items()
        for edge in _edges("contested_end", table, hands=3, calls=0, after=auction)
    ),
    *_edges("reopening", REOPENINGS, hands=1, calls=2),
    *_edges("taken_out", TAKEN_OUT, hands=2, calls=2),
]


def plain_result(edge: Edge) -> Any:
    """Return what the plain reading gives for a case, to be compared with edge.expected."""
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
    if edge.step == "taken_out":
        opened, overcalled = suits
        name, call = plain.reopening(hands[0], opened, overcalled, level)
        void = not hands[1][overcalled]
        return plain.reopening_name(name, call, "penalty_pass", advancer_void=void)
    functions: dict[str, Callable[..., Any]] = {
        "response": plain.response,
        "reason": plain.reason,
        "answer": plain.answer,
        "second_bid": plain.overcaller_after_answer,
        "continuation": plain.continuation_end,
        "contested_answer": plain.contested_answer,
        "contested_end": plain.contested_end,
        "reopening": plain.reopening,
    }
    return functions[edge.step](*hands, *suits, level, *edge.context[2:])
