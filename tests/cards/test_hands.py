"""What a hand is worth: the packed words against a plain count, card by card."""

import numpy as np
import plain.words as plain
import pytest
from double_study.cards import hands as packed
from double_study.cards.deal import deal_block
from double_study.cards.hands import N_HCP, SHAPES, Hands, hand_words
from shared.plain_reading import plain_hands

CARDS = deal_block(seed=5_021, block=0)[0, :4_000]
HANDS = Hands(hand_words(CARDS))
PLAIN = plain_hands(CARDS)
SUITS = range(4)


def test_words_say_what_a_plain_count_says() -> None:
    assert HANDS.hcp.tolist() == [plain.high_card_points(hand) for hand in PLAIN]
    assert HANDS.support_points.tolist() == [plain.support_points(hand) for hand in PLAIN]
    assert HANDS.balanced.tolist() == [plain.balanced(hand) for hand in PLAIN]
    for suit in SUITS:
        assert HANDS.lengths[suit].tolist() == [plain.length(hand, suit) for hand in PLAIN]
        assert HANDS.good[suit].tolist() == [plain.good(hand, suit) for hand in PLAIN]
        assert HANDS.stopper[suit].tolist() == [plain.stopper(hand, suit) for hand in PLAIN]
        assert HANDS.honour_in(suit).tolist() == [plain.honour(hand, suit) for hand in PLAIN]
        assert HANDS.total_points(suit).tolist() == [
            plain.total_points(hand, suit) for hand in PLAIN
        ]


def test_longest_suits() -> None:
    everything = tuple(SUITS)
    assert HANDS.longest(*SUITS).tolist() == [plain.longest(hand, everything) for hand in PLAIN]
    for suit in SUITS:
        others = tuple(other for other in SUITS if other != suit)
        assert HANDS.longest_but(suit).tolist() == [plain.longest(hand, others) for hand in PLAIN]
    two = [sum(sorted(plain.length(hand, suit) for suit in SUITS)[2:]) for hand in PLAIN]
    assert HANDS.two_longest.tolist() == two


def test_a_suit_for_each_hand_or_one_for_all() -> None:
    suits = np.arange(len(CARDS)) % 4
    for by_suit, in_suit in (
        (HANDS.lengths, HANDS.length_in),
        (HANDS.good, HANDS.good_in),
        (HANDS.stopper, HANDS.stopper_in),
    ):
        np.testing.assert_array_equal(np.stack([in_suit(suit) for suit in SUITS]), by_suit)
        np.testing.assert_array_equal(in_suit(suits), by_suit[suits, np.arange(len(suits))])


def test_longest_among_any_set_of_suits() -> None:
    sets = np.arange(len(CARDS)) % 16
    expected = [
        plain.longest(hand, tuple(suit for suit in SUITS if among >> suit & 1)) if among else -1
        for hand, among in zip(PLAIN, sets.tolist(), strict=True)
    ]
    assert HANDS.longest_among(sets).tolist() == expected


@pytest.mark.parametrize("minimum", [1, 2, 3, 4, 5])
def test_good_suits_by_any_minimum(minimum: int) -> None:
    top = [0b1111100000000 & holding for holding in range(8192)]
    expected = [cards.bit_count() >= minimum and (cards & 0b1110000000000) > 0 for cards in top]
    assert packed.good(minimum).tolist() == expected


def test_classes_are_all_shapes_with_all_points() -> None:
    assert len(np.unique(packed.CLASS_WORDS)) == len(SHAPES) * N_HCP
    np.testing.assert_array_equal(
        packed.class_of(packed.CLASS_WORDS), np.arange(len(packed.CLASS_WORDS))
    )
    np.testing.assert_array_equal(SHAPES[packed.shape_of(HANDS.words)].T, HANDS.lengths)
    np.testing.assert_array_equal(packed.class_of(HANDS.words) % N_HCP, HANDS.hcp)


def test_class_words_are_read_back() -> None:
    lengths = SHAPES.T[:, ::7]
    points, good_suits, stoppers, honours = 17, 0b0110, 0b1001, 0b0111
    hands = Hands(packed.class_words(lengths, np.array(points), good_suits, stoppers, honours))
    np.testing.assert_array_equal(hands.lengths, lengths)
    assert (hands.hcp == points).all()
    assert hands.good[:, 0].tolist() == [False, True, True, False]
    assert hands.stopper[:, 0].tolist() == [True, False, False, True]
    assert [hands.honour_in(suit)[0] for suit in SUITS] == [True, True, True, False]
