"""The opening of every class of hands: hand by hand against the oracle, and counted card by card."""

from itertools import combinations
from math import comb

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.cards.hands import SHAPES, Hands, hand_words
from double_study.combinatorics import hands as opening
from double_study.combinatorics.hands import N_HANDS, hand_classes
from scipy.stats import multivariate_hypergeom
from shared.plain_agreement import plainly
from shared.plain_hands import plain_hands

HANDS = 20_000
SCHOOLS = ("reference", "four_card_majors", "two_card_club")
CARDS = deal_block(seed=23_117, block=0)[0, :HANDS]
VALUE = {"A": 4, "K": 3, "Q": 2, "J": 1}


def ways_of(bid: str, agreement: Agreement = REFERENCE, seat: int = 1) -> int:
    return opening.opening_ways(agreement, seat)[Bid.parse(bid).code + 1]


def suit_points(length: int) -> np.ndarray:
    """Return the holdings of this length by points, counted card by card."""
    ways = np.zeros(11, dtype=np.int64)
    for cards in combinations("AKQJT98765432", length):
        ways[sum(VALUE.get(card, 0) for card in cards)] += 1
    return ways


@pytest.mark.parametrize("seat", [1, 4])
@pytest.mark.parametrize("agreement", SCHOOLS)
def test_every_hand_opens_as_the_oracle_says(agreement: str, seat: int) -> None:
    settings = load(agreement)
    hands = Hands(hand_words(CARDS))
    longest = hands.longest(0, 1, 2, 3)
    good = hands.good[longest, np.arange(HANDS)].astype(int)
    shape = {tuple(row): number for number, row in enumerate(SHAPES.tolist())}
    rows = [shape[tuple(lengths)] for lengths in hands.lengths.T.tolist()]
    codes = opening.opening_bids(settings, seat)[rows, hands.hcp, good]
    ours = ["pass" if code < 0 else str(Bid.from_code(code)) for code in codes.tolist()]
    with plainly(settings):
        theirs = [plain.opening(hand, seat) for hand in plain_hands(CARDS)]
    assert ours == theirs


@pytest.mark.parametrize("seat", [1, 2, 3, 4])
@pytest.mark.parametrize("agreement", SCHOOLS)
def test_every_hand_is_counted_once(agreement: str, seat: int) -> None:
    assert opening.opening_ways(load(agreement), seat).sum() == N_HANDS == comb(52, 13)


def test_weak_openings_are_for_the_first_three_seats() -> None:
    first, last = (opening.opening_ways(REFERENCE, seat) for seat in (1, 4))
    weak = {Bid.parse(f"{level}{suit}").code + 1 for level in (2, 3, 4) for suit in "CDHS"}
    weak.remove(Bid.parse("2C").code + 1)
    assert all(last[code] == 0 for code in weak)
    assert last[0] == first[0] + sum(first[code] for code in weak)
    assert [first[c] for c in range(1, 36) if c not in weak] == [
        last[c] for c in range(1, 36) if c not in weak
    ]


def test_strong_openings_are_22_points_or_more() -> None:
    held = np.indices((5, 5, 5, 5)).reshape(4, -1).T
    held = held[held.sum(axis=1) <= 13]
    strong = held[held @ np.array([4, 3, 2, 1]) >= 22]
    small = 13 - strong.sum(axis=1, keepdims=True)
    reference = multivariate_hypergeom([4, 4, 4, 4, 36], 13).pmf(np.hstack([strong, small])).sum()
    # SciPy's logarithms of factorials are good to about 1e-12.
    assert ways_of("2C") / N_HANDS == pytest.approx(reference, rel=1e-10)


@pytest.mark.parametrize(("bid", "low", "high"), [("1NT", 15, 17), ("2NT", 20, 21)])
def test_balanced_openings_counted_card_by_card(bid: str, low: int, high: int) -> None:
    total = 0
    for pattern, arrangements in (((4, 3, 3, 3), 4), ((4, 4, 3, 2), 12), ((5, 3, 3, 2), 12)):
        points = np.ones(1, dtype=np.int64)
        for length in pattern:
            points = np.convolve(points, suit_points(length))
        total += arrangements * int(points[low : high + 1].sum())
    assert ways_of(bid) == total


def test_one_of_a_suit_holds_the_classes_that_open_it() -> None:
    opens = opening.one_of_a_suit(REFERENCE)
    for suit, bid in enumerate(("1C", "1D", "1H", "1S")):
        assert (hand_classes() * opens[suit]).sum() == ways_of(bid)


@pytest.mark.parametrize("good_suit", [1, 3])
def test_a_good_suit_decides_weak_openings_and_no_opening_of_one(good_suit: int) -> None:
    changed = REFERENCE.changed("hand.good_suit", good_suit)
    assert ways_of("2S", changed) != ways_of("2S")
    assert ways_of("1S", changed) == ways_of("1S")
