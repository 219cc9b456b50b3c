"""Section 6 of the reference agreement, the advancer, read plainly."""

from plain.response import promised_suits, unbid
from plain.words import *


def is_jump(Y: int, Z: int, L: int) -> bool:
    # "c its cheapest level over 1Y"; "an overcall above c is a jump."
    return L > cheapest_level(Z, 1, Y)


def advancer(hand: Hand, Y: int, Z: int, L: int, after_double: bool) -> Call:
    """Return the advancer's call, after the double or after a pass.

    Both passes of the responder, `pass` and `penalty_pass`, are alike here. "11+ at 3" and "never
    at 4" leave a new suit to levels 1 to 3. Rule 3 names no jump: over a jump to level 2 rule 2 has
    taken every hand with three cards and the points. The "12-14" of rule 5 ends below the 15 of 3NT.
    """
    ours = SETTINGS.advancer
    points, support, held = high_card_points(hand), support_points(hand), length(hand, Z)
    jump = is_jump(Y, Z, L)
    # "1. strong_raise: a cue-bid of Y at its cheapest level over LZ, if that is 3 or lower, the
    # overcall was no jump, and the hand has either three or more cards in Z with 11+ support points,
    # or four or more with 9+ HCP."
    cue_level = cheapest_level(Y, L, Z)
    three = held >= 3 and support >= ours.strong_raise
    four = held >= 4 and points >= ours.strong_raise_four
    if cue_level <= 3 and not jump and (three or four):
        return "strong_raise", write_bid(cue_level, Y)
    # "The overcall has shown five cards in Z, a jump L + 4 of them. t is the cards in Z that the
    # overcaller has shown and the advancer holds."
    t = (L + 4 if jump else 5) + held
    # "2. preemptive_raise: t is 9 or more, and 6+ support points: Z at level t - 6, or at game (four
    # of a major, five of a minor) if that is lower; only if it is higher than L."
    high = min(t - 6, game_level(Z))
    if t >= 9 and support >= ours.preemptive_raise and high > L:
        return "preemptive_raise", write_bid(high, Z)
    # "3. raise: three or more in Z, L = 1 with 6+ support points or L = 2 with 8+ support points: Z
    # at level L + 1."
    needed = ours.raise_one if L == 1 else ours.raise_two
    if held >= 3 and L in (1, 2) and support >= needed:
        return "raise", write_bid(L + 1, Z)
    # "The promised suits are the double's; after a pass there are none."
    promised = promised_suits(Y, Z, L) if after_double else ()
    # "4. new_suit: the longest suit that is neither Y, Z nor promised (equals: the higher-ranking),
    # five or more cards and good, at its cheapest level: 8+ total points at level 1 or 2, 11+ at 3;
    # never at 4, and never over a jump."
    new = tuple(suit for suit in unbid(SUITS, Y, Z) if suit not in promised)
    if new and not jump:
        suit = longest(hand, new)
        level = cheapest_level(suit, L, Z)
        # "Here total points count length in every suit."
        enough = total_points(hand) >= (ours.new_suit if level <= 2 else ours.new_suit_three)
        if length(hand, suit) >= 5 and good(hand, suit) and enough and level <= 3:
            return "new_suit", write_bid(level, suit)
    # "5. notrump: the overcall no jump, exactly two cards in Z, a stopper in Y, L = 1 with 8+ HCP or
    # L = 2 with 11+: notrump at level L; one level higher with 12-14 where L = 1; 3NT with 15+ where
    # L = 1, with 14+ where L = 2."
    if not jump and held == 2 and stopper(hand, Y):
        if L == 1 and points >= ours.notrump_one:
            if points >= ours.notrump_game_one:
                return "notrump", "3NT"
            return "notrump", "2NT" if points >= ours.notrump_jump else "1NT"
        if L == 2 and points >= ours.notrump_two:
            return "notrump", "3NT" if points >= ours.notrump_game_two else "2NT"
    # "6. pass. There is no redouble."
    return "pass", "pass"
