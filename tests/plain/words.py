"""The words and counts of the reference agreement, read plainly, one hand at a time.

The foundation of the oracle in plain.bidding, with the agreement's numbers.

A hand is four 13-bit holdings (clubs, diamonds, hearts, spades; bit 12 the ace, bit 0 the two).
Suits are 0..3 in rank order and notrump is 4; calls are strings: 'pass', 'X', '1C', '2NT', '4S'.
"""

from dataclasses import dataclass
from functools import cache

Hand = tuple[int, int, int, int]

CLUBS, DIAMONDS, HEARTS, SPADES, NOTRUMP = range(5)
MINORS = (CLUBS, DIAMONDS)
MAJORS = (HEARTS, SPADES)
SUITS = MINORS + MAJORS
STRAINS = ("C", "D", "H", "S", "NT")
RANKS = "23456789TJQKA"


@dataclass
class Reference:
    """The numbers of the agreement, by section; a range is (lowest, highest)."""

    # Words and counts
    good_suit_honours: int = 2
    # 1. The opening
    strong_opening: int = 22
    two_notrump: tuple[int, int] = (20, 21)
    one_notrump: tuple[int, int] = (15, 17)
    one_of_a_suit: int = 12
    light_opening: int = 10
    light_opening_sum: int = 20
    weak_opening: tuple[int, int] = (5, 10)
    fewest_in_one_of_a_major: int = 5
    fewest_in_one_diamond: int = 3
    # 2. The next hand
    notrump_overcall: tuple[int, int] = (15, 18)
    strong_double: int = 18
    two_suited: int = 6
    weak_jump: tuple[int, int] = (5, 10)
    one_level_good: tuple[int, int] = (8, 17)
    one_level_any: tuple[int, int] = (12, 17)
    takeout_double: int = 12
    two_level_six: tuple[int, int] = (10, 17)
    two_level_five: tuple[int, int] = (12, 17)
    # 3. The responder; a tuple here is by level, each with its levels beside it
    double_through: str = "3S"
    double: tuple[int, int, int, int] = (6, 8, 10, 12)  # overcall at level 1 to 4
    raises: tuple[int, int, int, int] = (6, 9, 12, 15)  # raise to level 2 to 5
    new_suit: tuple[int, int, int] = (10, 12, 12)  # bid at level 2 to 4
    strong_raise: tuple[int, int] = (11, 11)  # of a major, of a minor
    raise_to_game: int = 12
    both_majors: bool = True
    fewest_in_a_major_raised: int = 3
    one_level_major: int = 6
    fewest_over_one_diamond: int = 4
    penalty_pass_cards: int = 5
    penalty_pass: int = 8
    notrump: tuple[int, int, int] = (8, 11, 12)  # overcall at level 1 to 3
    minor_raise_one_fewer: int = 8
    cue_bid: tuple[int, int, int] = (12, 12, 14)  # overcall at level 1 to 3
    strong_reason: int = 10
    # 4. The opener's answer ("up to" a number is: below the next one)
    major_jump: int = 16
    major_game: int = 19
    minor_jump: int = 16
    answer_cue_bid: int = 18
    own_suit_jump: int = 16
    own_suit_jump_seven: int = 13
    notrump_jump: int = 18
    second_suit_higher: int = 16
    spade_raise_jump: int = 16
    spade_raise_game: int = 19
    # 5. Where it comes to rest
    game_over_jump: int = 9
    game_over_minimum: int = 13
    invitation: tuple[int, int] = (11, 12)
    accept_invitation: int = 14
    more_in_a_minor: int = 3
    three_notrump: int = 12
    three_notrump_over_two: int = 11
    two_notrump_invitation: int = 11
    accept_two_notrump: int = 14
    three_notrump_over_jump: int = 7
    goes_on: int = 11
    goes_on_over_strength: int = 8
    # 6. The advancer
    advancer_strong_raise: int = 11
    preemptive_raise: int = 6
    advancer_raise: tuple[int, int] = (6, 8)  # overcall at level 1, 2
    advancer_new_suit: tuple[int, int] = (8, 11)  # bid at level 1 or 2, at level 3
    advancer_notrump: tuple[int, int] = (8, 11)  # overcall at level 1, 2
    # 7. The opener's answer over the advancer's bid
    contested_raise: int = 13
    contested_game: int = 17
    contested_game_at_four: int = 16
    contested_minor_at_four: int = 17
    contested_own_suit: int = 15
    contested_second_suit: int = 15
    contested_notrump: int = 18
    contested_double: int = 17
    contested_double_short: int = 15
    # 8. Where a contested auction comes to rest
    overcaller_game: int = 14
    contested_game_over_jump: int = 9
    contested_game_over_minimum: int = 12
    contested_three_notrump: int = 7
    contested_goes_on: int = 11
    contested_goes_on_over_three: int = 10
    second_double: int = 11
    second_double_high: int = 13
    # 9. When the responder passes
    reopening_notrump: int = 18
    reopening_double_long: int = 17
    reopening_second_suit: int = 16
    reopening_own_suit: int = 15
    reopening_double: int = 16
    reopening_short: int = 1
    reopening_double_high: int = 15


REFERENCE = Reference()


def read_hand(text: str) -> Hand:
    """Turn 'K752.AJ64.83.T92' (spades, hearts, diamonds, clubs) into four holdings."""
    spades, hearts, diamonds, clubs = (
        sum(1 << RANKS.index(card) for card in suit) for suit in text.split(".")
    )
    return clubs, diamonds, hearts, spades


def write_bid(level: int, strain: int) -> str:
    return f"{level}{STRAINS[strain]}"


def read_bid(bid: str) -> tuple[int, int]:
    """The level and the strain; two of these compare as the bids rank."""
    return int(bid[0]), STRAINS.index(bid[1:])


def within(number: int, limits: tuple[int, int]) -> bool:
    return limits[0] <= number <= limits[1]


def length(hand: Hand, suit: int) -> int:
    return hand[suit].bit_count()


def has(hand: Hand, suit: int, rank: str) -> bool:
    return bool(hand[suit] >> RANKS.index(rank) & 1)


@cache  # There are 8,192 holdings, and most of the time of a step went with adding these points.
def points_in_suit(holding: int) -> int:
    # "HCP: ace 4, king 3, queen 2, jack 1."
    worth = {"A": 4, "K": 3, "Q": 2, "J": 1}
    return sum(worth[rank] for rank in worth if holding >> RANKS.index(rank) & 1)


def high_card_points(hand: Hand) -> int:
    return sum(map(points_in_suit, hand))


def total_points(hand: Hand, left_out: int | None = None) -> int:
    """Total points, without the length points of one suit where one is named.

    "Responder's total points leave out length in Z", whose honours still count; the advancer's
    "count length in every suit".
    """
    # "Length points: one for each card beyond four in a suit. Total points = HCP + length points."
    counted = [suit for suit in SUITS if suit != left_out]
    return high_card_points(hand) + sum(max(0, length(hand, suit) - 4) for suit in counted)


def support_points(hand: Hand) -> int:
    """HCP and shortness in any suit, Z included."""
    # "Shortness points: doubleton 1, singleton 2, void 3. Support points = HCP + shortness points"
    return high_card_points(hand) + sum(max(0, 3 - length(hand, suit)) for suit in SUITS)


def balanced(hand: Hand) -> bool:
    # "Balanced: 4-3-3-3, 4-4-3-2 or 5-3-3-2, any suits."
    shape = sorted((length(hand, suit) for suit in SUITS), reverse=True)
    return shape in ([4, 3, 3, 3], [4, 4, 3, 2], [5, 3, 3, 2])


def good(hand: Hand, suit: int) -> bool:
    # "A good suit holds at least two of its top five cards (A K Q J T), one of them the ace, king
    # or queen."
    top_five = sum(has(hand, suit, rank) for rank in "AKQJT")
    return top_five >= REFERENCE.good_suit_honours and any(has(hand, suit, rank) for rank in "AKQ")


def stopper(hand: Hand, suit: int) -> bool:
    # "A stopper: the ace; the king with one more card; the queen with two more; the jack with
    # three more."
    needed = {"A": 1, "K": 2, "Q": 3, "J": 4}
    cards = length(hand, suit)
    return any(has(hand, suit, rank) and cards >= needed[rank] for rank in needed)


def longest(hand: Hand, suits: tuple[int, ...]) -> int:
    # "The longest suit of a hand: most cards; between equals, the higher-ranking."
    return max(suits, key=lambda suit: (length(hand, suit), suit))


def cheapest_level(strain: int, level: int, over: int) -> int:
    # "The cheapest level of suit X over a bid of suit Z at level L: L if X ranks above Z, else
    # L + 1. Notrump over LZ: L. Over notrump at level L, anything: L + 1."
    return level if strain > over else level + 1


def game_level(strain: int) -> int:
    # "Game: 3NT, four of a major, five of a minor"
    if strain == NOTRUMP:
        return 3
    return 4 if strain in MAJORS else 5
