"""Section 5 of the reference agreement, the rest where the advancer has passed, read plainly."""

from typing import NamedTuple

from plain.answers import answer
from plain.response import promised_suits
from plain.words import (
    MINORS,
    NOTRUMP,
    REFERENCE,
    Hand,
    cheapest_level,
    game_level,
    high_card_points,
    length,
    read_bid,
    support_points,
    total_points,
    within,
    write_bid,
)

Rest = tuple[str, str | None, int | None]
"""Where an auction rests: its name, the last bid, the trumps."""


class Later(NamedTuple):
    """Our side's calls after the opener's answer, the responder's first, up to the last that is no
    pass; and whether the auction then goes on, not followed further."""

    calls: tuple[str, ...] = ()
    goes_on: bool = False


GOES_ON: Rest = ("goes_on", None, None)


def trumps_of(bid: str, opener_hand: Hand, responder_hand: Hand) -> int | None:
    # "Trumps are the two hands' combined cards in the suit last bid."
    strain = read_bid(bid)[1]
    if strain == NOTRUMP:
        return None
    return length(opener_hand, strain) + length(responder_hand, strain)


def named_rest(bid: str, opener_hand: Hand, responder_hand: Hand) -> Rest:
    """Where an auction rests whose last bid is our side's."""
    level, strain = read_bid(bid)
    trumps = trumps_of(bid, opener_hand, responder_hand)
    # "game (a suit contract at game or higher), three_notrump (or higher notrump), part_score_fit
    # (eight or more trumps), part_score_no_fit (fewer), notrump_part_score"
    if level >= game_level(strain):
        return ("game" if trumps is not None else "three_notrump"), bid, trumps
    if trumps is None:
        return "notrump_part_score", bid, None
    return ("part_score_fit" if trumps >= 8 else "part_score_no_fit"), bid, trumps


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


def after_raise(
    opener: Hand, responder: Hand, level: int, suit: int, cheapest: int
) -> tuple[str, ...]:
    """Our side's bids over answer 2 below game."""
    # "responder counts support points, in that suit"
    support = support_points(responder)
    game = write_bid(game_level(suit), suit)
    # "One level up: game with 9+, else pass." ("In a minor every figure ... is 3 higher")
    if level > cheapest:
        needed = REFERENCE.game_over_jump + (REFERENCE.more_in_a_minor if suit in MINORS else 0)
        return (game,) if support >= needed else ()
    return after_minimum(opener, support, level, suit)


def after_minimum(opener: Hand, support: int, level: int, suit: int) -> tuple[str, ...]:
    """Our side's bids over answer 2 at its cheapest level, below game."""
    game = write_bid(game_level(suit), suit)
    step = responder_invites(support, level, suit)
    if step == "invite":
        # "an invitation, one level up, ... which opener accepts by bidding game with 14+ support
        # points and otherwise passes"
        invitation = write_bid(level + 1, suit)
        accepts = support_points(opener) >= REFERENCE.accept_invitation
        return (invitation, game) if accepts else (invitation,)
    return (game,) if step == "game" else ()


def after_notrump(opener: Hand, responder: Hand, level: int, cheapest: int) -> tuple[str, ...]:
    """Our side's bids in notrump over answer 6 below 3NT.

    "With 11" is 11 or more, short of the number that bids 3NT.
    """
    points = high_card_points(responder)
    # "One level up: 3NT with 7+, else pass."
    if level > cheapest:
        return ("3NT",) if points >= REFERENCE.three_notrump_over_jump else ()
    # "At the cheapest level: 3NT with 12+, or with 11 over 2NT"
    if points >= REFERENCE.three_notrump:
        return ("3NT",)
    if level == 2:
        return ("3NT",) if points >= REFERENCE.three_notrump_over_two else ()
    # "over 1NT 2NT with 11 (opener bids 3NT with 14+ HCP); else pass."
    if points >= REFERENCE.two_notrump_invitation:
        accepts = high_card_points(opener) >= REFERENCE.accept_two_notrump
        return ("2NT", "3NT") if accepts else ("2NT",)
    return ()


def later_calls(
    opener_hand: Hand, responder_hand: Hand, opening_suit: int, overcall_suit: int, level: int
) -> Later:
    """What our side calls after the answer to the double, the other side passing.

    "Up" and "cheapest" go by the level of the bid, not by the name of the answer. "The one promised
    major" is a message of one suit, a major.
    """
    name, call = answer(opener_hand, opening_suit, overcall_suit, level)
    # "Answer 1: defended." "Answer 3: goes on, whatever its level."
    if name in ("penalty_pass", "cue_bid"):
        return Later(goes_on=name == "cue_bid")
    bid_level, strain = read_bid(call)
    cheapest = cheapest_level(strain, level, overcall_suit)
    # "a bid at or above game rests, save a cue-bid"
    if bid_level >= game_level(strain):
        return Later()
    if name in ("raise_minimum", "raise_jump", "raise_game"):
        return Later(after_raise(opener_hand, responder_hand, bid_level, strain, cheapest))
    if name == "three_card_raise":
        # "Answer 8 (responder counts support points): where it would invite or bid game over answer
        # 2 at the same level, it goes on; else passes."
        step = responder_invites(support_points(responder_hand), bid_level, strain)
        return Later(goes_on=step != "pass")
    rebid = cheapest_level(opening_suit, level, overcall_suit), opening_suit
    lower_second = name == "second_suit" and (bid_level, strain) < rebid
    if name == "notrump":
        bids = after_notrump(opener_hand, responder_hand, bid_level, cheapest)
        if bids:
            return Later(bids)
    else:
        # "Answers 4, 5, 7 and 9, below game (responder counts total points): goes on with 11+, or
        # with 8+ where opener jumped in answer 4 or bid a second suit not lower than the cheapest
        # rebid of Y; else passes."
        jumped = name == "own_suit" and bid_level > cheapest
        strength = jumped or (name == "second_suit" and not lower_second)
        needed = REFERENCE.goes_on_over_strength if strength else REFERENCE.goes_on
        if total_points(responder_hand, overcall_suit) >= needed:
            return Later(goes_on=True)
    # "A responder who would pass answers 4 to 7 or 9 below game first looks: (a) six or more in the
    # one promised major, which can be bid over opener's bid at level 2 or lower: bids it"
    promised = promised_suits(opening_suit, overcall_suit, level)
    if len(promised) == 1 and length(responder_hand, promised[0]) >= 6:
        major_level = cheapest_level(promised[0], bid_level, strain)
        if major_level <= 2:
            return Later((write_bid(major_level, promised[0]),))
    # "(b) after a second suit lower than the cheapest rebid of Y, as many cards in Y as in that
    # suit or more: bids Y at its cheapest level. The auction rests there."
    if lower_second and length(responder_hand, opening_suit) >= length(responder_hand, strain):
        return Later((write_bid(cheapest_level(opening_suit, bid_level, strain), opening_suit),))
    return Later()


def resting_place(
    opener_hand: Hand, responder_hand: Hand, opening_suit: int, overcall_suit: int, level: int
) -> Rest:
    """Where the auction rests after the double and the advancer's pass.

    A penalised overcall is the last bid, and the trumps are then opener's and responder's cards in
    Z, as everywhere "the two hands' combined cards in the suit last bid"; None in notrump. An
    auction that goes on has neither.
    """
    name, call = answer(opener_hand, opening_suit, overcall_suit, level)
    if name == "penalty_pass":
        overcall_bid = write_bid(level, overcall_suit)
        return "defended", overcall_bid, trumps_of(overcall_bid, opener_hand, responder_hand)
    later = later_calls(opener_hand, responder_hand, opening_suit, overcall_suit, level)
    if later.goes_on:
        return GOES_ON
    return named_rest((call, *later.calls)[-1], opener_hand, responder_hand)
