"""Section 6 of the reference agreement, the advancer, read plainly."""

from plain.response import promised_suits, unbid
from plain.settings import SETTINGS
from plain.words import (
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
    """Return the advancer's call by name and as it is made, after the double or after a pass.

    Both passes of the responder, `pass` and `penalty_pass`, are alike here. "11+ at 3" and "never
    at 4" leave a new suit to levels 1 to 3. Rule 3 names no jump: over a jump to level 2 rule 2 has
    taken every hand with three cards and the points. The "12-14" of rule 5 ends below the 15 of 3NT.
    """
    ours = SETTINGS.advancer
    points, support = high_card_points(hand), support_points(hand)
    held = length(hand, overcall_suit)
    jump = is_jump(opening_suit, overcall_suit, level)
    # "1. strong_raise: a cue-bid of Y at its cheapest level over LZ, if that is 3 or lower, the
    # overcall was no jump, and the hand has either three or more cards in Z with 11+ support points,
    # or four or more with 9+ HCP."
    cue_level = cheapest_level(opening_suit, level, overcall_suit)
    three = held >= 3 and support >= ours.strong_raise
    four = held >= 4 and points >= ours.strong_raise_four
    if cue_level <= 3 and not jump and (three or four):
        return "strong_raise", write_bid(cue_level, opening_suit)
    # "The overcall has shown five cards in Z, a jump L + 4 of them. t is the cards in Z that the
    # overcaller has shown and the advancer holds."
    trumps = (level + 4 if jump else 5) + held
    # "2. preemptive_raise: t is 9 or more, and 6+ support points: Z at level t - 6, or at game (four
    # of a major, five of a minor) if that is lower; only if it is higher than L."
    high = min(trumps - 6, game_level(overcall_suit))
    if trumps >= 9 and support >= ours.preemptive_raise and high > level:
        return "preemptive_raise", write_bid(high, overcall_suit)
    # "3. raise: three or more in Z, L = 1 with 6+ support points or L = 2 with 8+ support points: Z
    # at level L + 1."
    needed = ours.raise_one if level == 1 else ours.raise_two
    if held >= 3 and level in (1, 2) and support >= needed:
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
        # "Here total points count length in every suit."
        enough = total_points(hand) >= (ours.new_suit if bid_level <= 2 else ours.new_suit_three)
        if length(hand, suit) >= 5 and good(hand, suit) and enough and bid_level <= 3:
            return "new_suit", write_bid(bid_level, suit)
    # "5. notrump: the overcall no jump, exactly two cards in Z, a stopper in Y, L = 1 with 8+ HCP or
    # L = 2 with 11+: notrump at level L; one level higher with 12-14 where L = 1; 3NT with 15+ where
    # L = 1, with 14+ where L = 2."
    if not jump and held == 2 and stopper(hand, opening_suit) and level in (1, 2):
        if level == 1 and points >= ours.notrump_one:
            if points >= ours.notrump_game_one:
                return "notrump", "3NT"
            return "notrump", "2NT" if points >= ours.notrump_jump else "1NT"
        if level == 2 and points >= ours.notrump_two:
            return "notrump", "3NT" if points >= ours.notrump_game_two else "2NT"
    # "6. pass. There is no redouble."
    return "pass", "pass"
