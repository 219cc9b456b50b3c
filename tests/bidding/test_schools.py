"""Agreements of other schools: on hands made by hand, and openings on every shape there is.

What they bid is common practice, no source; the fewest cards of each opening stand against a
published row in tests/published.
"""

from itertools import product

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import Agreement, load
from double_study.cards.bids import NO_BID, Bid
from double_study.cards.hands import SHAPES, Hands, hand_words
from double_study.columns import COLUMNS
from double_study.rules.opening import OPENING, OpeningSituation, opening_lookup
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import RESPONSE, calls_of
from double_study.rules.terms import Overcalled
from edges.schools import SCHOOL_OPENINGS, SCHOOL_REOPENINGS, SCHOOL_RESPONSES
from numpy.typing import NDArray
from shared.plain_agreement import plainly

SCHOOLS = ("four_card_majors", "two_card_club", "weak_notrump")


def words_of(hands: list[plain.Hand]) -> NDArray[np.uint32]:
    cards = [sum(held << 13 * suit for suit, held in enumerate(hand)) for hand in hands]
    return hand_words(np.array(cards, dtype=np.uint64))


def opened(hands: list[plain.Hand], agreement: Agreement) -> list[str]:
    """Return the package's opening on each hand in first seat, from the rules and the look-up alike."""
    words = words_of(hands)
    situation = OpeningSituation(Hands(words), agreement, 1)
    bids = OPENING.decide(situation).bid
    np.testing.assert_array_equal(opening_lookup(agreement).bids(words, 1), bids)
    return ["pass" if code < 0 else str(Bid.from_code(code)) for code in bids.tolist()]


def bid_or_pass(none: str, bid: NDArray[np.int8]) -> str:
    return none if bid.item() == NO_BID else str(Bid.from_code(bid.item()))


@pytest.mark.parametrize("line", SCHOOL_OPENINGS.strip().splitlines())
def test_an_opening_on_the_edge(line: str) -> None:
    case, why = line.split("|")
    text, name, expected = case.split()
    agreement, hand = load(name), plain.read_hand(text)
    with plainly(agreement):
        assert plain.opening(hand, seat=1) == expected, why
    assert opened([hand], agreement) == [expected], why


@pytest.mark.parametrize("line", SCHOOL_RESPONSES.strip().splitlines())
def test_a_response_on_the_edge(line: str) -> None:
    case, why = line.split("|")
    text, name, opening, overcall, *expected = case.split()
    agreement, bid = load(name), Bid.parse(overcall)
    auction = Bid.parse(opening).denomination, bid.denomination, bid.level
    with plainly(agreement):
        assert plain.response(plain.read_hand(text), *auction) == tuple(expected), why
    hand = Hands(words_of([plain.read_hand(text)]))
    decided = RESPONSE.decide(Overcalled(hand, agreement, *auction))
    call = COLUMNS["call"].names[calls_of(decided).item()]
    assert call == expected[0], why
    assert bid_or_pass("X" if call == "double" else "pass", decided.bid) == expected[1], why


@pytest.mark.parametrize("line", SCHOOL_REOPENINGS.strip().splitlines())
def test_a_reopening_on_the_edge(line: str) -> None:
    case, why = line.split("|")
    text, name, opening, overcall, *expected = case.split()
    agreement, bid = load(name), Bid.parse(overcall)
    auction = Bid.parse(opening).denomination, bid.denomination, bid.level
    with plainly(agreement):
        assert plain.reopening(plain.read_hand(text), *auction) == tuple(expected), why
    hand = Hands(words_of([plain.read_hand(text)]))
    decided = REOPENING.decide(ReopeningSituation(hand, agreement, *auction))
    call = REOPENING.names[decided.name.item()]
    made = bid_or_pass("X" if call == "double" else "pass", decided.bid)
    assert [call, made] == expected, why


def hands_of_every_shape() -> list[plain.Hand]:
    """Return each shape sixteen times, with the highest or the lowest cards in each suit."""
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
