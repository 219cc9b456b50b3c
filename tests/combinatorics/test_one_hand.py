"""One hand, its opening, and two hands, against SciPy's distributions and counts card by card.

Their published tables are in tests/published.
"""

from collections.abc import Iterator
from functools import reduce
from itertools import combinations, product
from math import comb, prod

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.cards.hands import SHAPES, Hands, hand_words
from double_study.combinatorics import hands as one_hand
from double_study.combinatorics import two_hands
from double_study.combinatorics.hands import N_HANDS
from double_study.combinatorics.suits import one_hand_ways
from double_study.combinatorics.two_hands import N_PARTNERSHIPS, chance_of_holding
from double_study.errors import InputError
from numpy.typing import NDArray
from scipy.stats import hypergeom, multivariate_hypergeom
from shared.plain_reading import plain_hands, plainly

RANKS = "AKQJT98765432"
VALUE = {"A": 4, "K": 3, "Q": 2, "J": 1}

# One probability in float64 against another: SciPy works through logarithms of factorials, whose
# rounding grows to about 1e-12.
RELATIVE = 1e-10


def flags_of(*suits: int) -> list[tuple[int, str]]:
    return [(suit, flag) for suit in suits for flag in ("good", "stopper")]


def holdings(length: int) -> Iterator[str]:
    """Return every holding of this length, as a string of ranks, highest first."""
    return ("".join(cards) for cards in combinations(RANKS, length))


def worth(cards: str) -> int:
    return sum(VALUE.get(card, 0) for card in cards)


def is_good(cards: str, minimum: int) -> bool:
    return sum(card in "AKQJT" for card in cards) >= minimum and any(c in "AKQ" for c in cards)


def is_stopped(cards: str) -> bool:
    return any(card in cards and len(cards) > others for others, card in enumerate("AKQJ"))


def ways_elsewhere(suits: int, cards: int) -> NDArray[np.object_]:
    """Return the ways to hold so many cards of so many suits, by points: honours by kind, then the rest."""
    ways = np.zeros(38, dtype=object)
    for held in np.ndindex(*(suits + 1,) * 4):
        others = cards - sum(held)
        if others >= 0:
            points = sum(n * v for n, v in zip(held, VALUE.values(), strict=True))
            ways[points] += prod(comb(suits, n) for n in held) * comb(9 * suits, others)
    return ways


def test_shapes_are_in_order_and_as_frequent_as_scipy_says() -> None:
    assert SHAPES.shape == (560, 4)
    assert SHAPES.tolist() == sorted(SHAPES.tolist())
    reference = multivariate_hypergeom([13] * 4, 13).pmf(SHAPES)
    ways = one_hand.hand_classes().sum(axis=1)
    assert ways / N_HANDS == pytest.approx(reference, rel=RELATIVE)
    assert ways.sum() == N_HANDS == comb(52, 13)


def test_points_are_those_of_the_honours() -> None:
    # Here the honours are counted over the whole hand, there suit by suit.
    assert one_hand.hcp_ways().tolist() == ways_elsewhere(suits=4, cards=13).tolist()


def suit_points(length: int) -> NDArray[np.int64]:
    """Return the holdings of this length by points, counted card by card."""
    return np.bincount([worth(cards) for cards in holdings(length)], minlength=11)


def test_points_within_a_shape_join_the_suits_cards() -> None:
    shape = [2, 0, 1, 10]
    ways = reduce(np.convolve, map(suit_points, shape))
    index = SHAPES.tolist().index(shape)
    assert one_hand.hand_classes()[index].tolist() == ways[:38].tolist()


@pytest.mark.parametrize("minimum", [1, 2, 3])
def test_holdings_of_one_suit_card_by_card(minimum: int) -> None:
    ways = np.zeros((14, 11, 3, 2), dtype=np.int64)
    for length in range(14):
        for cards in holdings(length):
            quality = any(card in "AKQ" for card in cards) + is_good(cards, minimum)
            ways[length, worth(cards), quality, int(is_stopped(cards))] += 1
    assert np.array_equal(one_hand_ways(("quality",), minimum), ways.sum(axis=3))
    by_good = np.stack([ways[:, :, :2].sum(axis=2), ways[:, :, 2]], axis=2).reshape(14, 11, 4)
    assert np.array_equal(one_hand_ways(("good", "stopper"), minimum), by_good)


@pytest.mark.parametrize("suit", range(4))
def test_flagged_classes_card_by_card(suit: int) -> None:
    # One suit's holding card by card; the other three suits by their honours.
    classes = one_hand.hand_classes(*flags_of(suit))
    by_length = np.zeros((14, 38, 2, 2), dtype=np.int64)
    np.add.at(by_length, SHAPES[:, suit], classes)
    expected = np.zeros((14, 38, 2, 2), dtype=object)
    for length in range(14):
        elsewhere = ways_elsewhere(suits=3, cards=13 - length)
        for cards in holdings(length):
            points = worth(cards)
            flags = int(is_good(cards, 2)), int(is_stopped(cards))
            expected[length, points:, *flags] += elsewhere[: 38 - points]
    assert by_length.tolist() == expected.tolist()


def test_a_good_suit_is_the_highest_quality() -> None:
    by_quality = one_hand.hand_classes((3, "quality"), (1, "stopper"))
    assert by_quality.shape == (560, 38, 3, 2)
    by_good = one_hand.hand_classes((3, "good"), (1, "stopper"))
    assert np.array_equal(by_quality[:, :, 2], by_good[:, :, 1])
    assert np.array_equal(by_quality[:, :, :2].sum(axis=2), by_good[:, :, 0])


@pytest.mark.parametrize("flagged", [(3, 1), (0, 2, 3)])
def test_flags_split_the_classes_and_lose_none(flagged: tuple[int, ...]) -> None:
    classes = one_hand.hand_classes(*flags_of(*flagged))
    assert np.array_equal(classes.sum(axis=tuple(range(2, classes.ndim))), one_hand.hand_classes())
    for place, suit in enumerate(flagged):
        others = tuple(a for a in range(2, classes.ndim) if (a - 2) // 2 != place)
        assert np.array_equal(classes.sum(axis=others), one_hand.hand_classes(*flags_of(suit)))


def test_two_flagged_suits_are_independent_given_their_lengths_and_points() -> None:
    # Shape 2-3-4-4: stopped spades without good hearts, all points.
    index = SHAPES.tolist().index([2, 3, 4, 4])
    counted = one_hand.hand_classes(*flags_of(3, 2))[index, :, :, 1, 0, :].sum()
    spades = sum(is_stopped(cards) for cards in holdings(4))
    hearts = sum(not is_good(cards, 2) for cards in holdings(4))
    assert counted == spades * hearts * comb(13, 2) * comb(13, 3)


def test_classes_read_back_as_they_are_indexed() -> None:
    flagged = flags_of(3, 1)
    seen = one_hand.class_hands(*flagged)
    axes = np.indices(one_hand.hand_classes(*flagged).shape)
    assert np.array_equal(seen.hcp, axes[1])
    assert np.array_equal(seen.lengths, np.moveaxis(SHAPES[axes[0]], -1, 0))
    for (suit, flag), axis in zip(flagged, axes[2:], strict=True):
        assert np.array_equal(getattr(seen, flag)[suit], axis == 1)
    assert not seen.good[[0, 2]].any()
    assert not seen.stopper[[0, 2]].any()
    seen = one_hand.class_hands((3, "quality"), (1, "stopper"))
    quality, stopped = np.indices(seen.words.shape)[2:]
    assert np.array_equal(seen.honour_in(3), quality >= 1)
    assert np.array_equal(seen.good[3], quality == 2)
    assert np.array_equal(seen.stopper[1], stopped == 1)
    assert not seen.honour_in(1).any()


def test_shared_arrays_cannot_be_written() -> None:
    with pytest.raises(ValueError, match="read-only"):
        one_hand.hand_classes()[0, 0] = 1


def test_flags_stand_in_the_order_asked_for() -> None:
    plain, mixed = flags_of(1, 3), [(3, "stopper"), (1, "stopper"), (3, "good"), (1, "good")]
    axes = [2 + plain.index(flag) for flag in mixed]
    classes = one_hand.hand_classes(*plain).transpose(0, 1, *axes)
    assert np.array_equal(one_hand.hand_classes(*mixed), classes)


# --- Two hands ----------------------------------------------------------------------------


@pytest.mark.parametrize("places", [(13, 13), (13, 26), (8, 9), (12, 1), (3, 13)])
def test_vacant_places_are_hypergeometric(places: tuple[int, int]) -> None:
    here, there = places
    for outstanding in range(min(14, here + there + 1)):
        held = np.arange(outstanding + 1)
        counted = [float(chance_of_holding(int(k), outstanding, here, there)) for k in held]
        reference = hypergeom(here + there, outstanding, here).pmf(held)
        assert counted == pytest.approx(reference, rel=RELATIVE)


def test_partners_length_is_hypergeometric() -> None:
    for own in range(14):
        reference = hypergeom(39, 13 - own, 13).pmf(np.arange(14))
        chances = [float(chance) for chance in two_hands.partner_length(own)]
        assert chances == pytest.approx(reference, rel=RELATIVE)


def test_combined_lengths_of_all_suits_are_multivariate_hypergeometric() -> None:
    lengths, ways = two_hands.partnership_lengths()
    reference = multivariate_hypergeom([13] * 4, 26).pmf(lengths)
    assert ways / N_PARTNERSHIPS == pytest.approx(reference, rel=RELATIVE)
    assert ways.sum() == N_PARTNERSHIPS == comb(52, 26)


def test_partnership_points_are_those_of_the_honours() -> None:
    # Honours by kind over the whole pack, not suit by suit.
    expected = [0] * 41
    for held in product(range(5), repeat=4):
        points = sum(n * value for n, value in zip(held, VALUE.values(), strict=True))
        expected[points] += prod(comb(4, n) for n in held) * comb(36, 26 - sum(held))
    assert two_hands.partnership_hcp_ways().tolist() == expected
    assert sum(expected) == N_PARTNERSHIPS


@pytest.mark.parametrize("numbers", [(2, 27, 13, 13), (1, -1, 13, 13), (1, 2, -3, 13)])
def test_impossible_places_are_one_clear_line(numbers: tuple[int, int, int, int]) -> None:
    with pytest.raises(InputError, match="vacant places") as error:
        chance_of_holding(*numbers)
    assert "\n" not in str(error.value)


# --- The opening: hand by hand against the oracle, and counted card by card ------------------


HANDS = 20_000
SCHOOLS = ("reference", "four_card_majors", "two_card_club")
CARDS = deal_block(seed=23_117, block=0)[0, :HANDS]


def ways_of(bid: str, agreement: Agreement = REFERENCE) -> int:
    return one_hand.opening_ways(agreement, 1)[Bid.parse(bid).code + 1]


@pytest.mark.parametrize("seat", [1, 4])
@pytest.mark.parametrize("agreement", SCHOOLS)
def test_every_hand_opens_as_the_oracle_says(agreement: str, seat: int) -> None:
    settings = load(agreement)
    hands = Hands(hand_words(CARDS))
    longest = hands.longest(0, 1, 2, 3)
    good = hands.good[longest, np.arange(HANDS)].astype(int)
    shape = {tuple(row): number for number, row in enumerate(SHAPES.tolist())}
    rows = [shape[tuple(lengths)] for lengths in hands.lengths.T.tolist()]
    codes = one_hand.opening_bids(settings, seat)[rows, hands.hcp, good]
    ours = ["pass" if code < 0 else str(Bid.from_code(code)) for code in codes.tolist()]
    with plainly(settings):
        theirs = [plain.opening(hand, seat) for hand in plain_hands(CARDS)]
    assert ours == theirs


@pytest.mark.parametrize("seat", [1, 2, 3, 4])
@pytest.mark.parametrize("agreement", SCHOOLS)
def test_every_hand_is_counted_once(agreement: str, seat: int) -> None:
    assert one_hand.opening_ways(load(agreement), seat).sum() == N_HANDS == comb(52, 13)


def test_weak_openings_are_for_the_first_three_seats() -> None:
    first, last = (one_hand.opening_ways(REFERENCE, seat) for seat in (1, 4))
    bids = [f"{level}{suit}" for level in (2, 3, 4) for suit in "CDHS"]
    weak = [Bid.parse(bid).code + 1 for bid in bids if bid != "2C"]
    moved = first.copy()
    moved[0] += first[weak].sum()
    moved[weak] = 0
    assert np.array_equal(last, moved)


def test_strong_openings_are_22_points_or_more() -> None:
    held = np.indices((5, 5, 5, 5)).reshape(4, -1).T
    held = held[held.sum(axis=1) <= 13]
    strong = held[held @ np.array([4, 3, 2, 1]) >= 22]
    small = 13 - strong.sum(axis=1, keepdims=True)
    reference = multivariate_hypergeom([4, 4, 4, 4, 36], 13).pmf(np.hstack([strong, small])).sum()
    assert ways_of("2C") / N_HANDS == pytest.approx(reference, rel=RELATIVE)


@pytest.mark.parametrize(("bid", "low", "high"), [("1NT", 15, 17), ("2NT", 20, 21)])
def test_balanced_openings_counted_card_by_card(bid: str, low: int, high: int) -> None:
    total = 0
    for pattern, arrangements in (((4, 3, 3, 3), 4), ((4, 4, 3, 2), 12), ((5, 3, 3, 2), 12)):
        points = reduce(np.convolve, map(suit_points, pattern))
        total += arrangements * int(points[low : high + 1].sum())
    assert ways_of(bid) == total


def test_one_of_a_suit_holds_the_classes_that_open_it() -> None:
    opens = one_hand.one_of_a_suit(REFERENCE)
    for suit, bid in enumerate(("1C", "1D", "1H", "1S")):
        assert (one_hand.hand_classes() * opens[suit]).sum() == ways_of(bid)


@pytest.mark.parametrize("good_suit", [1, 3])
def test_a_good_suit_decides_weak_openings_and_no_opening_of_one(good_suit: int) -> None:
    changed = REFERENCE.changed("hand.good_suit", good_suit)
    assert ways_of("2S", changed) != ways_of("2S")
    assert ways_of("1S", changed) == ways_of("1S")
