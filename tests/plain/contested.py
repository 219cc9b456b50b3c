"""Sections 7 and 8 of the reference agreement, over the advancer's bid, read plainly."""

from plain.answers import raise_promised, six_card_major
from plain.competing import RAISES, game_figure, long_promised, over_their_bid
from plain.continuation import after_minimum
from plain.ending import After, Later, settled_by_strength, settled_for_game, what_follows
from plain.response import promised_suits, unbid
from plain.words import *

# --- 7. The opener's answer over the advancer's bid -----------------------------------------


def contested_raise(hand: Hand, suit: int, c: int, short: bool) -> Call | None:
    """Rule 1 of section 7 in this promised suit, its cheapest level given, or None."""
    ours, support = SETTINGS.contested_answer, support_points(hand)
    # "c = 2: as rule 2 of section 4, with its names and figures;"
    if c == 2:
        return raise_promised(hand, suit, c)
    game, enough = False, False
    # "c = 3: a major with 17+ support points, game, raise_game; else with 13+, or short with 12+,
    # three of it, raise_minimum;"
    if c == 3:
        game = suit in MAJORS and support >= ours.game_three
        enough = support >= ours.raise_three or (short and support >= ours.raise_three_short)
    # "c = 4: a major with 16+, or short with 14+, game, raise_game; a minor with 17+, or short with
    # 15+, four of it, raise_minimum."
    if c == 4 and suit in MAJORS:
        game = support >= ours.game_four or (short and support >= ours.game_four_short)
    elif c == 4:
        enough = support >= ours.minor_four or (short and support >= ours.minor_four_short)
    if game:
        return "raise_game", write_bid(game_level(suit), suit)
    # "With fewer, or c higher, the rules below."
    return ("raise_minimum", write_bid(c, suit)) if enough else None


def contested_answer(hand: Hand, Y: int, Z: int, L: int, advancer_bid: str) -> Call:
    """Return the opener's answer over a bid of the advancer's.

    The promised suit of rule 1 is chosen before its level is looked at: no other is tried in its
    place. After a double no promised suit, and no Y, can be bid below level 2 over the advancer.
    """
    ours, points = SETTINGS.contested_answer, high_card_points(hand)
    promised = promised_suits(Y, Z, L)
    over, strain = read_bid(advancer_bid)
    # "c is the cheapest level, over the advancer's bid, of the suit spoken of."
    cheapest = [cheapest_level(each, over, strain) for each in (*SUITS, NOTRUMP)]
    # "Short: at most one card in Z."
    held = length(hand, Z)
    short = held <= 1
    # "1. Four or more in a promised suit (the longer; equals: the higher-ranking), unless it is a
    # minor, Y is a major of six or more and the cheapest level of Y is 2:"
    suit = longest(hand, promised)
    own_first = suit in MINORS and six_card_major(hand, Y) and cheapest[Y] == 2
    if length(hand, suit) >= 4 and not own_first:
        if raised := contested_raise(hand, suit, cheapest[suit], short):
            return raised
    # "2. own_suit: six or more in Y, and c = 2; or six or more in Y, c = 3 and 14+ HCP; or seven or
    # more in Y and c = 3; or seven or more in Y, a major, and c = 4: Y at c."
    own, c = length(hand, Y), cheapest[Y]
    if (
        (own >= 6 and c == 2)
        or (own >= 6 and c == 3 and points >= ours.own_suit_three)
        or (own >= 7 and c == 3)
        or (own >= 7 and Y in MAJORS and c == 4)
    ):
        return "own_suit", write_bid(c, Y)
    # "3. second_suit: five or more in a suit that is neither Y, Z, promised nor bid by the advancer,
    # c = 2, or c = 3 with 15+ HCP: it at c."
    for suit in unbid(SUITS, Y, Z):
        if suit not in (*promised, strain) and length(hand, suit) >= 5:
            c = cheapest[suit]
            if c == 2 or (c == 3 and points >= ours.second_suit_three):
                return "second_suit", write_bid(c, suit)
    # "4. notrump: a stopper in Z and 18+ HCP: notrump at its cheapest level, if that is 3 or lower."
    if stopper(hand, Z) and points >= ours.notrump and cheapest[NOTRUMP] <= 3:
        return "notrump", write_bid(cheapest[NOTRUMP], NOTRUMP)
    # "5. strong_double: 17+ HCP; or 15+ HCP, at most two cards in Z and the advancer's bid at level 2
    # or 3; or short with 14+ HCP: double, for the responder to choose."
    if (
        points >= ours.strong_double
        or (points >= ours.two_card_double and held <= 2 and over in (2, 3))
        or (short and points >= ours.short_double)
    ):
        return "strong_double", "X"
    # "6. pass."
    return "pass", "pass"


# --- 8. The end of a contested auction ------------------------------------------------------


def overcaller_again(hand: Hand, Z: int, advance: Call, answer_call: str) -> str:
    """Return the overcaller's second call.

    "Otherwise" in the first sentence is of both its conditions: a hand worth four of a major that
    finds the last bid at that or higher may still bid Z at its cheapest level, which is then five,
    and only over a pass or a double. A double is no bid.
    """
    opener_bid = answer_call not in ("pass", "X")
    last = read_bid(answer_call if opener_bid else advance[1])
    cheapest = cheapest_level(Z, *last)
    if advance[0] == "strong_raise":
        # "After a strong_raise: with 14+ HCP and Z a major, four of Z if the last bid is lower than
        # that;"
        strong = high_card_points(hand) >= SETTINGS.contested_end.overcaller_game
        if strong and Z in MAJORS and last < (4, Z):
            return write_bid(4, Z)
        # "otherwise Z at its cheapest level, if the opener passed or doubled or that level is 3 or
        # lower; otherwise it passes."
        return write_bid(cheapest, Z) if not opener_bid or cheapest <= 3 else "pass"
    # "After a raise, where the opener bid: with six or more cards in Z, Z at its cheapest level if
    # that is 3; otherwise it passes."
    if advance[0] == "raise" and opener_bid and length(hand, Z) >= 6 and cheapest == 3:
        return write_bid(3, Z)
    # "After any other call of the advancer's it passes."
    return "pass"


def over_our_bid(pair: Pair, theirs: Suits, answer: Call) -> Later:
    """Return what our side calls after the opener's bid and the overcaller's pass; Z is theirs[0]."""
    ours, (opener, responder), (name, bid) = SETTINGS.contested_end, pair, answer
    level, strain = read_bid(bid)
    # "Where the opener bid and the overcaller passed, a bid at or above game ends the auction. Below
    # game:"
    if level >= game_level(strain):
        return Later()
    if name in RAISES:
        # "raise_minimum at level 2: as over answer 2 at the cheapest level in section 5, opener
        # accepting an invitation or not as there;"
        support = support_points(responder)
        if name == "raise_minimum" and level == 2:
            return Later(after_minimum(opener, support, level, strain))
        # "raise_jump: game with 9+ support points, else pass; ... raise_minimum at level 3 or 4:
        # game with 12+ support points, else pass."
        bids_game = support >= game_figure(name, level, strain)
        return Later((write_bid(game_level(strain), strain),) if bids_game else ())
    # "notrump: 3NT with 7+ HCP, else pass."
    if name == "notrump":
        return Later(("3NT",) if high_card_points(responder) >= ours.notrump_game else ())
    # "own_suit, second_suit: the pair settles for game with 12+ total points, or with 10+ where the
    # opener's bid was at level 3; else pass. There is no correction."
    total = total_points(responder, theirs[0])
    if total >= ours.settle or (level == 3 and total >= ours.settle_three):
        return settled_for_game(pair, theirs, bid, "ours")
    return Later()


def over_a_strong_double(pair: Pair, theirs: Suits, last_bid: str, overcaller_bid: bool) -> Later:
    """Return what the responder calls over a strong double, or over what the overcaller has bid since."""
    # "After a strong_double (B is the advancer's bid, or what the overcaller has bid since; in
    # notrump there is no suit to hold): four or more cards in B's suit and B at level 2 or higher:
    # pass, or double if the overcaller has bid since, defended;"
    level, strain = read_bid(last_bid)
    if strain != NOTRUMP and length(pair[1], strain) >= 4 and level >= 2:
        return Later(("X",) if overcaller_bid else ())
    # "else the pair settles for game if it is strong enough; else for a part-score."
    return settled_by_strength(pair, theirs, last_bid)


def doubles_again(responder: Hand, Z: int, last_bid: str) -> bool:
    """Return whether the responder makes a second double, the opener having passed."""
    ours = SETTINGS.contested_end
    level, strain = read_bid(last_bid)
    points, total = high_card_points(responder), total_points(responder, Z)
    # "(In notrump there is no such suit, and only the first of each pair counts.)"
    cards = 13 if strain == NOTRUMP else length(responder, strain)
    return bool(
        # "with 9+ total points and at most two cards in the suit of the last bid, where that is a
        # suit at level 2;"
        (level == 2 and cards <= 2 and total >= ours.second_double_two)
        # "with 11+ total points, or 10 and at most one card in that suit, where the last bid is
        # below 4H;"
        or ((level, strain) < (4, HEARTS) and total >= ours.second_double)
        or ((level, strain) < (4, HEARTS) and cards <= 1 and total >= ours.second_double_short)
        # "with 12+ HCP, or 10+ HCP and at most one card in that suit, whatever it is."
        or points >= ours.high_double
        or (cards <= 1 and points >= ours.high_double_short)
    )


def passes_second_double(opener: Hand, promised: Suits, last_bid: str) -> bool:
    # "The opener passes it, defended, if the last bid is in notrump, or with four or more cards in
    # its suit, or with three or more where it is at level 3 or higher and no promised suit of four
    # or more;"
    level, strain = read_bid(last_bid)
    if strain == NOTRUMP or length(opener, strain) >= 4:
        return True
    four_promised = any(length(opener, suit) >= 4 for suit in promised)
    return length(opener, strain) >= 3 and level >= 3 and not four_promised


def over_a_pass(pair: Pair, Y: int, promised: Suits, theirs: Suits, last_bid: str) -> Later:
    """Return what our side calls where the opener passed; ``last_bid`` is theirs, and Z theirs[0]."""
    (opener, responder), last = pair, read_bid(last_bid)
    # "1. Six or more in a promised suit that can be bid at level 3 or lower (the longest of those;
    # equals: the higher-ranking): bids it."
    if long := long_promised(responder, promised, last):
        return Later((long,))
    # "2. Y is a minor, six or more clubs or five or more diamonds in it, or one fewer with 8+ total
    # points, and it can be bid at level 3 or lower: bids it."
    level, more = cheapest_level(Y, *last), length(responder, Y) - (6 if Y == CLUBS else 5)
    enough = total_points(responder, theirs[0]) >= SETTINGS.contested_end.short_raise
    if Y in MINORS and level <= 3 and (more >= 0 or (more == -1 and enough)):
        return Later((write_bid(level, Y),))
    # "3. A second double: ..."
    if doubles_again(responder, theirs[0], last_bid):
        if passes_second_double(opener, promised, last_bid):
            return Later(("X",))
        # "else the pair settles for game if it is strong enough, and otherwise for a part-score."
        return Later(("X",), settled_by_strength(pair, theirs, last_bid).settled)
    # "4. Pass: their_contract."
    return Later()


def contested(
    opener: Hand, overcaller: Hand, responder: Hand, Y: int, Z: int, L: int, name: str, bid: str
) -> After:
    """Return what follows the double and a bid of the advancer's, given by name and as made.

    The advancer passes, and so does the overcaller after its "one more call".
    """
    pair, promised = (opener, responder), promised_suits(Y, Z, L)
    # "Their suits: Z, and a suit that the advancer has bid as a suit (not a cue-bid of Y)."
    # A raise is of Z, a strong raise is the cue-bid, notrump is no suit: a new suit is left.
    theirs = (Z, read_bid(bid)[1]) if name == "new_suit" else (Z,)
    answer = contested_answer(opener, Y, Z, L, bid)
    again = overcaller_again(overcaller, Z, (name, bid), answer[1])
    last = bid if again == "pass" else again
    if answer[0] == "strong_double":
        later = over_a_strong_double(pair, theirs, last, again != "pass")
    elif answer[0] == "pass":
        later = over_a_pass(pair, Y, promised, theirs, last)
    elif again == "pass":
        later = over_our_bid(pair, theirs, answer)
    else:
        later = over_their_bid(pair, promised, theirs, answer, again)
    return what_follows(pair, (bid, again), answer, later)
