"""Openings by agreements of other schools: on hands made by hand, and on every shape there is.

What they open is common practice, no source; the fewest cards of each opening stand against a
published row in tests/published.
"""

from itertools import product

import numpy as np
import plain.bidding as plain
import pytest
from edges.schools import SCHOOL_OPENINGS
from shared.plain_agreement import plainly

from analysis.agreements.agreement import Agreement, load
from analysis.bidding.class_tables import opening_lookup
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.cards.bids import Bid
from analysis.cards.hand_classes import SHAPES
from analysis.cards.hands import Hands, hand_words

SCHOOLS = ("four_card_majors", "two_card_club", "weak_notrump")


def opened(hands: list[plain.Hand], agreement: Agreement) -> list[str]:
    """What the package opens on each hand in first seat, by the rules; the look-up says the same."""
    cards = [sum(held << 13 * suit for suit, held in enumerate(hand)) for hand in hands]
    words = hand_words(np.array(cards, dtype=np.uint64), agreement.hand.good_suit)
    situation = OpeningSituation(Hands(words), agreement, 1)
    bids = OPENING.decide(situation).bid
    np.testing.assert_array_equal(opening_lookup(agreement).bids(words, 1), bids)
    return ["pass" if code < 0 else str(Bid.from_code(code)) for code in bids.tolist()]


@pytest.mark.parametrize("line", SCHOOL_OPENINGS.strip().splitlines())
def test_edge(line: str) -> None:
    case, why = line.split("|")
    text, name, expected = case.split()
    agreement, hand = load(name), plain.read_hand(text)
    with plainly(agreement):
        assert plain.opening(hand, seat=1) == expected, why
    assert opened([hand], agreement) == [expected], why


def hands_of_every_shape() -> list[plain.Hand]:
    """Each shape sixteen times: in each suit the highest cards or the lowest."""
    hands = []
    for shape, highest in product(SHAPES.tolist(), product((False, True), repeat=4)):
        cards = [((1 << n) - 1) << (13 - n) * high for n, high in zip(shape, highest, strict=True)]
        hands.append(tuple(cards))
    return hands


@pytest.mark.parametrize("name", SCHOOLS)
def test_every_shape_opens_as_the_plain_reading_says(name: str) -> None:
    hands, agreement = hands_of_every_shape(), load(name)
    with plainly(agreement):
        expected = [plain.opening(hand, seat=1) for hand in hands]
    assert opened(hands, agreement) == expected
    assert {"1C", "1D", "1H", "1S"} <= set(expected)
