"""Sections 7 and 8 of the reference agreement, over the advancer's bid, read plainly."""

from plain.answers import raise_promised, raised_suit
from plain.continuation import GOES_ON, Later, Rest, after_minimum, named_rest, trumps_of
from plain.response import promised_suits, unbid
from plain.words import (
    CLUBS,
    HEARTS,
    MAJORS,
    MINORS,
    NOTRUMP,
    REFERENCE,
    SUITS,
    Hand,
    cheapest_level,
    game_level,
    high_card_points,
    length,
    longest,
    read_bid,
    stopper,
    support_points,
    total_points,
    write_bid,
)

RAISES = ("raise_minimum", "raise_jump", "raise_game")


# --- 7. The opener's answer over the advancer's bid -----------------------------------------


def contested_raise(hand: Hand, suit: int, level: int) -> tuple[str, str] | None:
    """Rule 1 of section 7 in this promised suit, its cheapest level given, or None."""
    support = support_points(hand)
    game = "raise_game", write_bid(game_level(suit), suit)
    minimum = "raise_minimum", write_bid(level, suit)
    # "c = 2: as rule 2 of section 4, with its names and figures;"
    if level == 2:
        return raise_promised(hand, suit, level)
    # "c = 3: a major with 17+ support points, game, raise_game; else 13+, three of it,
    # raise_minimum;"
    if level == 3:
        if suit in MAJORS and support >= REFERENCE.contested_game:
            return game
        return minimum if support >= REFERENCE.contested_raise else None
    # "c = 4: a major with 16+, game, raise_game; a minor with 17+, four of it, raise_minimum."
    if level == 4:
        if suit in MAJORS:
            return game if support >= REFERENCE.contested_game_at_four else None
        return minimum if support >= REFERENCE.contested_minor_at_four else None
    # "With fewer, or c higher, the rules below."
    return None


def contested_answer(
    hand: Hand, opening_suit: int, overcall_suit: int, level: int, advancer_bid: str
) -> tuple[str, str]:
    """The opener's answer by name and as it is made, over a bid of the advancer's.

    The promised suit of rule 1 is chosen before its level is looked at: no other is tried in its
    place. After a double no promised suit, and no Y, can be bid below level 2 over the advancer.
    """
    points = high_card_points(hand)
    promised = promised_suits(opening_suit, overcall_suit, level)
    advancer_level, advancer_strain = read_bid(advancer_bid)

    def cheapest(strain: int) -> int:
        # "c is the cheapest level, over the advancer's bid, of the suit spoken of."
        return cheapest_level(strain, advancer_level, advancer_strain)

    # "1. Four or more in a promised suit (the longer; equals: the higher-ranking), unless it is a
    # minor and Y is a major of six or more"
    suit = raised_suit(hand, promised, opening_suit)
    if suit is not None and (raised := contested_raise(hand, suit, cheapest(suit))):
        return raised
    # "2. own_suit: six or more in Y and c = 2; or c = 3 with either 15+ HCP or seven or more in Y;
    # or c = 4 and Y a major of seven or more: Y at c."
    own, c = length(hand, opening_suit), cheapest(opening_suit)
    if own >= 6 and (
        c == 2
        or (c == 3 and (points >= REFERENCE.contested_own_suit or own >= 7))
        or (c == 4 and opening_suit in MAJORS and own >= 7)
    ):
        return "own_suit", write_bid(c, opening_suit)
    # "3. second_suit: five or more in a suit that is neither Y, Z, promised nor bid by the advancer,
    # c = 2, or c = 3 with 15+ HCP: it at c."
    for suit in unbid(SUITS, opening_suit, overcall_suit):
        if suit in promised or suit == advancer_strain or length(hand, suit) < 5:
            continue
        c = cheapest(suit)
        if c == 2 or (c == 3 and points >= REFERENCE.contested_second_suit):
            return "second_suit", write_bid(c, suit)
    # "4. notrump: a stopper in Z and 18+ HCP: notrump at its cheapest level, if that is 3 or lower."
    if (
        stopper(hand, overcall_suit)
        and points >= REFERENCE.contested_notrump
        and cheapest(NOTRUMP) <= 3
    ):
        return "notrump", write_bid(cheapest(NOTRUMP), NOTRUMP)
    # "5. strong_double: 17+ HCP, or 15+ and at most one card in Z: double, for the responder to
    # choose."
    if points >= REFERENCE.contested_double or (
        points >= REFERENCE.contested_double_short and length(hand, overcall_suit) <= 1
    ):
        return "strong_double", "X"
    # "6. pass."
    return "pass", "pass"


# --- 8. Where a contested auction comes to rest ---------------------------------------------


def overcaller_again(
    hand: Hand, overcall_suit: int, advancer_name: str, advancer_bid: str, answer_call: str
) -> str:
    """The overcaller's second call.

    "Otherwise" in the first sentence is of both its conditions: a hand worth four of a major that
    finds the last bid at that or higher may still bid Z at its cheapest level, which is then five,
    and only over a pass or a double. A double is no bid.
    """
    opener_bid = answer_call not in ("pass", "X")
    last = read_bid(answer_call if opener_bid else advancer_bid)
    cheapest = cheapest_level(overcall_suit, *last)
    if advancer_name == "strong_raise":
        # "After a strong_raise: with 14+ HCP and Z a major, four of Z if the last bid is lower than
        # that;"
        strong = high_card_points(hand) >= REFERENCE.overcaller_game
        if strong and overcall_suit in MAJORS and last < (4, overcall_suit):
            return write_bid(4, overcall_suit)
        # "otherwise Z at its cheapest level, if the opener passed or doubled or that level is 3 or
        # lower; otherwise it passes."
        if not opener_bid or cheapest <= 3:
            return write_bid(cheapest, overcall_suit)
        return "pass"
    # "After a raise, where the opener bid: with six or more cards in Z, Z at its cheapest level if
    # that is 3; otherwise it passes."
    six = length(hand, overcall_suit) >= 6
    if advancer_name == "raise" and opener_bid and six and cheapest == 3:
        return write_bid(3, overcall_suit)
    # "After any other call of the advancer's it passes."
    return "pass"


def game_figure(answer_name: str, bid_level: int, suit: int) -> int:
    """The support points with which the responder bids game over a raise of the opener's."""
    # "raise_jump: game with 9+ support points ...; raise_minimum at level 2: as over answer 2 at the
    # cheapest level in section 5 ...; raise_minimum at level 3 or 4: game with 12+ support points"
    if answer_name == "raise_jump":
        figure = REFERENCE.contested_game_over_jump
    elif bid_level == 2:
        figure = REFERENCE.game_over_minimum
    else:
        figure = REFERENCE.contested_game_over_minimum
    # "In a minor every figure of responder's here is 3 higher, as there."
    return figure + (REFERENCE.more_in_a_minor if suit in MINORS else 0)


def over_our_bid(
    opener: Hand, responder: Hand, overcall_suit: int, answer_name: str, answer_bid: str
) -> Later:
    """What our side calls after the opener's bid and the overcaller's pass."""
    level, strain = read_bid(answer_bid)
    # "Where the opener bid and the overcaller passed, a bid at or above game rests. Below game:"
    if level >= game_level(strain):
        return Later()
    if answer_name in RAISES:
        support = support_points(responder)
        if answer_name == "raise_minimum" and level == 2:
            return Later(after_minimum(opener, support, level, strain))
        bids_game = support >= game_figure(answer_name, level, strain)
        return Later((write_bid(game_level(strain), strain),) if bids_game else ())
    # "notrump: 3NT with 7+ HCP, else pass."
    if answer_name == "notrump":
        bids_game = high_card_points(responder) >= REFERENCE.contested_three_notrump
        return Later(("3NT",) if bids_game else ())
    # "own_suit, second_suit: goes on with 11+ total points, or with 10+ where the opener's bid was at
    # level 3; else pass. There is no correction."
    needed = REFERENCE.contested_goes_on_over_three if level == 3 else REFERENCE.contested_goes_on
    return Later(goes_on=total_points(responder, overcall_suit) >= needed)


def over_their_bid(
    responder: Hand, answer_name: str, answer_bid: str, overcaller_bid: str
) -> Later:
    """What the responder calls where the overcaller bid over the opener's bid."""
    level, suit = read_bid(answer_bid)
    last = read_bid(overcaller_bid)
    if answer_name in RAISES:
        # "1. The opener raised a promised suit, game in it is higher than the last bid, and the
        # support points that bid game over that raise above (raise_minimum at level 2: the 13 of
        # section 5, 16 in a minor): game."
        game = game_level(suit), suit
        enough = support_points(responder) >= game_figure(answer_name, level, suit)
        if game > last and enough:
            return Later((write_bid(*game),))
        # "2. The opener raised a promised suit, five or more cards in it, and it can be bid at level
        # 3: three of it, on nine trumps."
        if length(responder, suit) >= 5 and (3, suit) > last:
            return Later((write_bid(3, suit),))
    # "3. Pass: their_contract."
    return Later()


def over_a_pass(
    responder: Hand, opening_suit: int, overcall_suit: int, promised: tuple[int, ...], last_bid: str
) -> Later:
    """What the responder calls where the opener passed; ``last_bid`` is the other side's."""
    last = read_bid(last_bid)

    def cheapest(suit: int) -> int:
        return cheapest_level(suit, *last)

    # "1. Six or more in a promised suit that can be bid at level 3 or lower (the longest of those;
    # equals: the higher-ranking): bids it."
    long = tuple(suit for suit in promised if length(responder, suit) >= 6 and cheapest(suit) <= 3)
    if long:
        suit = longest(responder, long)
        return Later((write_bid(cheapest(suit), suit),))
    # "2. Y is a minor, five or more clubs or four or more diamonds in it, and it can be bid at level
    # 3 or lower: bids it."
    needed = 5 if opening_suit == CLUBS else 4
    if (
        opening_suit in MINORS
        and length(responder, opening_suit) >= needed
        and cheapest(opening_suit) <= 3
    ):
        return Later((write_bid(cheapest(opening_suit), opening_suit),))
    # "3. 11+ total points and the last bid below 4H, or 13+ HCP whatever it is: a second double,
    # goes_on."
    if (
        total_points(responder, overcall_suit) >= REFERENCE.second_double and last < (4, HEARTS)
    ) or high_card_points(responder) >= REFERENCE.second_double_high:
        return Later(("X",), goes_on=True)
    # "4. Pass: their_contract."
    return Later()


def later_contested_calls(
    opener_hand: Hand,
    overcaller_hand: Hand,
    responder_hand: Hand,
    opening_suit: int,
    overcall_suit: int,
    level: int,
    advancer_name: str,
    advancer_bid: str,
) -> tuple[str, Later]:
    """The overcaller's call after the opener's answer of section 7, and what our side then calls.

    The advancer passes, and so does the overcaller after "one more call". After a strong_double the
    text has no call for the responder, who "goes on": none is written.
    """
    auction = opening_suit, overcall_suit, level
    name, call = contested_answer(opener_hand, *auction, advancer_bid)
    again = overcaller_again(overcaller_hand, overcall_suit, advancer_name, advancer_bid, call)
    # "After a strong_double: goes on."
    if name == "strong_double":
        return again, Later(goes_on=True)
    if name == "pass":
        last = advancer_bid if again == "pass" else again
        promised = promised_suits(*auction)
        return again, over_a_pass(responder_hand, opening_suit, overcall_suit, promised, last)
    if again == "pass":
        return again, over_our_bid(opener_hand, responder_hand, overcall_suit, name, call)
    return again, over_their_bid(responder_hand, name, call, again)


def contested_end(
    opener_hand: Hand,
    overcaller_hand: Hand,
    responder_hand: Hand,
    opening_suit: int,
    overcall_suit: int,
    level: int,
    advancer_name: str,
    advancer_bid: str,
) -> Rest:
    """Where the auction rests after the double and a bid of the advancer's.

    Trumps in `their_contract` are the opener's and the responder's cards in the suit last bid, as
    in `defended`: "the two hands" are the same throughout.
    """
    auction = opening_suit, overcall_suit, level
    call = contested_answer(opener_hand, *auction, advancer_bid)[1]
    again, later = later_contested_calls(
        opener_hand, overcaller_hand, responder_hand, *auction, advancer_name, advancer_bid
    )
    if later.goes_on:
        return GOES_ON
    ours = [bid for bid in (call, *later.calls) if bid not in ("pass", "X")]
    if not later.calls and (again != "pass" or not ours):
        theirs = advancer_bid if again == "pass" else again
        return "their_contract", theirs, trumps_of(theirs, opener_hand, responder_hand)
    return named_rest(ours[-1], opener_hand, responder_hand)
