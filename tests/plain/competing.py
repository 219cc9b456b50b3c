"""Section 8 of the reference agreement where the overcaller bid over the opener's bid."""

from plain.ending import Later, settled_by_strength
from plain.words import *

RAISES = ("raise_minimum", "raise_jump", "raise_game")


def game_figure(answer_name: str, bid_level: int, suit: int) -> int:
    """Return the support points with which the responder bids game over a raise of the opener's."""
    # "raise_jump: game with 9+ support points ...; raise_minimum at level 2: as over answer 2 at the
    # cheapest level in section 5 ...; raise_minimum at level 3 or 4: game with 12+ support points"
    # "(raise_minimum at level 1 or 2: the 13 of section 5, 16 in a minor)"
    if answer_name == "raise_jump":
        figure = SETTINGS.contested_end.jump_game
    else:
        figure = (SETTINGS.continuation if bid_level <= 2 else SETTINGS.contested_end).game
    # "In a minor every figure of responder's is 3 higher, as there."
    return int(figure + (SETTINGS.continuation.minor_extra if suit in MINORS else 0))


def long_promised(responder: Hand, promised: Suits, last: tuple[int, int]) -> str | None:
    # "six or more cards in a promised suit that can be bid at level 3 or lower (the longest;
    # equals: the higher-ranking): bids it" - the longest of those that can be bid, as the same rule
    # says after the opener's pass.
    long = [suit for suit in promised if length(responder, suit) >= 6]
    long = [suit for suit in long if cheapest_level(suit, *last) <= 3]
    if not long:
        return None
    suit = longest(responder, tuple(long))
    return write_bid(cheapest_level(suit, *last), suit)


def over_their_bid(
    pair: Pair, promised: Suits, theirs: Suits, answer: Call, last_bid: str
) -> Later:
    """Return what the responder calls where the overcaller bid over the opener's bid; Z is theirs[0]."""
    (_, responder), (name, bid), last = pair, answer, read_bid(last_bid)
    level, suit = read_bid(bid)
    if name in RAISES:
        # "1. The opener raised a promised suit (raise_minimum, raise_jump, raise_game), game in it
        # is higher than the last bid, and the support points that bid game over that raise above
        # ...: game."
        game = game_level(suit), suit
        if game > last and support_points(responder) >= game_figure(name, level, suit):
            return Later((write_bid(*game),))
        # "2. The opener raised a promised suit: it at level 2, if it can be bid there; at level 3, if
        # that is its cheapest, with five or more cards in it, or four where the last bid is at level
        # 2."
        cheapest, cards = cheapest_level(suit, *last), length(responder, suit)
        if cheapest <= 2:
            return Later((write_bid(2, suit),))
        if cheapest == 3 and (cards >= 5 or (cards >= 4 and last[0] == 2)):
            return Later((write_bid(3, suit),))
        return Later()
    # "3. The opener did not raise a promised suit (a three_card_raise is none here): six or more
    # cards in a promised suit that can be bid at level 3 or lower ...: bids it."
    if long := long_promised(responder, promised, last):
        return Later((long,))
    # "4. The opener did not raise one, and 11+ total points, or 9+ and at most two cards in Z: the
    # pair settles for game if it is strong enough, else for a part-score."
    ours, total = SETTINGS.contested_end, total_points(responder, theirs[0])
    short = length(responder, theirs[0]) <= 2
    if total >= ours.compete or (total >= ours.compete_short and short):
        return settled_by_strength(pair, theirs, last_bid)
    # "5. Pass: their_contract."
    return Later()
