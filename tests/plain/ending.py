"""How an auction with the double ends, and how a pair settles (section 5), read plainly."""

from typing import NamedTuple

from plain.words import *

NO_SUIT = -1


class Later(NamedTuple):
    """Our side's calls after the opener's answer, the responder's first, up to the last that is no
    pass; or up to the one after which the pair settles, and what in: '4H', or '2SX' where it doubles
    their bid."""

    calls: tuple[str, ...] = ()
    settled: str = ""


class End(NamedTuple):
    """Where an auction ends.

    contract is the name of section 5, last_bid the bid that is played, trumps None in notrump;
    settled says that the pair's last calls are not written out.
    """

    contract: str
    last_bid: str
    trumps: int | None
    settled: bool


class After(NamedTuple):
    """What follows the advancer's call over the double, the overcaller's second call among it."""

    answer: Call
    again: str
    later: Later
    end: End


# --- Where the auction ends -----------------------------------------------------------------


def what_follows(pair: Pair, theirs: tuple[str, str], answer: Call, later: Later) -> After:
    """Find the end; ``theirs`` are the other side's last bid before the answer and its call after."""
    before, again = theirs
    said = [(False, before), (True, answer[1]), (False, again), *((True, c) for c in later.calls)]
    ours, bid = [each for each in said if each[1] not in ("pass", "X")][-1]
    # By a penalty pass the responder's double stands.
    calls = [call for _, call in said if call != "pass"]
    doubled = calls[-1] == "X" or answer[0] == "penalty_pass"
    if later.settled:
        bid, doubled = later.settled.removesuffix("X"), later.settled.endswith("X")
        ours = not doubled
    level, strain = read_bid(bid)
    # "Trumps are the combined cards in the suit last bid."
    trumps = None if strain == NOTRUMP else combined(pair, strain)
    # "defended (the other side's bid, doubled), their_contract (the other side's bid, not doubled)"
    if not ours:
        contract = "defended" if doubled else "their_contract"
    # "game (a suit contract at game or higher), three_notrump (or higher notrump), part_score_fit
    # (eight or more trumps), part_score_no_fit (fewer), notrump_part_score"
    elif trumps is None:
        contract = "three_notrump" if level >= 3 else "notrump_part_score"
    elif level >= game_level(strain):
        contract = "game"
    else:
        contract = "part_score_fit" if trumps >= 8 else "part_score_no_fit"
    return After(answer, again, later, End(contract, bid, trumps, bool(later.settled)))


# --- Settling -------------------------------------------------------------------------------


def most_combined(pair: Pair, suits: Suits, theirs: Suits) -> tuple[int, int]:
    """Return the most combined cards in one of these suits, and the suit; "equals" are the
    higher-ranking.

    Where all of them are theirs it is 0 cards in no suit.
    """
    # "Only suits that are not theirs count."
    held = [(combined(pair, suit), suit) for suit in suits if suit not in theirs]
    return max(held, default=(0, NO_SUIT))


def strong_enough(pair: Pair, theirs: Suits) -> bool:
    # "Strong enough for game: the opener's HCP and the responder's total points make 25 or more, or
    # 23 or more with ten or more combined cards in a suit that is not theirs."
    # "Total points of the responder's leave out length in Z": Z is the first of their suits.
    ours = SETTINGS.contested_end
    points = high_card_points(pair[0]) + total_points(pair[1], theirs[0])
    most, _ = most_combined(pair, SUITS, theirs)
    return points >= ours.strong_enough or (points >= ours.strong_enough_fit and most >= 10)


def settled_for_game(pair: Pair, theirs: Suits, last_bid: str, whose: str) -> Later:
    """Return what the pair settles in for game; ``whose`` is B: 'theirs', 'cue_bid' or 'ours'.

    Their suits are ``theirs``, Z the first of them. Each of the six names one bid, in its best suit;
    the first that is higher than B decides. "Seven" and "eight" in (4) and (5) are what (1) and (3)
    leave.
    """
    major_cards, major = most_combined(pair, MAJORS, theirs)
    minor_cards, minor = most_combined(pair, MINORS, theirs)
    games = [
        # "(1) four of a major with eight or more combined cards (the more; equals: spades);"
        (major_cards >= 8, (4, major)),
        # "(2) 3NT, if each of their suits is stopped in one hand or the other;"
        (all(any(stopper(hand, Z) for hand in pair) for Z in theirs), (3, NOTRUMP)),
        # "(3) five of a minor with nine or more combined cards (the more; equals: diamonds);"
        (minor_cards >= 9, (5, minor)),
        # "(4) four of a major with seven combined cards (equals: spades);"
        (major_cards == 7, (4, major)),
        # "(5) five of a minor with eight (equals: diamonds);"
        (minor_cards == 8, (5, minor)),
        # "(6) 3NT."
        (True, (3, NOTRUMP)),
    ]
    # "For game, the first of these that is higher than B"
    for possible, game in games:
        if possible and game > read_bid(last_bid):
            return Later(settled=write_bid(*game))
    # "If none is higher than B: where B is theirs, double, defended;"
    if whose == "theirs":
        return Later(settled=last_bid + "X")
    # "where B is a cue-bid of the opener's, five of the minor with the more combined cards (equals:
    # diamonds), or six of it where five is not higher than B;"
    if whose == "cue_bid":
        return Later(settled=write_bid(5 if (5, minor) > read_bid(last_bid) else 6, minor))
    # "where B is another bid of the pair's own, it is left in."
    return Later(settled=last_bid)


def settled_by_strength(pair: Pair, theirs: Suits, last_bid: str) -> Later:
    """Return what the pair settles in over a bid of the other side's."""
    # "the pair settles for game if it is strong enough, else for a part-score"
    if strong_enough(pair, theirs):
        return settled_for_game(pair, theirs, last_bid, "theirs")
    # "For a part-score: the suit with the most combined cards (equals: the higher-ranking) at its
    # cheapest level over B, if that is 3 or lower, or 4 with nine or more combined cards."
    cards, suit = most_combined(pair, SUITS, theirs)
    level = cheapest_level(suit, *read_bid(last_bid))
    if level <= 3 or (level == 4 and cards >= 9):
        return Later(settled=write_bid(level, suit))
    # "Otherwise B is left in, doubled: defended."
    return Later(settled=last_bid + "X")
