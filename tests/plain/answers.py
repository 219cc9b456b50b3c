"""Section 4 of the reference agreement, the opener's answer to the double, read plainly."""

from plain.response import promised_suits, unbid
from plain.settings import SETTINGS
from plain.words import (
    CLUBS,
    DIAMONDS,
    HEARTS,
    MAJORS,
    MINORS,
    NOTRUMP,
    SPADES,
    SUITS,
    Hand,
    cheapest_level,
    game_level,
    good,
    high_card_points,
    length,
    longest,
    stopper,
    support_points,
    write_bid,
)


def one_higher(level: int, strain: int) -> int:
    # "one higher but not beyond game"; "A limit ("not beyond") never takes a bid below its
    # cheapest level."
    return max(level, min(level + 1, game_level(strain)))


def raise_promised(hand: Hand, suit: int, level: int) -> tuple[str, str]:
    """Rule 2 in this suit, its cheapest level given; "up to 15" is anything below 16.

    Where the cheapest bid is beyond game already, "game" is that cheapest bid.
    """
    support = support_points(hand)
    # "The names go by the strength, whatever level is left."
    if suit in MAJORS:
        # "A major: up to 15 support points, its cheapest level, raise_minimum; 16-18, one higher
        # but not beyond game, raise_jump; 19+, game, raise_game"
        if support >= SETTINGS.answer.raise_game:
            return "raise_game", write_bid(max(level, game_level(suit)), suit)
        jumps = support >= SETTINGS.answer.raise_jump
    else:
        # "A minor: up to 15 the cheapest level, raise_minimum; 16+ one higher but not beyond game,
        # raise_jump."
        jumps = support >= SETTINGS.answer.minor_jump
    if jumps:
        return "raise_jump", write_bid(one_higher(level, suit), suit)
    return "raise_minimum", write_bid(level, suit)


def six_card_major(hand: Hand, opening_suit: int) -> bool:
    # "Y is a major of six or more"
    return opening_suit in MAJORS and length(hand, opening_suit) >= 6


def answer(opener_hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> tuple[str, str]:
    """Return the opener's answer to the double by name and as it is made; the penalty pass is 'pass'.

    "No room for rule 4's jump" denies the condition of rule 4: one level above the cheapest rebid of Y is
    no higher than three of a minor or four of a major. Rule 3 is tried first, so it holds for seven
    and eight cards too. "Four" in rule 7 is what rule 5 left: four exactly.
    """
    hand = opener_hand
    points = high_card_points(hand)
    promised = promised_suits(opening_suit, overcall_suit, level)
    # "a suit that is neither Y, Z nor promised": none where two suits are promised, else one
    second = [suit for suit in unbid(SUITS, opening_suit, overcall_suit) if suit not in promised]
    rebid = cheapest_level(opening_suit, level, overcall_suit), opening_suit
    # "1. penalty_pass: five or more cards in Z and Z good."
    if length(hand, overcall_suit) >= 5 and good(hand, overcall_suit):
        return "penalty_pass", "pass"
    # "2. Four or more in a promised suit (the longer; equals: the higher-ranking), unless it is a
    # minor and Y is a major of six or more."
    suit = longest(hand, promised)
    if length(hand, suit) >= 4 and not (suit in MINORS and six_card_major(hand, opening_suit)):
        return raise_promised(hand, suit, cheapest_level(suit, level, overcall_suit))
    # "3. cue_bid (Z at its next level): 18+ HCP, and either no stopper in Z, or six or more in Y, no
    # room for rule 4's jump and the cheapest rebid of Y below game."
    own = length(hand, opening_suit)
    room = rebid[0] + 1 <= (3 if opening_suit in MINORS else 4)
    if points >= SETTINGS.answer.cue_bid and (
        not stopper(hand, overcall_suit)
        or (own >= 6 and not room and rebid[0] < game_level(opening_suit))
    ):
        return "cue_bid", write_bid(level + 1, overcall_suit)
    # "4. own_suit: six or more in Y."
    if own >= 6:
        # "A major of eight or more: game."
        if opening_suit in MAJORS and own >= 8:
            game = max(rebid[0], game_level(opening_suit))
            return "own_suit", write_bid(game, opening_suit)
        # "Otherwise rebid Y at its cheapest level; with 16+ HCP, or with seven or more in it and
        # 13+ HCP, a jump one higher, if that is no higher than three of a minor or four of a major."
        strong = points >= SETTINGS.answer.own_suit_jump
        long = own >= 7 and points >= SETTINGS.answer.own_suit_long_jump
        jump = 1 if (strong or long) and room else 0
        return "own_suit", write_bid(rebid[0] + jump, opening_suit)
    # "5. second_suit: five or more in a suit that is neither Y, Z nor promised, at its cheapest
    # level."
    for suit in second:
        if length(hand, suit) >= 5:
            return "second_suit", write_bid(cheapest_level(suit, level, overcall_suit), suit)
    # "6. notrump: a stopper in Z: at its cheapest level; with 18+ HCP one higher, but not beyond
    # 3NT."
    if stopper(hand, overcall_suit):
        bid_level = cheapest_level(NOTRUMP, level, overcall_suit)
        if points >= SETTINGS.answer.notrump_jump:
            bid_level = one_higher(bid_level, NOTRUMP)
        return "notrump", write_bid(bid_level, NOTRUMP)
    # "7. second_suit: four in a suit that is neither Y, Z nor promised, if its cheapest bid is
    # lower than the cheapest rebid of Y, or with 16+ HCP."
    for suit in second:
        bid = cheapest_level(suit, level, overcall_suit), suit
        if length(hand, suit) == 4 and (bid < rebid or points >= SETTINGS.answer.second_suit):
            return "second_suit", write_bid(*bid)
    # "8. three_card_raise: exactly three cards in a promised suit (three in each: spades of the
    # majors, clubs of the minors), at its cheapest level; but not with five or more cards in Y and a
    # cheaper rebid of Y."
    threes = [suit for suit in (SPADES, HEARTS, CLUBS, DIAMONDS) if suit in promised]
    threes = [suit for suit in threes if length(hand, suit) == 3]
    if threes:
        bid = cheapest_level(threes[0], level, overcall_suit), threes[0]
        if not (own >= 5 and rebid < bid):
            return "three_card_raise", write_bid(*bid)
    # "9. rebid: Y at its cheapest level."
    return "rebid", write_bid(*rebid)


def spade_raise(opener_hand: Hand) -> str | None:
    """Return the opener's raise after a minor, 1H and 1S (five or more spades), or None."""
    # "an opener with three or more spades knows of eight: it raises, with up to 15 support points
    # to 2S, 16-18 to 3S, 19+ to 4S. With fewer than three: no raise"
    if length(opener_hand, SPADES) < 3:
        return None
    support = support_points(opener_hand)
    if support >= SETTINGS.answer.spade_game:
        return "4S"
    return "3S" if support >= SETTINGS.answer.spade_jump else "2S"
