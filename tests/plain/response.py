"""Section 3 of the reference agreement, the responder, read plainly."""

from functools import cache

from plain.words import *

PROMISED = {
    "both_majors": MAJORS,
    "either_major": MAJORS,
    "both_minors": MINORS,
    "exactly_four_spades": (SPADES,),
}


def message(Y: int, Z: int, L: int) -> str:
    """Return what the double of this overcall promises."""
    # "both minors bid: four or more in each major, both_majors"
    if {Y, Z} == set(MINORS):
        # No reference: by some agreements one of the majors is enough.
        return "both_majors" if SETTINGS.response.both_majors else "either_major"
    # "both majors bid: four or more in each minor, both_minors"
    if {Y, Z} == set(MAJORS):
        return "both_minors"
    # "a minor opened and 1H overcalled: exactly four spades, exactly_four_spades"
    # "otherwise, one major unbid: four or more in it, other_major."
    return "exactly_four_spades" if Y in MINORS and (L, Z) == (1, HEARTS) else "other_major"


@cache
def unbid(suits: Suits, Y: int, Z: int) -> Suits:
    # "The other two suits are unbid."
    return tuple(suit for suit in suits if suit not in (Y, Z))


def promised_suits(Y: int, Z: int, L: int) -> Suits:
    """Return the suits of the message."""
    return PROMISED.get(message(Y, Z, L), unbid(MAJORS, Y, Z))


def promise_held(hand: Hand, Y: int, Z: int, L: int) -> bool:
    """Return whether the hand has what the double promises.

    "Five in one" of the two majors is taken as five or more, since only the three is "exactly".
    """
    fours = [length(hand, suit) >= 4 for suit in promised_suits(Y, Z, L)]
    meaning = message(Y, Z, L)
    if meaning == "exactly_four_spades":
        return length(hand, SPADES) == 4
    if meaning == "either_major":
        return any(fours)
    # No reference: "both majors as four-four, or five in one and exactly three in the other", after
    # both minors were bid with the overcall at level 2.
    if SETTINGS.response.five_three_majors and meaning == "both_majors" and L == 2:
        fewer, more = sorted(length(hand, suit) for suit in MAJORS)
        if fewer == 3 and more >= 5:
            return True
    return all(fours)


def new_suit(hand: Hand, suits: Suits, Z: int, L: int, fewest: int = 5) -> str | None:
    """Return the bid of a new suit under rules 5, 6 and 8, in the longest of these suits, or None."""
    if not suits:
        return None
    ours, suit = SETTINGS.response, longest(hand, suits)
    # "A new suit under rules 5, 6 and 8 is bid at its cheapest level: five or more cards and 10
    # total points at level 2, five or more and 12 at 3, six or more and 12 at 4; never at level 1
    # (that is rule 3) or 5."
    level = cheapest_level(suit, L, Z)
    if level not in (2, 3, 4):
        return None
    points = {2: ours.new_suit_two, 3: ours.new_suit_three, 4: ours.new_suit_four}[level]
    long = length(hand, suit) >= (6 if level == 4 else fewest)
    return write_bid(level, suit) if long and total_points(hand, Z) >= points else None


def one_level_major(hand: Hand, Y: int, Z: int, L: int) -> str | None:
    """Return the bid of a major under rule 3, or None."""
    ours = SETTINGS.response
    # "L = 1 and 6+ total points"
    if L != 1 or total_points(hand, Z) < ours.one_level_major:
        return None
    hearts, spades = length(hand, HEARTS), length(hand, SPADES)
    # "after 1C (1D): five or more in a major, the longer (equals: spades); or exactly four in one
    # major and fewer in the other: that major"
    if (Y, Z) == (CLUBS, DIAMONDS):
        one_of_four = max(hearts, spades) == 4 and hearts != spades and ours.one_level_cards == 4
        if max(hearts, spades) >= 5 or one_of_four:
            return write_bid(1, longest(hand, MAJORS))
    # "after a minor and 1H: five or more spades: 1S."
    return "1S" if Y in MINORS and Z == HEARTS and spades >= 5 else None


def raise_points(k: int) -> int:
    # "A raise ... needs 6 support points at k = 2, 9 at 3, 12 at 4, 15 at 5."
    ours = SETTINGS.response
    needed = {2: ours.raise_two, 3: ours.raise_three, 4: ours.raise_four, 5: ours.raise_five}
    return int(needed[k])


def double_points(Z: int, L: int) -> int:
    # "The double needs by L: 6 total points at level 1, 8 at 2, 10 at 3, 12 at 4"
    ours = SETTINGS.response
    # The text has one figure for level 2; a user may set one for a minor and one for a major.
    two = ours.double_two_minor if Z in MINORS else ours.double_two_major
    return int({1: ours.double_one, 2: two, 3: ours.double_three, 4: ours.double_four}[L])


def notrump_level(points: int, L: int) -> int | None:
    """Return the level of notrump on these HCP over an overcall at level L, or None.

    The plain 10 and 12 of the text are one less than the bold 11 and 13, and the 12 and 13 at L = 2
    move with the 13 at L = 1.
    """
    ours = SETTINGS.response
    # "8+ HCP at L = 1, 11+ at 2, 12+ at 3; never at 4."
    if L == 4 or points < {1: ours.notrump_one, 2: ours.notrump_two, 3: ours.notrump_three}[L]:
        return None
    # "L = 1: 1NT with up to 10, 2NT with 11-12, 3NT with 13+; L = 2: 2NT with up to 12, 3NT with
    # 13+; L = 3: 3NT."
    if L == 3 or points >= ours.notrump_game:
        return 3
    return 2 if L == 2 or points >= ours.notrump_invite else 1


def response(hand: Hand, Y: int, Z: int, L: int) -> tuple[str, str | None]:
    """Return the responder's call; ('above_ceiling', None) above the ceiling.

    "One card fewer" in rule 12 is exactly one fewer. "The longer unbid major" is the only unbid
    major where there is one, and the rule fails where there is none. The hand that raises to
    game in rule 2 has the support points for k besides.
    """
    ours = SETTINGS.response
    # "The setting double through is 3S ...: over a higher overcall the agreement says nothing, and
    # the deal is counted as above_ceiling."
    if (L, Z) > read_bid(ours.double_through):
        return "above_ceiling", None
    points, support = high_card_points(hand), support_points(hand)
    # "Responder's total points leave out length in Z: here, in the reason and in section 5."
    total = total_points(hand, Z)
    opened, held = length(hand, Y), length(hand, Z)
    # "A raise goes to k, the cheapest level of Y over LZ but at least 2"
    k = max(2, cheapest_level(Y, L, Z))
    # "1. strong_raise: Y is a major, three or more cards in it, 11+ support points, L = 1 or 2: a
    # cue-bid, Z at level L + 1."
    cue_bid = write_bid(L + 1, Z)
    long_major = Y in MAJORS and opened >= ours.raise_cards
    if long_major and support >= ours.strong_raise and L in (1, 2):
        return "strong_raise", cue_bid
    # "2. raise_major: Y is a major, three or more cards in it, the support points for k: to k; over
    # an overcall at level 3, with 12+ support points, to game."
    if long_major and support >= raise_points(k):
        to_game = L == 3 and support >= ours.raise_game
        return "raise_major", write_bid(game_level(Y) if to_game else k, Y)
    # "3. one_level_major"
    if bid := one_level_major(hand, Y, Z, L):
        return "one_level_major", bid
    # "4. penalty_pass: five or more cards in Z, Z good, 8+ HCP: pass, hoping to defend. (Settings: 4
    # or 5 cards.)"
    if held >= ours.penalty_cards and good(hand, Z) and points >= ours.penalty_pass:
        return "penalty_pass", "pass"
    # "5. new_major: the longer unbid major (equals: spades), as the line on new suits."
    if bid := new_suit(hand, unbid(MAJORS, Y, Z), Z, L):
        return "new_major", bid
    # "6. new_minor: where the message is both_minors, a minor of six or more (the longer; equals:
    # diamonds), with the points of the line on new suits: it."
    minors = unbid(MINORS, Y, Z)
    six = new_suit(hand, minors, Z, L, fewest=6)
    if six and message(Y, Z, L) == "both_minors":
        return "new_minor", six
    # "The double needs by L ...; at every level 5+ HCP."
    # "7. double: its promise held, its points and HCP, and at most 4 cards in Z."
    if (
        ours.double
        and promise_held(hand, Y, Z, L)
        and total >= double_points(Z, L)
        and points >= ours.double_hcp
        and held <= ours.double_cards
    ):
        return "double", "X"
    # "8. new_minor: the longer unbid minor (equals: diamonds), as the line on new suits."
    if bid := new_suit(hand, minors, Z, L):
        return "new_minor", bid
    # "9. notrump: a stopper in Z and 8+ HCP at L = 1, 11+ at 2, 12+ at 3; never at 4."
    if stopper(hand, Z) and (level := notrump_level(points, L)):
        return "notrump", write_bid(level, NOTRUMP)
    # "10. strong_raise: Y is a minor, five or more clubs or four or more diamonds in it, 11+ support
    # points, L = 1 or 2: the cue-bid of rule 1."
    more = opened - (5 if Y == CLUBS else 4)
    if Y in MINORS and more >= 0 and support >= ours.strong_raise_minor and L in (1, 2):
        return "strong_raise", cue_bid
    # "11. cue_bid: 12+ total points at L = 1 and 2, 14+ at 3, never at 4: a strong hand with no
    # other call; Z at level L + 1."
    if L <= 3 and total >= (ours.cue_bid_three if L == 3 else ours.cue_bid):
        return "cue_bid", cue_bid
    # "12. raise_minor: Y is a minor, five or more clubs or four or more diamonds in it, the support
    # points for k; or, at k = 2 only, one card fewer and 8+ support points."
    enough = more >= 0 and support >= raise_points(k)
    if Y in MINORS and (enough or (k == 2 and more == -1 and support >= ours.short_raise)):
        return "raise_minor", write_bid(k, Y)
    # "13. pass."
    return "pass", "pass"


def reason(hand: Hand, Y: int, Z: int, L: int) -> str:
    """Return why a hand that doubles chose the double.

    "But too few points, or no room, to bid it" explains why such a hand doubles and is no test.
    """
    meaning = message(Y, Z, L)
    # "both_suits: the message is both majors or both minors"
    if meaning in ("both_majors", "both_minors"):
        return "both_suits"
    # "exactly_four_spades: the message is that"
    if meaning == "exactly_four_spades":
        return "exactly_four_spades"
    # "five_or_more: five or more in the promised major, but too few points, or no room, to bid it"
    if length(hand, longest(hand, promised_suits(Y, Z, L))) >= 5:
        return "five_or_more"
    # "four_and_strong: four in the promised major and 10+ total points"
    # "four_and_ordinary: four and fewer."
    strong = total_points(hand, Z) >= SETTINGS.response.strong
    return "four_and_strong" if strong else "four_and_ordinary"
