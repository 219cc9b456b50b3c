"""Section 9 of the reference agreement, the opener in the pass-out seat, read plainly."""

from plain.response import unbid
from plain.words import (
    NOTRUMP,
    REFERENCE,
    SUITS,
    Hand,
    cheapest_level,
    high_card_points,
    length,
    longest,
    stopper,
    write_bid,
)


def reopening(hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> tuple[str, str]:
    """The opener's call by name and as it is made after two passes over the overcall.

    Rule 1 decides for every hand with three or more cards in Z. Rule 2 looks at the longest of the
    two unbid suits alone. "A suit ... whose cheapest level is 2 or lower, or 3 with 16+ HCP" leaves
    nothing at level 4, nor does rule 3.
    """
    points = high_card_points(hand)
    held, own = length(hand, overcall_suit), length(hand, opening_suit)
    rebid = cheapest_level(opening_suit, level, overcall_suit)
    # "1. Three or more cards in Z:"
    if held >= 3:
        # "with 18+ HCP, a stopper in Z, no singleton or void and L no higher than 3, notrump at
        # level L;"
        if (
            points >= REFERENCE.reopening_notrump
            and stopper(hand, overcall_suit)
            and all(length(hand, suit) >= 2 for suit in SUITS)
            and level <= 3
        ):
            return "notrump", write_bid(level, NOTRUMP)
        # "else with 17+ HCP double;"
        if points >= REFERENCE.reopening_double_long:
            return "double", "X"
        # "else with six or more in Y, if its cheapest level is 2 or lower, own_suit; else pass."
        if own >= 6 and rebid <= 2:
            return "own_suit", write_bid(rebid, opening_suit)
        return "pass", "pass"
    others = unbid(SUITS, opening_suit, overcall_suit)
    # "2. second_suit: five or more in a suit other than Y and Z (the longest; equals: the
    # higher-ranking), whose cheapest level is 2 or lower, or 3 with 16+ HCP: it there."
    suit = longest(hand, others)
    bid_level = cheapest_level(suit, level, overcall_suit)
    if length(hand, suit) >= 5 and (
        bid_level <= 2 or (bid_level == 3 and points >= REFERENCE.reopening_second_suit)
    ):
        return "second_suit", write_bid(bid_level, suit)
    # "3. own_suit: at most 15 HCP, and six or more in Y whose cheapest level is 2 or lower, or seven
    # or more where it is 3: Y there."
    if points <= REFERENCE.reopening_own_suit and (
        (own >= 6 and rebid <= 2) or (own >= 7 and rebid == 3)
    ):
        return "own_suit", write_bid(rebid, opening_suit)
    # "4. double: 16+ HCP, or two or more cards in each of the two unbid suits; and, besides either,
    # L = 1 or 2, or at most one card in Z, or 15+ HCP."
    worth = points >= REFERENCE.reopening_double or all(length(hand, suit) >= 2 for suit in others)
    if worth and (
        level <= 2 or held <= REFERENCE.reopening_short or points >= REFERENCE.reopening_double_high
    ):
        return "double", "X"
    # "5. pass."
    return "pass", "pass"
