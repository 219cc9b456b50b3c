"""Section 5 of the reference agreement, the end where the advancer has passed, read plainly."""

from plain.advancer import is_jump
from plain.answers import answer
from plain.competing import RAISES, over_their_bid
from plain.ending import After, Later, settled_for_game, what_follows
from plain.response import promised_suits
from plain.words import *

# --- The overcaller's second bid ------------------------------------------------------------


def overcaller_after_answer(hand: Hand, Y: int, Z: int, L: int, name: str, call: str) -> str:
    """Return the overcaller's second call over the opener's answer: a bid of Z or 'pass'.

    The points go with the six cards: seven need none.
    """
    # "Where the opener's answer is below game and neither a pass nor a cue-bid, and the overcall was
    # no jump, the overcaller bids Z again:"
    if name in ("penalty_pass", "cue_bid") or is_jump(Y, Z, L):
        return "pass"
    level, strain = read_bid(call)
    if level >= game_level(strain):
        return "pass"
    # "at level 2, if it can be bid there over the answer, with six cards in Z and 12+ HCP or with
    # seven or more;"
    cheapest, cards = cheapest_level(Z, level, strain), length(hand, Z)
    six = cards == 6 and high_card_points(hand) >= SETTINGS.continuation.overcaller
    if cheapest <= 2 and (six or cards >= 7):
        return write_bid(2, Z)
    # "at level 3, if that is its cheapest, with seven or more."
    return write_bid(3, Z) if cheapest == 3 and cards >= 7 else "pass"


# --- The responder over the opener's answer -------------------------------------------------


def responder_invites(support: int, level: int, suit: int) -> str:
    """Return what responder does over answer 2 at its cheapest level: 'game', 'invite' or 'pass'.

    The 12 and 11 of "where an invitation has no room" are the ends of the invitation's range.
    """
    ours = SETTINGS.continuation
    # "In a minor every figure of responder's here is 3 higher; opener's stay."
    figure = support - (ours.minor_extra if suit in MINORS else 0)
    # "At the cheapest level: game with 13+; with 11-12 an invitation, one level up, if that is
    # below game ...; where an invitation has no room, game with 12, pass with 11; below 11 pass."
    if figure >= ours.game:
        return "game"
    if not within(figure, (ours.invite, ours.game - 1)):
        return "pass"
    if level + 1 < game_level(suit):
        return "invite"
    return "game" if figure == ours.game - 1 else "pass"


def after_raise(pair: Pair, level: int, suit: int, cheapest: int) -> tuple[str, ...]:
    """Our side's bids over answer 2 below game."""
    # "responder counts support points, in that suit"
    support = support_points(pair[1])
    # "One level up: game with 9+, else pass." ("In a minor every figure ... is 3 higher")
    if level > cheapest:
        extra = SETTINGS.continuation.minor_extra if suit in MINORS else 0
        bids_game = support >= SETTINGS.continuation.jump_game + extra
        return (write_bid(game_level(suit), suit),) if bids_game else ()
    return after_minimum(pair[0], support, level, suit)


def after_minimum(opener: Hand, support: int, level: int, suit: int) -> tuple[str, ...]:
    """Our side's bids over answer 2 at its cheapest level, below game."""
    game = write_bid(game_level(suit), suit)
    step = responder_invites(support, level, suit)
    if step == "invite":
        # "an invitation, one level up, ... which opener accepts by bidding game with 14+ support
        # points and otherwise passes"
        invitation = write_bid(level + 1, suit)
        accepts = support_points(opener) >= SETTINGS.continuation.accept
        return (invitation, game) if accepts else (invitation,)
    return (game,) if step == "game" else ()


def after_notrump(pair: Pair, level: int, cheapest: int) -> tuple[str, ...]:
    """Our side's bids in notrump over answer 6 below 3NT.

    "With 11 over 2NT" is 11 or more, and "10 or 11" is 10 or more, short of the 12 that bids 3NT.
    """
    ours = SETTINGS.continuation
    # "(responder counts HCP)"
    points = high_card_points(pair[1])
    # "One level up: 3NT with 7+, else pass."
    if level > cheapest:
        return ("3NT",) if points >= ours.notrump_jump_game else ()
    # "At the cheapest level: 3NT with 12+, or with 11 over 2NT;"
    if points >= ours.notrump_game:
        return ("3NT",)
    if level == 2:
        return ("3NT",) if points >= ours.notrump_game_over_two else ()
    # "over 1NT 2NT with 10 or 11 (opener bids 3NT with 14+ HCP); else pass."
    if points >= ours.notrump_invite:
        accepts = high_card_points(pair[0]) >= ours.notrump_accept
        return ("2NT", "3NT") if accepts else ("2NT",)
    return ()


def after_three_card_raise(pair: Pair, Z: int, call: str) -> Later:
    """Our side's calls over answer 8 below game."""
    (opener, responder), (level, suit) = pair, read_bid(call)
    # "Answer 8 (responder counts support points): where it would bid game over answer 2 at the same
    # level, the pair settles for game;"
    step = responder_invites(support_points(responder), level, suit)
    # "where it would invite, one level up in that suit, and if the opener has 14+ support points the
    # pair settles for game instead (B is then the opener's raise); else pass."
    accepts = support_points(opener) >= SETTINGS.continuation.three_card_accept
    if step == "game" or (step == "invite" and accepts):
        return settled_for_game(pair, (Z,), call, "ours")
    return Later((write_bid(level + 1, suit),) if step == "invite" else ())


def after_other_suit(pair: Pair, Z: int, call: str, strong: bool) -> Later | None:
    """Our side's calls over answers 4, 5, 7 and 9 below game, or None for a responder who passes.

    ``strong``: the opener jumped or bid a higher second suit. The 11 and the 12 of the text are
    one more than the bold 10 and one less than the bold 13, and move with them.
    """
    ours = SETTINGS.continuation
    # "Answers 4, 5, 7 and 9, below game (responder counts total points). 13+, or 9+ where opener
    # jumped in answer 4 or bid a second suit not lower than the cheapest rebid of Y: the pair
    # settles for game."
    total, points = total_points(pair[1], Z), high_card_points(pair[0])
    # "Else with 10-12 the pair settles for game if the opener has 15+ HCP, or 14+ opposite 11 or
    # 12;"
    if (
        total >= ours.settle
        or (strong and total >= ours.settle_strong)
        or (total >= ours.settle_light and points >= ours.opener_light)
        or (total >= ours.settle_light + 1 and points >= ours.opener)
    ):
        return settled_for_game(pair, (Z,), call, "ours")
    # "otherwise with 11 or 12 the last bid one level up, if that is below game and no higher
    # than level 3."
    level, strain = read_bid(call)
    if total >= ours.settle_light + 1 and level + 1 < game_level(strain) and level + 1 <= 3:
        return Later((write_bid(level + 1, strain),))
    # "In every other case pass."
    return None


def undisturbed(pair: Pair, Y: int, Z: int, L: int, name: str, call: str) -> Later:
    """Return what our side calls over an answer, neither a pass nor a cue-bid, that the overcaller
    passes.

    "Up" and "cheapest" go by the level of the bid, not by the name of the answer. "The one promised
    major" is a message of one suit, a major.
    """
    (_, responder), (level, strain) = pair, read_bid(call)
    cheapest = cheapest_level(strain, L, Z)
    # "a bid at or above game in its own denomination ends the auction, except a cue-bid."
    if level >= game_level(strain):
        return Later()
    if name in RAISES:
        return Later(after_raise(pair, level, strain, cheapest))
    if name == "three_card_raise":
        return after_three_card_raise(pair, Z, call)
    lower_second = name == "second_suit" and (level, strain) < (cheapest_level(Y, L, Z), Y)
    if name == "notrump":
        if bids := after_notrump(pair, level, cheapest):
            return Later(bids)
    else:
        jumped = name == "own_suit" and level > cheapest
        strong = jumped or (name == "second_suit" and not lower_second)
        if later := after_other_suit(pair, Z, call, strong):
            return later
    # "A responder who would pass answers 4 to 7 or 9 below game first looks: (a) six or more in the
    # one promised major, which can be bid over opener's bid at level 3 or lower: bids it;"
    promised = promised_suits(Y, Z, L)
    if len(promised) == 1 and length(responder, promised[0]) >= 6:
        major_level = cheapest_level(promised[0], level, strain)
        if major_level <= 3:
            return Later((write_bid(major_level, promised[0]),))
    # "(b) after a second suit lower than the cheapest rebid of Y, as many cards in Y as in that
    # suit or more: bids Y at its cheapest level. The auction ends there."
    if lower_second and length(responder, Y) >= length(responder, strain):
        return Later((write_bid(cheapest_level(Y, level, strain), Y),))
    return Later()


def continuation(opener: Hand, overcaller: Hand, responder: Hand, Y: int, Z: int, L: int) -> After:
    """Return what follows the double and the advancer's pass; the advancer goes on passing."""
    pair, (name, call) = (opener, responder), answer(opener, Y, Z, L)
    again = overcaller_after_answer(overcaller, Y, Z, L, name, call)
    # "Answer 1: defended."
    if name == "penalty_pass":
        later = Later()
    # "Answer 3: the pair settles for game."
    elif name == "cue_bid":
        later = settled_for_game(pair, (Z,), call, "cue_bid")
    # "The responder then calls as in section 8, "Where the overcaller bid over the opener's bid",
    # and in no other way."
    elif again != "pass":
        promised = promised_suits(Y, Z, L)
        later = over_their_bid(pair, promised, (Z,), (name, call), again)
    # "In all other cases the other side passes from here on."
    else:
        later = undisturbed(pair, Y, Z, L, name, call)
    return what_follows(pair, (write_bid(L, Z), again), (name, call), later)
