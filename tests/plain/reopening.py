"""Section 9 of the reference agreement, the opener in the pass-out seat, read plainly."""

from plain.response import unbid
from plain.words import *


def with_three_of_theirs(hand: Hand, Y: int, Z: int, L: int) -> Call:
    """Rule 1 in full, which decides for every hand with three or more cards in Z."""
    ours, points = SETTINGS.reopening, high_card_points(hand)
    # "1. Three or more cards in Z: with 18+ HCP, a stopper in Z, no singleton or void and L no
    # higher than 3, notrump at level L;"
    shape = stopper(hand, Z) and all(length(hand, suit) >= 2 for suit in SUITS)
    if points >= ours.notrump and shape and L <= 3:
        return "notrump", write_bid(L, NOTRUMP)
    # "else with 17+ HCP double;"
    if points >= ours.long_double:
        return "double", "X"
    # "else with six or more in Y, if its cheapest level is 2 or lower, own_suit; else pass."
    rebid = cheapest_level(Y, L, Z)
    if length(hand, Y) >= 6 and rebid <= 2:
        return "own_suit", write_bid(rebid, Y)
    return "pass", "pass"


def short_double(hand: Hand, Y: int, Z: int, L: int) -> Call | None:
    """Rule 2, the double on a short holding in Z."""
    ours, points, held = SETTINGS.reopening, high_card_points(hand), length(hand, Z)
    # "2. double, which on a short holding in Z is the rule and not the exception: 16+ HCP, or two or
    # more cards in each of the two unbid suits;"
    two_in_each = all(length(hand, suit) >= 2 for suit in unbid(SUITS, Y, Z))
    # "and, besides, all of these: at most six cards in Y; not both a void in Z and a suit that rule
    # 3 would bid; L = 1 or 2, or at most one card in Z, or 15+ HCP."
    if (
        (points >= ours.double or two_in_each)
        and length(hand, Y) <= 6
        and not (held == 0 and second_suit(hand, Y, Z, L))
        and (L <= 2 or held <= ours.high_double_cards or points >= ours.high_double)
    ):
        return "double", "X"
    return None


def second_suit(hand: Hand, Y: int, Z: int, L: int) -> Call | None:
    """Rule 3, which looks at the longest of the two unbid suits alone."""
    # "3. second_suit: five or more in a suit other than Y and Z (the longest; equals: the
    # higher-ranking), whose cheapest level is 2 or lower, or 3 with 16+ HCP: it there."
    suit = longest(hand, unbid(SUITS, Y, Z))
    level = cheapest_level(suit, L, Z)
    strong = high_card_points(hand) >= SETTINGS.reopening.second_suit_three
    if length(hand, suit) >= 5 and (level <= 2 or (level == 3 and strong)):
        return "second_suit", write_bid(level, suit)
    return None


def own_suit(hand: Hand, Y: int, Z: int, L: int) -> Call | None:
    """Rule 4."""
    # "4. own_suit: at most 15 HCP, and six or more in Y whose cheapest level is 2 or lower, or seven
    # or more where it is 3: Y there."
    own, rebid = length(hand, Y), cheapest_level(Y, L, Z)
    long = (own >= 6 and rebid <= 2) or (own >= 7 and rebid == 3)
    if high_card_points(hand) <= SETTINGS.reopening.own_suit and long:
        return "own_suit", write_bid(rebid, Y)
    return None


def reopening(hand: Hand, Y: int, Z: int, L: int) -> Call:
    """Return the opener's call after two passes over the overcall."""
    if length(hand, Z) >= 3:
        return with_three_of_theirs(hand, Y, Z, L)
    rules = [short_double, second_suit, own_suit]
    if SETTINGS.reopening.suits_first:
        # No reference: the order of the second edition, the suits tried before the double; the
        # double's own conditions stay.
        rules = [second_suit, own_suit, short_double]
    for rule in rules:
        if call := rule(hand, Y, Z, L):
            return call
    # "5. double: 16+ HCP."
    if high_card_points(hand) >= SETTINGS.reopening.late_double:
        return "double", "X"
    # "6. pass."
    return "pass", "pass"


def reopening_name(name: str, call: str, responder_call: str, advancer_void: bool) -> str:
    """Return the name that is counted: ``name`` but for a double of the opener's that is taken out."""
    # "A responder who made a penalty_pass passes any of these doubles, and so gets the penalty after
    # all, unless the advancer is void in Z: it then takes the double out, double_taken_out"
    if call == "X" and responder_call == "penalty_pass" and advancer_void:
        return "double_taken_out"
    return name
