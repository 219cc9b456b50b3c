"""Sections 1 and 2 of the reference agreement, the opening and the overcall, read plainly."""

from plain.words import *


def opening(hand: Hand, seat: int) -> str:
    """Return the opening bid, or 'pass', of a hand in this seat (1 to 4) when nobody has bid before
    it.

    "Otherwise the longer minor" is met only with no suit of five cards, so the minors hold five
    cards or more between them and equal minors are three or four each. "Six cards (not clubs)"
    means that six clubs as the longest suit pass.
    """
    ours, points, suit = SETTINGS.opening, high_card_points(hand), longest(hand, SUITS)
    cards = length(hand, suit)
    two_longest = sum(sorted(length(hand, each) for each in SUITS)[-2:])
    # "1. 22+ HCP: the strong artificial opening (2C)."
    if points >= ours.strong:
        return "2C"
    # "2. Balanced, 20-21 HCP: 2NT."
    if balanced(hand) and within(points, ours.two_notrump):
        return "2NT"
    # "3. Balanced, 15-17 HCP (a five-card major allowed): 1NT."
    if balanced(hand) and within(points, ours.one_notrump):
        return "1NT"
    # "4. 12+ HCP; or 10+ HCP where HCP plus the lengths of the two longest suits make 20 or more:
    # one of a suit."
    if points >= ours.suit or (points >= ours.light and points + two_longest >= ours.light_sum):
        # "Longest suit five cards or more: that suit."
        if cards >= 5:
            return write_bid(1, suit)
        if ours.major_cards == 4:
            return write_bid(1, four_card_suit(hand))
        # "Otherwise the longer minor; equal minors: 1D with four each, 1C with three each."
        clubs, diamonds = length(hand, CLUBS), length(hand, DIAMONDS)
        if clubs == diamonds:
            return "1D" if diamonds == 4 else "1C"
        return "1D" if diamonds > clubs and diamonds >= ours.diamond_cards else "1C"
    # "5. Seats 1, 2 and 3 only, 5-10 HCP, longest suit good: six cards (not clubs), a weak two;
    # seven, a three-level opening; eight or more, a four-level opening."
    if seat in (1, 2, 3) and within(points, ours.weak) and good(hand, suit):
        if cards >= 7 or (cards == 6 and suit != CLUBS):
            return write_bid(min(cards, 8) - 4, suit)
    # "6. Pass."
    return "pass"


def four_card_suit(hand: Hand) -> int:
    """Return the suit that an agreement of four-card majors opens without a suit of five; no
    reference.

    Common practice: the only suit of four; of two, hearts with both majors, otherwise the
    higher-ranking; of three, 1D with a singleton spade or heart, 1C with a singleton diamond, 1H
    with a singleton club.
    """
    fours = [suit for suit in SUITS if length(hand, suit) == 4]
    if fours == [HEARTS, SPADES]:
        return HEARTS
    if len(fours) < 3:
        return max(fours)
    (singleton,) = set(SUITS) - set(fours)
    return {SPADES: DIAMONDS, HEARTS: DIAMONDS, DIAMONDS: CLUBS, CLUBS: HEARTS}[singleton]


def overcall(hand: Hand, Y: int) -> tuple[str, str | None]:
    """Return the rule that the next hand follows over one of a suit, and its bid under rules 4, 5,
    7, 8.

    Rule 8's "five cards" is taken as exactly five.
    """
    ours, points = SETTINGS.overcall, high_card_points(hand)
    others = tuple(suit for suit in SUITS if suit != Y)
    # "1. Balanced, 15-18 HCP, a stopper in Y: 1NT."
    if balanced(hand) and within(points, ours.notrump) and stopper(hand, Y):
        return "notrump_overcall", None
    # "2. 18+ HCP: takeout double."
    if points >= ours.strong_double:
        return "strong_double", None
    # "3. 6+ HCP and five or more cards in each of two suits other than Y (any pair, save spades
    # with the other minor after a minor opening), whatever their quality: a two-suited call."
    long_suits = [suit for suit in others if length(hand, suit) >= 5]
    saved = Y in MINORS and SPADES in long_suits and HEARTS not in long_suits
    worth = ours.two_suited_calls and points >= ours.two_suited
    if worth and len(long_suits) == 2 and not saved:
        return "two_suited", None
    # "4. From here Z is the longest suit other than Y and c its cheapest level over 1Y."
    Z = longest(hand, others)
    cards, c = length(hand, Z), cheapest_level(Z, 1, Y)
    # "Z six cards or longer and good, 5-10 HCP: a weak jump to level 2 with six, 3 with seven, 4
    # with eight or more, if that is higher than c; if it is not, go on to rule 5."
    jump = min(cards, 8) - 4
    if cards >= 6 and good(hand, Z) and within(points, ours.weak_jump) and jump > c:
        return "weak_jump", write_bid(jump, Z)
    # "5. c = 1, Z a major of five cards or longer, and either 8-17 HCP with Z good, or 12-17 HCP
    # with the ace, king or queen of Z: overcall 1Z."
    worth_good = within(points, ours.one_level_good) and good(hand, Z)
    worth_honour = within(points, ours.one_level) and honour(hand, Z)
    one_level = c == 1 and cards >= 5 and (worth_good or worth_honour)
    if one_level and Z in MAJORS:
        return "one_level_major", write_bid(1, Z)
    # "6. 12+ HCP, at most two cards in Y, at least three in each other suit: takeout double."
    shape = length(hand, Y) <= 2 and all(length(hand, suit) >= 3 for suit in others)
    if points >= ours.takeout and shape:
        return "takeout_double", None
    # "7. c = 1, Z diamonds, as rule 5: overcall 1D."
    if one_level and Z == DIAMONDS:
        return "one_level_diamond", "1D"
    # "8. c = 2, Z good, and either six cards or longer with 10-17 HCP, or five cards with 12-17:
    # overcall 2Z."
    six = cards >= 6 and within(points, ours.two_level_six)
    five = cards == 5 and within(points, ours.two_level_five)
    if c == 2 and good(hand, Z) and (six or five):
        return "two_level", write_bid(2, Z)
    # "9. Pass."
    return "pass", None
