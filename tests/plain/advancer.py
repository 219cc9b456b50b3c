"""Section 6 of the reference agreement, the advancer, read plainly."""

from plain.response import promised_suits, unbid
from plain.words import (
    NOTRUMP,
    REFERENCE,
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
    total_points,
    write_bid,
)


def is_jump(opening_suit: int, overcall_suit: int, level: int) -> bool:
    # "c its cheapest level over 1Y"; "an overcall above c is a jump."
    return level > cheapest_level(overcall_suit, 1, opening_suit)


def advancer(
    hand: Hand, opening_suit: int, overcall_suit: int, level: int, after_double: bool
) -> tuple[str, str]:
    """The advancer's call by name and as it is made, after the double or after a pass.

    Both passes of the responder, `pass` and `penalty_pass`, are alike here. "11+ at 3" and "never
    at 4" leave a new suit to levels 1 to 3. Rule 3 names no jump: over a jump to level 2 rule 2 has
    taken every hand with three cards and the points.
    """
    points, support = high_card_points(hand), support_points(hand)
    held = length(hand, overcall_suit)
    jump = is_jump(opening_suit, overcall_suit, level)
    # "1. strong_raise: the overcall no jump, three or more in Z, 11+ support points, and the
    # cheapest level of Y over LZ is 3 or lower: a cue-bid of Y there."
    cue_level = cheapest_level(opening_suit, level, overcall_suit)
    if not jump and held >= 3 and support >= REFERENCE.advancer_strong_raise and cue_level <= 3:
        return "strong_raise", write_bid(cue_level, opening_suit)
    # "The overcall has shown five cards in Z, a jump L + 4 of them. t is the cards in Z that the
    # overcaller has shown and the advancer holds."
    trumps = (level + 4 if jump else 5) + held
    # "2. preemptive_raise: t is 9 or more, and 6+ support points: Z at level t - 6, or at game (four
    # of a major, five of a minor) if that is lower; only if it is higher than L."
    high = min(trumps - 6, game_level(overcall_suit))
    if trumps >= 9 and support >= REFERENCE.preemptive_raise and high > level:
        return "preemptive_raise", write_bid(high, overcall_suit)
    # "3. raise: three or more in Z, L = 1 with 6+ support points or L = 2 with 8+ support points: Z
    # at level L + 1."
    if held >= 3 and level in (1, 2) and support >= REFERENCE.advancer_raise[level - 1]:
        return "raise", write_bid(level + 1, overcall_suit)
    # "The promised suits are the double's; after a pass there are none."
    promised = promised_suits(opening_suit, overcall_suit, level) if after_double else ()
    # "4. new_suit: the longest suit that is neither Y, Z nor promised (equals: the higher-ranking),
    # five or more cards and good, at its cheapest level: 8+ total points at level 1 or 2, 11+ at 3;
    # never at 4, and never over a jump."
    new = tuple(suit for suit in unbid(SUITS, opening_suit, overcall_suit) if suit not in promised)
    if new and not jump:
        suit = longest(hand, new)
        bid_level = cheapest_level(suit, level, overcall_suit)
        at_two, at_three = REFERENCE.advancer_new_suit
        # "Here total points count length in every suit."
        enough = total_points(hand) >= (at_two if bid_level <= 2 else at_three)
        if length(hand, suit) >= 5 and good(hand, suit) and enough and bid_level <= 3:
            return "new_suit", write_bid(bid_level, suit)
    # "5. notrump: the overcall no jump, exactly two cards in Z, a stopper in Y, L = 1 with 8+ HCP or
    # L = 2 with 11+: notrump at level L."
    if (
        not jump
        and held == 2
        and stopper(hand, opening_suit)
        and level in (1, 2)
        and points >= REFERENCE.advancer_notrump[level - 1]
    ):
        return "notrump", write_bid(level, NOTRUMP)
    # "6. pass. There is no redouble."
    return "pass", "pass"
