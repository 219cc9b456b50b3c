"""Sections 4 and 5 of the reference agreement, the opener's answer and the rest, read plainly."""

from plain.response import promised_suits, unbid
from plain.words import (
    HEARTS,
    MAJORS,
    MINORS,
    NOTRUMP,
    REFERENCE,
    SPADES,
    SUITS,
    Hand,
    cheapest_level,
    good,
    high_card_points,
    length,
    longest,
    read_bid,
    stopper,
    support_points,
    total_points,
    within,
    write_bid,
)


def game_level(strain: int) -> int:
    # "Game: 3NT, four of a major, five of a minor"
    if strain == NOTRUMP:
        return 3
    return 4 if strain in MAJORS else 5


def one_higher(level: int, strain: int) -> int:
    # "one higher but not beyond game"; "A limit ("not beyond") never takes a bid below its
    # cheapest level."
    return max(level, min(level + 1, game_level(strain)))


# --- 4. The opener's answer to the double ---------------------------------------------------


def raise_promised(hand: Hand, suit: int, level: int) -> tuple[str, str]:
    """Rule 2 in this suit, its cheapest level given; "up to 15" is anything below 16.

    Where the cheapest bid is beyond game already, "game" is that cheapest bid.
    """
    support = support_points(hand)
    # "The names go by the strength, whatever level is left."
    if suit in MAJORS:
        # "A major: up to 15 support points, its cheapest level, raise_minimum; 16-18, one higher
        # but not beyond game, raise_jump; 19+, game, raise_game"
        if support >= REFERENCE.major_game:
            return "raise_game", write_bid(max(level, game_level(suit)), suit)
        jumps = support >= REFERENCE.major_jump
    else:
        # "A minor: up to 15 the cheapest level, raise_minimum; 16+ one higher but not beyond game,
        # raise_jump."
        jumps = support >= REFERENCE.minor_jump
    if jumps:
        return "raise_jump", write_bid(one_higher(level, suit), suit)
    return "raise_minimum", write_bid(level, suit)


def answer(opener_hand: Hand, opening_suit: int, overcall_suit: int, level: int) -> tuple[str, str]:
    """The opener's answer to the double by name and as it is made; the penalty pass is 'pass'.

    "Room for rule 4's jump" is the condition of rule 4: one level above the cheapest rebid of Y is
    no higher than three of a minor or four of a major. "Four" in rule 7 is what rule 5 left: four
    exactly.
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
    # "2. Four or more in a promised suit (the longer; equals: the higher-ranking)."
    suit = longest(hand, promised)
    if length(hand, suit) >= 4:
        return raise_promised(hand, suit, cheapest_level(suit, level, overcall_suit))
    # "3. cue_bid (Z at its next level): 18+ HCP, and either no stopper in Z, or six or more in Y
    # and no room for rule 4's jump."
    six = length(hand, opening_suit) >= 6
    room = rebid[0] + 1 <= (3 if opening_suit in MINORS else 4)
    if points >= REFERENCE.answer_cue_bid and (
        not stopper(hand, overcall_suit) or (six and not room)
    ):
        return "cue_bid", write_bid(level + 1, overcall_suit)
    # "4. own_suit: six or more in Y: rebid Y at its cheapest level; with 16+ HCP a jump one higher,
    # if that is no higher than three of a minor or four of a major, otherwise at its cheapest."
    if six:
        jump = 1 if points >= REFERENCE.own_suit_jump and room else 0
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
        if points >= REFERENCE.notrump_jump:
            bid_level = one_higher(bid_level, NOTRUMP)
        return "notrump", write_bid(bid_level, NOTRUMP)
    # "7. second_suit: four in a suit that is neither Y, Z nor promised, if its cheapest bid is
    # lower than the cheapest rebid of Y, or with 16+ HCP."
    for suit in second:
        bid = cheapest_level(suit, level, overcall_suit), suit
        if length(hand, suit) == 4 and (bid < rebid or points >= REFERENCE.second_suit_higher):
            return "second_suit", write_bid(*bid)
    # "8. three_card_raise: exactly three cards in a promised major (three in each: spades), at its
    # cheapest level."
    for suit in (SPADES, HEARTS):
        if suit in promised and length(hand, suit) == 3:
            bid_level = cheapest_level(suit, level, overcall_suit)
            return "three_card_raise", write_bid(bid_level, suit)
    # "9. rebid: Y at its cheapest level."
    return "rebid", write_bid(*rebid)


def spade_raise(opener_hand: Hand) -> str | None:
    """The opener's raise after a minor, 1H and 1S (five or more spades), or None."""
    # "an opener with three or more spades knows of eight: it raises, with up to 15 support points
    # to 2S, 16-18 to 3S, 19+ to 4S. With fewer than three: no raise"
    if length(opener_hand, SPADES) < 3:
        return None
    support = support_points(opener_hand)
    if support >= REFERENCE.spade_raise_game:
        return "4S"
    return "3S" if support >= REFERENCE.spade_raise_jump else "2S"


# --- 5. Where it comes to rest --------------------------------------------------------------


def responder_invites(support: int, level: int, suit: int) -> str:
    """What responder does over answer 2 at its cheapest level: 'game', 'invite' or 'pass'.

    The 12 and 11 of "where an invitation has no room" are the ends of the invitation's range.
    """
    # "In a minor every figure of responder's here is 3 higher; opener's stay."
    figure = support - (REFERENCE.more_in_a_minor if suit in MINORS else 0)
    # "At the cheapest level: game with 13+; with 11-12 an invitation, one level up, if that is
    # below game ...; where an invitation has no room, game with 12, pass with 11; below 11 pass."
    if figure >= REFERENCE.game_over_minimum:
        return "game"
    if not within(figure, REFERENCE.invitation):
        return "pass"
    if level + 1 < game_level(suit):
        return "invite"
    return "game" if figure == REFERENCE.invitation[1] else "pass"


def after_raise(opener: Hand, responder: Hand, level: int, suit: int, cheapest: int) -> int:
    """The level at which answer 2, below game, comes to rest."""
    # "responder counts support points, in that suit"
    support = support_points(responder)
    game = game_level(suit)
    # "One level up: game with 9+, else pass." ("In a minor every figure ... is 3 higher")
    if level > cheapest:
        needed = REFERENCE.game_over_jump + (REFERENCE.more_in_a_minor if suit in MINORS else 0)
        return game if support >= needed else level
    step = responder_invites(support, level, suit)
    if step == "invite":
        # "which opener accepts by bidding game with 14+ support points and otherwise passes"
        return game if support_points(opener) >= REFERENCE.accept_invitation else level + 1
    return game if step == "game" else level


def after_notrump(opener: Hand, responder: Hand, level: int, cheapest: int) -> int:
    """The level at which answer 6, below 3NT, comes to rest if nobody bids a suit.

    "With 11" is 11 or more, short of the number that bids 3NT.
    """
    points = high_card_points(responder)
    # "One level up: 3NT with 7+, else pass."
    if level > cheapest:
        return 3 if points >= REFERENCE.three_notrump_over_jump else level
    # "At the cheapest level: 3NT with 12+, or with 11 over 2NT"
    if points >= REFERENCE.three_notrump:
        return 3
    if level == 2:
        return 3 if points >= REFERENCE.three_notrump_over_two else level
    # "over 1NT 2NT with 11 (opener bids 3NT with 14+ HCP); else pass."
    if points >= REFERENCE.two_notrump_invitation:
        return 3 if high_card_points(opener) >= REFERENCE.accept_two_notrump else 2
    return level


def resting_place(
    opener_hand: Hand, responder_hand: Hand, opening_suit: int, overcall_suit: int, level: int
) -> tuple[str, str | None, int | None]:
    """Where the auction rests after the double: its name, the last bid, the trumps.

    A penalised overcall is the last bid, and the trumps are then opener's and responder's cards in
    Z, as everywhere "the two hands' combined cards in the suit last bid"; None in notrump. An
    auction that goes on has neither. "Up" and "cheapest" go by the level of the bid, not by the
    name of the answer. "The one promised major" is a message of one suit, a major.
    """
    name, call = answer(opener_hand, opening_suit, overcall_suit, level)

    def rests(bid_level: int, strain: int) -> tuple[str, str, int | None]:
        bid = write_bid(bid_level, strain)
        # "game (a suit contract at game or higher), three_notrump (or higher notrump),
        # part_score_fit (eight or more trumps), part_score_no_fit (fewer), notrump_part_score"
        if strain == NOTRUMP:
            high = bid_level >= game_level(NOTRUMP)
            return ("three_notrump" if high else "notrump_part_score"), bid, None
        trumps = length(opener_hand, strain) + length(responder_hand, strain)
        if bid_level >= game_level(strain):
            return "game", bid, trumps
        return ("part_score_fit" if trumps >= 8 else "part_score_no_fit"), bid, trumps

    goes_on = "goes_on", None, None
    # "Answer 1: defended."
    if name == "penalty_pass":
        trumps = length(opener_hand, overcall_suit) + length(responder_hand, overcall_suit)
        return "defended", write_bid(level, overcall_suit), trumps
    # "Answer 3: goes on, whatever its level."
    if name == "cue_bid":
        return goes_on
    bid_level, strain = read_bid(call)
    cheapest = cheapest_level(strain, level, overcall_suit)
    # "a bid at or above game rests, save a cue-bid"
    if bid_level >= game_level(strain):
        return rests(bid_level, strain)
    if name in ("raise_minimum", "raise_jump", "raise_game"):
        return rests(after_raise(opener_hand, responder_hand, bid_level, strain, cheapest), strain)
    if name == "three_card_raise":
        # "Answer 8 (responder counts support points): where it would invite or bid game over answer
        # 2 at the same level, it goes on; else passes."
        step = responder_invites(support_points(responder_hand), bid_level, strain)
        return rests(bid_level, strain) if step == "pass" else goes_on
    rebid = cheapest_level(opening_suit, level, overcall_suit), opening_suit
    lower_second = name == "second_suit" and (bid_level, strain) < rebid
    if name == "notrump":
        final = after_notrump(opener_hand, responder_hand, bid_level, cheapest)
        if final > bid_level:
            return rests(final, NOTRUMP)
    else:
        # "Answers 4, 5, 7 and 9, below game (responder counts total points): goes on with 12+, or
        # with 8+ where opener jumped in answer 4 or bid a second suit not lower than the cheapest
        # rebid of Y; else passes."
        jumped = name == "own_suit" and bid_level > cheapest
        strength = jumped or (name == "second_suit" and not lower_second)
        needed = REFERENCE.goes_on_over_strength if strength else REFERENCE.goes_on
        if total_points(responder_hand, overcall_suit) >= needed:
            return goes_on
    # "A responder who would pass answers 4 to 7 or 9 below game first looks: (a) six or more in the
    # one promised major, which can be bid over opener's bid at level 2 or lower: bids it"
    promised = promised_suits(opening_suit, overcall_suit, level)
    if len(promised) == 1 and length(responder_hand, promised[0]) >= 6:
        major_level = cheapest_level(promised[0], bid_level, strain)
        if major_level <= 2:
            return rests(major_level, promised[0])
    # "(b) after a second suit lower than the cheapest rebid of Y, more cards in Y than in that
    # suit: bids Y at its cheapest level. The auction rests there."
    if lower_second and length(responder_hand, opening_suit) > length(responder_hand, strain):
        return rests(cheapest_level(opening_suit, bid_level, strain), opening_suit)
    return rests(bid_level, strain)
