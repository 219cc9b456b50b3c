"""Every threshold of the agreement from both sides, on hands made by hand (tests/edges).

The expected result of each case was computed from the text of the agreement: common practice,
no single source. Both the package and the plain reading must give it.
"""

from functools import cache
from itertools import product
from operator import eq
from typing import Any

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import load
from double_study.cards.bids import NO_BID, Bid
from double_study.cards.hands import SHAPES
from double_study.cards.notation import read_hand
from double_study.rules.advancer import ADVANCER
from double_study.rules.answer import ANSWER
from double_study.rules.opening import opening_lookup
from edges import EDGES, NEVER_MATTERS, Edge, plain_result
from shared.plain_reading import plainly
from shared.steps import TOLD, Table

SEATED = {"second_bid": (1,), "taken_out": (0, 3)}
"""The turns of the hands of a step, if they are not those of opener and the hands after it."""


@cache
def ours(step: str, agreement: str) -> dict[Edge, Any]:
    """Return what the package makes of all cases of a step, one after the other at one table."""
    edges = [edge for edge in EDGES if (edge.step, edge.agreement) == (step, agreement)]
    cards = np.zeros((4, len(edges)), dtype=np.uint64)
    auctions = np.zeros((3, len(edges)), dtype=np.int64)
    given = np.full((2, len(edges)), NO_BID, dtype=np.int8)
    names = ANSWER.names if step == "second_bid" else ADVANCER.names
    for at, edge in enumerate(edges):
        for turn, text in zip(SEATED.get(step, range(4)), edge.hands, strict=False):
            cards[turn, at] = read_hand(text)
        if step in ("opening", "spade_raise"):
            continue
        opening, *overcall = map(Bid.parse, edge.context[:2])
        auctions[0, at] = opening.denomination
        for bid in overcall:
            auctions[1:, at] = bid.denomination, bid.level
        *name, call = edge.context[2:] or ["pass"]
        given[0, at] = names.index(name[0]) if name else NO_BID
        given[1, at] = NO_BID if call in ("pass", "X") else Bid.parse(call).code
    table = Table(cards, tuple(auctions), seats=(1, 2, 3, 4), given=(given[0], given[1]))
    step = {"reason": "response", "taken_out": "reopening"}.get(step, step)
    told = map(TOLD[step], getattr(table, step)(load(agreement)).tolist())
    return dict(zip(edges, told, strict=True))


def our_result(edge: Edge) -> Any:
    found = ours(edge.step, edge.agreement)[edge]
    if edge.step == "opening":
        return found[edge.context[0] - 1]
    if edge.step == "advancer":
        return found[edge.context[2] != "X"]
    if edge.step in ("response", "contested_end", "reopening"):
        return found[0]
    return found[1] if edge.step in ("reason", "taken_out") else found


@pytest.mark.parametrize("step", {edge.step: None for edge in EDGES})
def test_edges(step: str) -> None:
    for edge in (edge for edge in EDGES if edge.step == step):
        with plainly(load(edge.agreement)):
            assert plain_result(edge) == edge.expected, edge
        assert our_result(edge) == edge.expected, edge
        # The hands could be dealt together.
        hands = [plain.read_hand(text) for text in edge.hands]
        held = np.array([[holding.bit_count() for holding in hand] for hand in hands])
        assert (held.sum(axis=1) == 13).all(), edge
        together = np.bitwise_count(np.bitwise_or.reduce(np.array(hands)))
        assert (together == held.sum(axis=0)).all(), edge


def hands_of_every_shape() -> list[plain.Hand]:
    """Return each shape sixteen times, with the highest or the lowest cards in each suit."""
    hands = []
    for shape, highest in product(SHAPES.tolist(), product((False, True), repeat=4)):
        cards = [((1 << n) - 1) << (13 - n) * high for n, high in zip(shape, highest, strict=True)]
        hands.append(tuple(cards))
    return hands


@pytest.mark.parametrize("name", ["four_card_majors", "two_card_club", "weak_notrump"])
def test_every_shape_opens_as_the_plain_reading_says(name: str) -> None:
    """The fewest cards of each opening stand against a published row in tests/published."""
    hands, agreement = hands_of_every_shape(), load(name)
    with plainly(agreement):
        expected = [plain.opening(hand, seat=1) for hand in hands]
    cards = np.array(hands, dtype=np.uint64) << np.array([0, 13, 26, 39], dtype=np.uint64)
    table = Table(np.tile(cards.sum(axis=1), (4, 1)), (), seats=(1,))
    codes = table.opening(agreement)
    assert [bid for row in codes.tolist() for bid in TOLD["opening"](row)] == expected
    assert {f"1{suit}" for suit in "CDHS"} <= set(expected)
    words = table.hands(agreement).words
    np.testing.assert_array_equal(opening_lookup(agreement.opening).bids(words, 1), codes[:, 0])


UNNOTICED = NEVER_MATTERS | {
    # Without a suit of five cards, two diamonds are never longer than the clubs.
    ("opening.diamond_cards", 0, -1),
    # A major of six is no opening of any school.
    ("opening.major_cards", 0, 1),
    # Overcalls at level 4 are above the reference's ceiling.
    *product(("response.double_four", "response.raise_five"), (0,), (1, -1)),
}


def test_every_number_of_the_agreement_has_hands_on_both_sides() -> None:
    """Moved by one, it changes what some hand calls."""
    edges = [edge for edge in EDGES if edge.agreement == "reference"]
    standing = [edge.expected for edge in edges]
    unnoticed = set()
    for key, value in plain.settings().items():
        if isinstance(value, str | bool):
            continue
        numbers = value if isinstance(value, list) else [value]
        for place, by in product(range(len(numbers)), (1, -1)):
            moved = [number + by * (at == place) for at, number in enumerate(numbers)]
            with plain.played({key: moved if isinstance(value, list) else moved[0]}):
                if all(map(eq, map(plain_result, edges), standing)):
                    unnoticed.add((key, place, by))
    assert unnoticed == UNNOTICED
