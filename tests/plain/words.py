"""The words and counts of the reference agreement, read plainly, one hand at a time.

The foundation of the oracle in plain.bidding.

A hand is four 13-bit holdings (clubs, diamonds, hearts, spades; bit 12 the ace, bit 0 the two).
Suits are 0..3 in rank order and notrump is 4; calls are strings: 'pass', 'X', '1C', '2NT', '4S'.
As in the text, Y is the suit opened, Z the suit overcalled and L the level of the overcall.
"""

from functools import cache

from plain.settings import *

Hand = tuple[int, int, int, int]

Call = tuple[str, str]
"""A call by name and as it is made."""

Suits = tuple[int, ...]

Pair = tuple[Hand, Hand]
"""The opener's hand and the responder's."""

CLUBS, DIAMONDS, HEARTS, SPADES, NOTRUMP = range(5)
MINORS = (CLUBS, DIAMONDS)
MAJORS = (HEARTS, SPADES)
SUITS = MINORS + MAJORS
STRAINS = ("C", "D", "H", "S", "NT")
RANKS = "23456789TJQKA"


def read_hand(text: str) -> Hand:
    """Turn 'K752.AJ64.83.T92' (spades, hearts, diamonds, clubs) into four holdings."""
    spades, hearts, diamonds, clubs = (
        sum(1 << RANKS.index(card) for card in suit) for suit in text.split(".")
    )
    return clubs, diamonds, hearts, spades


# What is asked for most is cached; it depends on no setting.


@cache
def write_bid(level: int, strain: int) -> str:
    return f"{level}{STRAINS[strain]}"


@cache
def read_bid(bid: str) -> tuple[int, int]:
    """Return the level and the strain; two of these compare as the bids rank."""
    return int(bid[0]), STRAINS.index(bid[1:])


def within(number: int, limits: tuple[int, int]) -> bool:
    return limits[0] <= number <= limits[1]


def length(hand: Hand, suit: int) -> int:
    return hand[suit].bit_count()


def has(hand: Hand, suit: int, rank: str) -> bool:
    return bool(hand[suit] >> RANKS.index(rank) & 1)


@cache
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
    return top_five >= SETTINGS.hand.good_suit and honour(hand, suit)


def honour(hand: Hand, suit: int) -> bool:
    # "the ace, king or queen"
    return any(has(hand, suit, rank) for rank in "AKQ")


def stopper(hand: Hand, suit: int) -> bool:
    # "A stopper: the ace; the king with one more card; the queen with two more; the jack with
    # three more."
    needed = {"A": 1, "K": 2, "Q": 3, "J": 4}
    return any(has(hand, suit, rank) and length(hand, suit) >= needed[rank] for rank in needed)


def longest(hand: Hand, suits: Suits) -> int:
    # "The longest suit of a hand: most cards; between equals, the higher-ranking."
    return max(suits, key=lambda suit: (length(hand, suit), suit))


def cheapest_level(strain: int, level: int, over: int) -> int:
    # "The cheapest level of suit X over a bid of suit Z at level L: L if X ranks above Z, else
    # L + 1. Notrump over LZ: L. Over notrump at level L, anything: L + 1."
    return level if strain > over else level + 1


def combined(pair: Pair, suit: int) -> int:
    # "Combined cards: those of the opener and the responder in a suit."
    return sum(length(hand, suit) for hand in pair)


def game_level(strain: int) -> int:
    # "Game: 3NT, four of a major, five of a minor"
    if strain == NOTRUMP:
        return 3
    return 4 if strain in MAJORS else 5
