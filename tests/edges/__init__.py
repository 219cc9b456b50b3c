"""Hand-made edge cases of the agreements, each computed by hand from their texts.

The files have one case a line: the hand or hands (spades, hearts, diamonds, clubs), the context, the
expected result and, after the bar, the reason; '-' is None. A line in brackets names the step of the
cases below it, and the calls before them; then what a case gives and, after the colon, the results.
EDGES holds the cases in the form that the functions of plain.bidding take and return.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import plain.bidding as plain


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


def _edges(file: Path) -> Iterator[Edge]:
    given: list[str] = []
    for line in filter(None, file.read_text(encoding="utf-8").splitlines()):
        if line.startswith("["):
            of, _, columns = line[1:].partition("]")
            step, *after = of.split()
            given = columns.partition(":")[0].split(", ") if columns else given
            continue
        case, why = line.split("|")
        words = case.split()
        hands = tuple(words.pop(0) for name in given if name.endswith("hand"))
        agreement = words.pop(0) if "agreement" in given else "reference"
        calls = len(given) - len(hands) - ("agreement" in given)
        expected = tuple(map(_word, words[calls:]))
        if step in ENDS:
            expected = (*expected[:3], "settled" in expected)
        if len(expected) == 1:
            (expected,) = expected
        context = tuple(map(_word, [*after, *words[:calls]]))
        yield Edge(step, agreement, hands, context, expected, why.strip())


FILES = ("calls.txt", "answers.txt", "contested.txt", "schools.txt")
EDGES = [edge for file in FILES for edge in _edges(Path(__file__).with_name(file))]


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
