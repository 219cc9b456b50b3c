"""Section 4 of the reference agreement, the opener's answer to the double, read plainly."""

from plain.response import promised_suits, unbid
from plain.words import *


def one_higher(level: int, strain: int) -> int:
    # "one higher but not beyond game"; "A limit ("not beyond") never takes a bid below its
    # cheapest level."
    return max(level, min(level + 1, game_level(strain)))


def raise_promised(hand: Hand, suit: int, level: int) -> Call:
    """Rule 2 in this suit, its cheapest level given; "up to 15" is anything below 16.

    Where the cheapest bid is beyond game already, "game" is that cheapest bid.
    """
    ours, support = SETTINGS.answer, support_points(hand)
    # "The names go by the strength, whatever level is left."
    # "A major: up to 15 support points, its cheapest level, raise_minimum; 16-18, one higher but
    # not beyond game, raise_jump; 19+, game, raise_game"
    if suit in MAJORS and support >= ours.raise_game:
        return "raise_game", write_bid(max(level, game_level(suit)), suit)
    # "A minor: up to 15 the cheapest level, raise_minimum; 16+ one higher but not beyond game,
    # raise_jump."
    if support >= (ours.raise_jump if suit in MAJORS else ours.minor_jump):
        return "raise_jump", write_bid(one_higher(level, suit), suit)
    return "raise_minimum", write_bid(level, suit)


def six_card_major(hand: Hand, Y: int) -> bool:
    # "Y is a major of six or more"
    return Y in MAJORS and length(hand, Y) >= 6


def answer(hand: Hand, Y: int, Z: int, L: int) -> Call:
    """Return the opener's answer to the double; the penalty pass is made by 'pass'.

    "No room for rule 4's jump" denies the condition of rule 4: one level above the cheapest rebid of Y is
    no higher than three of a minor or four of a major. Rule 3 is tried first, so it holds for seven
    and eight cards too. "Four" in rule 7 is what rule 5 left: four exactly.
    """
    ours, points, own = SETTINGS.answer, high_card_points(hand), length(hand, Y)
    promised = promised_suits(Y, Z, L)
    # "a suit that is neither Y, Z nor promised": none where two suits are promised, else one
    second = [suit for suit in unbid(SUITS, Y, Z) if suit not in promised]
    rebid = cheapest_level(Y, L, Z), Y
    # "1. penalty_pass: five or more cards in Z and Z good."
    if length(hand, Z) >= 5 and good(hand, Z):
        return "penalty_pass", "pass"
    # "2. Four or more in a promised suit (the longer; equals: the higher-ranking), unless it is a
    # minor and Y is a major of six or more."
    suit = longest(hand, promised)
    if length(hand, suit) >= 4 and not (suit in MINORS and six_card_major(hand, Y)):
        return raise_promised(hand, suit, cheapest_level(suit, L, Z))
    # "3. cue_bid (Z at its next level): 18+ HCP, and either no stopper in Z, or six or more in Y, no
    # room for rule 4's jump and the cheapest rebid of Y below game."
    room = rebid[0] + 1 <= (3 if Y in MINORS else 4)
    no_jump = own >= 6 and not room and rebid[0] < game_level(Y)
    if points >= ours.cue_bid and (not stopper(hand, Z) or no_jump):
        return "cue_bid", write_bid(L + 1, Z)
    # "4. own_suit: six or more in Y."
    if own >= 6:
        # "A major of eight or more: game."
        if Y in MAJORS and own >= 8:
            return "own_suit", write_bid(max(rebid[0], game_level(Y)), Y)
        # "Otherwise rebid Y at its cheapest level; with 16+ HCP, or with seven or more in it and
        # 13+ HCP, a jump one higher, if that is no higher than three of a minor or four of a major."
        strong = points >= ours.own_suit_jump or (own >= 7 and points >= ours.own_suit_long_jump)
        return "own_suit", write_bid(rebid[0] + (1 if strong and room else 0), Y)
    # "5. second_suit: five or more in a suit that is neither Y, Z nor promised, at its cheapest
    # level."
    for suit in second:
        if length(hand, suit) >= 5:
            return "second_suit", write_bid(cheapest_level(suit, L, Z), suit)
    # "6. notrump: a stopper in Z: at its cheapest level; with 18+ HCP one higher, but not beyond
    # 3NT."
    if stopper(hand, Z):
        level = cheapest_level(NOTRUMP, L, Z)
        jumps = points >= ours.notrump_jump
        return "notrump", write_bid(one_higher(level, NOTRUMP) if jumps else level, NOTRUMP)
    # "7. second_suit: four in a suit that is neither Y, Z nor promised, if its cheapest bid is
    # lower than the cheapest rebid of Y, or with 16+ HCP."
    for suit in second:
        bid = cheapest_level(suit, L, Z), suit
        if length(hand, suit) == 4 and (bid < rebid or points >= ours.second_suit):
            return "second_suit", write_bid(*bid)
    # "8. three_card_raise: exactly three cards in a promised suit (three in each: spades of the
    # majors, clubs of the minors), at its cheapest level; but not with five or more cards in Y and a
    # cheaper rebid of Y."
    for suit in (SPADES, HEARTS, CLUBS, DIAMONDS):
        if suit in promised and length(hand, suit) == 3:
            bid = cheapest_level(suit, L, Z), suit
            if own >= 5 and rebid < bid:
                break
            return "three_card_raise", write_bid(*bid)
    # "9. rebid: Y at its cheapest level."
    return "rebid", write_bid(*rebid)


def spade_raise(opener: Hand) -> str | None:
    """Return the opener's raise after a minor, 1H and 1S (five or more spades), or None."""
    # "an opener with three or more spades knows of eight: it raises, with up to 15 support points
    # to 2S, 16-18 to 3S, 19+ to 4S. With fewer than three: no raise"
    if length(opener, SPADES) < 3:
        return None
    support = support_points(opener)
    if support >= SETTINGS.answer.spade_game:
        return "4S"
    return "3S" if support >= SETTINGS.answer.spade_jump else "2S"
