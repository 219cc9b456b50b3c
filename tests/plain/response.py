"""Section 3 of the reference agreement, the responder, read plainly."""

from functools import cache

from plain.settings import SETTINGS
from plain.words import (
    CLUBS,
    DIAMONDS,
    HEARTS,
    MAJORS,
    MINORS,
    NOTRUMP,
    SPADES,
    Hand,
    cheapest_level,
    game_level,
    good,
    high_card_points,
    length,
    longest,
    read_bid,
    stopper,
    support_points,
    total_points,
    write_bid,
)

PROMISED = {
    "both_majors": MAJORS,
    "either_major": MAJORS,
    "both_minors": MINORS,
    "exactly_four_spades": (SPADES,),
}


def message(opening_suit: int, overcall_suit: int, level: int) -> str:
    """Return what the double of this overcall promises."""
    bid_suits = {opening_suit, overcall_suit}
    # "both minors bid: four or more in each major, both_majors"
    if bid_suits == set(MINORS):
        # No reference: by some agreements one of the majors is enough.
        return "both_majors" if SETTINGS.response.both_majors else "either_major"
    # "both majors bid: four or more in each minor, both_minors"
    if bid_suits == set(MAJORS):
        return "both_minors"
    # "a minor opened and 1H overcalled: exactly four spades, exactly_four_spades"
    if opening_suit in MINORS and (level, overcall_suit) == (1, HEARTS):
        return "exactly_four_spades"
    # "otherwise, one major unbid: four or more in it, other_major."
    return "other_major"


@cache
def unbid(suits: tuple[int, ...], opening_suit: int, overcall_suit: int) -> tuple[int, ...]:
    # "The other two suits are unbid."
    return tuple(suit for suit in suits if suit not in (opening_suit, overcall_suit))


def promised_suits(opening_suit: int, overcall_suit: int, level: int) -> tuple[int, ...]:
    """Return the suits of the message."""
    other_major = unbid(MAJORS, opening_suit, overcall_suit)
    return PROMISED.get(message(opening_suit, overcall_suit, level), other_major)


def promise_held(hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> bool:
    """Return whether the hand has what the double promises.

    "Five in one" of the two majors is taken as five or more, since only the three is "exactly".
    """
    promised = promised_suits(opening_suit, overcall_suit, level)
    meaning = message(opening_suit, overcall_suit, level)
    if meaning == "exactly_four_spades":
        return length(hand, SPADES) == 4
    if meaning == "either_major":
        return any(length(hand, suit) >= 4 for suit in promised)
    # No reference: "both majors as four-four, or five in one and exactly three in the other", after
    # both minors were bid with the overcall at level 2.
    if SETTINGS.response.five_three_majors and meaning == "both_majors" and level == 2:
        fewer, more = sorted(length(hand, suit) for suit in MAJORS)
        if fewer == 3 and more >= 5:
            return True
    return all(length(hand, suit) >= 4 for suit in promised)


def new_suit_points(bid_level: int) -> int:
    # "10 total points at level 2, five or more and 12 at 3, six or more and 12 at 4"
    ours = SETTINGS.response
    return {2: ours.new_suit_two, 3: ours.new_suit_three, 4: ours.new_suit_four}[bid_level]


def new_suit(
    hand: Hand, suits: tuple[int, ...], overcall_suit: int, level: int, fewest: int = 5
) -> str | None:
    """Return the bid of a new suit under rules 5, 6 and 8, in the longest of these suits, or None."""
    if not suits:
        return None
    suit = longest(hand, suits)
    cards, points = length(hand, suit), total_points(hand, overcall_suit)
    # "A new suit under rules 5, 6 and 8 is bid at its cheapest level: five or more cards and 10
    # total points at level 2, five or more and 12 at 3, six or more and 12 at 4; never at level 1
    # (that is rule 3) or 5."
    bid_level = cheapest_level(suit, level, overcall_suit)
    if bid_level not in (2, 3, 4):
        return None
    cards_needed = 6 if bid_level == 4 else fewest
    if cards >= cards_needed and points >= new_suit_points(bid_level):
        return write_bid(bid_level, suit)
    return None


def one_level_major(hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> str | None:
    """Return the bid of a major under rule 3, or None."""
    # "L = 1 and 6+ total points"
    enough = total_points(hand, overcall_suit) >= SETTINGS.response.one_level_major
    if level != 1 or not enough:
        return None
    hearts, spades = length(hand, HEARTS), length(hand, SPADES)
    # "after 1C (1D): five or more in a major, the longer (equals: spades); or exactly four in one
    # major and fewer in the other: that major"
    if (opening_suit, overcall_suit) == (CLUBS, DIAMONDS):
        if max(hearts, spades) >= 5:
            return write_bid(1, longest(hand, MAJORS))
        one_of_four = max(hearts, spades) == 4 and hearts != spades
        if one_of_four and SETTINGS.response.one_level_cards == 4:
            return write_bid(1, longest(hand, MAJORS))
    # "after a minor and 1H: five or more spades: 1S."
    if opening_suit in MINORS and overcall_suit == HEARTS and spades >= 5:
        return "1S"
    return None


def raise_points(raise_level: int) -> int:
    # "A raise ... needs 6 support points at k = 2, 9 at 3, 12 at 4, 15 at 5."
    ours = SETTINGS.response
    return {2: ours.raise_two, 3: ours.raise_three, 4: ours.raise_four, 5: ours.raise_five}[
        raise_level
    ]


def double_points(overcall_suit: int, level: int) -> int:
    # "The double needs by L: 6 total points at level 1, 8 at 2, 10 at 3, 12 at 4"
    ours = SETTINGS.response
    if level == 2:
        # The text has one figure; a user may set one for a minor and one for a major.
        return ours.double_two_minor if overcall_suit in MINORS else ours.double_two_major
    return {1: ours.double_one, 3: ours.double_three, 4: ours.double_four}[level]


def notrump_level(points: int, level: int) -> int | None:
    """Return the level of notrump on these HCP over an overcall at level L, or None.

    The plain 10 and 12 of the text are one less than the bold 11 and 13, and the 12 and 13 at L = 2
    move with the 13 at L = 1.
    """
    ours = SETTINGS.response
    # "8+ HCP at L = 1, 11+ at 2, 12+ at 3; never at 4."
    if level == 4:
        return None
    if points < {1: ours.notrump_one, 2: ours.notrump_two, 3: ours.notrump_three}[level]:
        return None
    # "L = 1: 1NT with up to 10, 2NT with 11-12, 3NT with 13+; L = 2: 2NT with up to 12, 3NT with
    # 13+; L = 3: 3NT."
    if level == 3 or points >= ours.notrump_game:
        return 3
    if level == 2 or points >= ours.notrump_invite:
        return 2
    return 1


def response(
    hand: Hand, opening_suit: int, overcall_suit: int, level: int
) -> tuple[str, str | None]:
    """Return the responder's call by name and as it is made; ('above_ceiling', None) above the
    ceiling.

    "One card fewer" in rule 12 is exactly one fewer. "The longer unbid major" is the only unbid
    major where there is one, and the rule fails where there is none. The hand that raises to
    game in rule 2 has the support points for k besides.
    """
    ours = SETTINGS.response
    # "The setting double through is 3S ...: over a higher overcall the agreement says nothing, and
    # the deal is counted as above_ceiling."
    if (level, overcall_suit) > read_bid(ours.double_through):
        return "above_ceiling", None
    points, support = high_card_points(hand), support_points(hand)
    # "Responder's total points leave out length in Z: here, in the reason and in section 5."
    total = total_points(hand, overcall_suit)
    opened, held = length(hand, opening_suit), length(hand, overcall_suit)
    # "A raise goes to k, the cheapest level of Y over LZ but at least 2"
    raise_level = max(2, cheapest_level(opening_suit, level, overcall_suit))
    raise_bid = write_bid(raise_level, opening_suit)
    enough_to_raise = support >= raise_points(raise_level)
    # "1. strong_raise: Y is a major, three or more cards in it, 11+ support points, L = 1 or 2: a
    # cue-bid, Z at level L + 1."
    cue_bid = write_bid(level + 1, overcall_suit)
    long_major = opening_suit in MAJORS and opened >= ours.raise_cards
    if long_major and support >= ours.strong_raise and level in (1, 2):
        return "strong_raise", cue_bid
    # "2. raise_major: Y is a major, three or more cards in it, the support points for k: to k; over
    # an overcall at level 3, with 12+ support points, to game."
    if long_major and enough_to_raise:
        if level == 3 and support >= ours.raise_game:
            return "raise_major", write_bid(game_level(opening_suit), opening_suit)
        return "raise_major", raise_bid
    # "3. one_level_major"
    if bid := one_level_major(hand, opening_suit, overcall_suit, level):
        return "one_level_major", bid
    # "4. penalty_pass: five or more cards in Z, Z good, 8+ HCP: pass, hoping to defend. (Settings: 4
    # or 5 cards.)"
    if held >= ours.penalty_cards and good(hand, overcall_suit) and points >= ours.penalty_pass:
        return "penalty_pass", "pass"
    # "5. new_major: the longer unbid major (equals: spades), as the line on new suits."
    if bid := new_suit(hand, unbid(MAJORS, opening_suit, overcall_suit), overcall_suit, level):
        return "new_major", bid
    # "6. new_minor: where the message is both_minors, a minor of six or more (the longer; equals:
    # diamonds), with the points of the line on new suits: it."
    minors = unbid(MINORS, opening_suit, overcall_suit)
    if message(opening_suit, overcall_suit, level) == "both_minors" and (
        bid := new_suit(hand, minors, overcall_suit, level, fewest=6)
    ):
        return "new_minor", bid
    # "The double needs by L ...; at every level 5+ HCP."
    # "7. double: its promise held, its points and HCP, and at most 4 cards in Z."
    if (
        ours.double
        and promise_held(hand, opening_suit, overcall_suit, level)
        and total >= double_points(overcall_suit, level)
        and points >= ours.double_hcp
        and held <= ours.double_cards
    ):
        return "double", "X"
    # "8. new_minor: the longer unbid minor (equals: diamonds), as the line on new suits."
    if bid := new_suit(hand, minors, overcall_suit, level):
        return "new_minor", bid
    # "9. notrump: a stopper in Z and 8+ HCP at L = 1, 11+ at 2, 12+ at 3; never at 4."
    if stopper(hand, overcall_suit) and (bid_level := notrump_level(points, level)):
        return "notrump", write_bid(bid_level, NOTRUMP)
    # "10. strong_raise: Y is a minor, five or more clubs or four or more diamonds in it, 11+ support
    # points, L = 1 or 2: the cue-bid of rule 1."
    minor_needed = 5 if opening_suit == CLUBS else 4
    long_minor = opening_suit in MINORS and opened >= minor_needed
    if long_minor and support >= ours.strong_raise_minor and level in (1, 2):
        return "strong_raise", cue_bid
    # "11. cue_bid: 12+ total points at L = 1 and 2, 14+ at 3, never at 4: a strong hand with no
    # other call; Z at level L + 1."
    if level <= 3 and total >= (ours.cue_bid_three if level == 3 else ours.cue_bid):
        return "cue_bid", cue_bid
    # "12. raise_minor: Y is a minor, five or more clubs or four or more diamonds in it, the support
    # points for k; or, at k = 2 only, one card fewer and 8+ support points."
    if opening_suit in MINORS:
        one_fewer = opened == minor_needed - 1 and support >= ours.short_raise
        if (long_minor and enough_to_raise) or (raise_level == 2 and one_fewer):
            return "raise_minor", raise_bid
    # "13. pass."
    return "pass", "pass"


def reason(hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> str:
    """Return why a hand that doubles chose the double.

    "But too few points, or no room, to bid it" explains why such a hand doubles and is no test.
    """
    meaning = message(opening_suit, overcall_suit, level)
    # "both_suits: the message is both majors or both minors"
    if meaning in ("both_majors", "both_minors"):
        return "both_suits"
    # "exactly_four_spades: the message is that"
    if meaning == "exactly_four_spades":
        return "exactly_four_spades"
    major = longest(hand, promised_suits(opening_suit, overcall_suit, level))
    # "five_or_more: five or more in the promised major, but too few points, or no room, to bid it"
    if length(hand, major) >= 5:
        return "five_or_more"
    # "four_and_strong: four in the promised major and 10+ total points"
    if total_points(hand, overcall_suit) >= SETTINGS.response.strong:
        return "four_and_strong"
    # "four_and_ordinary: four and fewer."
    return "four_and_ordinary"
