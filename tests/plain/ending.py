"""How an auction with the double ends, and how a pair settles (section 5), read plainly."""

from typing import NamedTuple

from plain.settings import SETTINGS
from plain.words import (
    MAJORS,
    MINORS,
    NOTRUMP,
    SUITS,
    Hand,
    cheapest_level,
    combined,
    game_level,
    high_card_points,
    read_bid,
    stopper,
    total_points,
    write_bid,
)

NO_SUIT = -1


class End(NamedTuple):
    """Where an auction ends.

    contract is the name of section 5, last_bid the bid that is played, trumps None in notrump;
    settled says that the pair's last calls are not written out.
    """

    contract: str
    last_bid: str
    trumps: int | None
    settled: bool = False


class Settled(NamedTuple):
    """What a pair settles in: a bid of its own or, doubled, the other side's."""

    bid: str
    doubled: bool = False


class Later(NamedTuple):
    """Our side's calls after the opener's answer, the responder's first, up to the last that is no
    pass; or up to the one after which the pair settles, and what in."""

    calls: tuple[str, ...] = ()
    settled: Settled | None = None


# --- Where the auction ends -----------------------------------------------------------------


def trumps_of(bid: str, opener: Hand, responder: Hand) -> int | None:
    # "Trumps are the combined cards in the suit last bid."
    strain = read_bid(bid)[1]
    return None if strain == NOTRUMP else combined(opener, responder, strain)


def named_end(
    bid: str, opener: Hand, responder: Hand, *, theirs: bool, doubled: bool, settled: bool = False
) -> End:
    """Return the end of an auction whose last bid this is, of the other side's or of the pair's own."""
    level, strain = read_bid(bid)
    trumps = trumps_of(bid, opener, responder)
    # "defended (the other side's bid, doubled), their_contract (the other side's bid, not doubled)"
    if theirs:
        contract = "defended" if doubled else "their_contract"
    # "game (a suit contract at game or higher), three_notrump (or higher notrump), part_score_fit
    # (eight or more trumps), part_score_no_fit (fewer), notrump_part_score"
    elif trumps is None:
        contract = "three_notrump" if level >= 3 else "notrump_part_score"
    elif level >= game_level(strain):
        contract = "game"
    else:
        contract = "part_score_fit" if trumps >= 8 else "part_score_no_fit"
    return End(contract, bid, trumps, settled)


# --- Settling -------------------------------------------------------------------------------


def their_suits(
    overcall_suit: int, advancer_name: str = "pass", advancer_bid: str = "pass"
) -> tuple[int, ...]:
    # "Their suits: Z, and a suit that the advancer has bid as a suit (not a cue-bid of Y)."
    # A raise is of Z, a strong raise is the cue-bid, notrump is no suit: a new suit is left.
    if advancer_name == "new_suit":
        return overcall_suit, read_bid(advancer_bid)[1]
    return (overcall_suit,)


def most_combined(
    opener: Hand, responder: Hand, suits: tuple[int, ...], theirs: tuple[int, ...]
) -> tuple[int, int]:
    """Return the most combined cards in one of these suits, and the suit; "equals" are the
    higher-ranking.

    Where all of them are theirs it is 0 cards in no suit.
    """
    # "Only suits that are not theirs count."
    held = [(combined(opener, responder, suit), suit) for suit in suits if suit not in theirs]
    return max(held, default=(0, NO_SUIT))


def strong_enough(opener: Hand, responder: Hand, theirs: tuple[int, ...]) -> bool:
    # "Strong enough for game: the opener's HCP and the responder's total points make 25 or more, or
    # 23 or more with ten or more combined cards in a suit that is not theirs."
    # "Total points of the responder's leave out length in Z": Z is the first of their suits.
    points = high_card_points(opener) + total_points(responder, theirs[0])
    if points >= SETTINGS.contested_end.strong_enough:
        return True
    most, _ = most_combined(opener, responder, SUITS, theirs)
    return points >= SETTINGS.contested_end.strong_enough_fit and most >= 10


def settled_for_game(
    opener: Hand, responder: Hand, theirs: tuple[int, ...], last_bid: str, whose: str
) -> Settled:
    """Return what the pair settles in for game; ``whose`` is B: 'theirs', 'cue_bid' or 'ours'.

    Each of the six names one bid, in its best suit; the first that is higher than B decides. "Seven"
    and "eight" in (4) and (5) are what (1) and (3) leave.
    """
    major_cards, major = most_combined(opener, responder, MAJORS, theirs)
    minor_cards, minor = most_combined(opener, responder, MINORS, theirs)
    stopped = all(stopper(opener, suit) or stopper(responder, suit) for suit in theirs)
    last = read_bid(last_bid)
    games = []
    # "(1) four of a major with eight or more combined cards (the more; equals: spades);"
    if major_cards >= 8:
        games.append((4, major))
    # "(2) 3NT, if each of their suits is stopped in one hand or the other;"
    if stopped:
        games.append((3, NOTRUMP))
    # "(3) five of a minor with nine or more combined cards (the more; equals: diamonds);"
    if minor_cards >= 9:
        games.append((5, minor))
    # "(4) four of a major with seven combined cards (equals: spades);"
    if major_cards == 7:
        games.append((4, major))
    # "(5) five of a minor with eight (equals: diamonds);"
    if minor_cards == 8:
        games.append((5, minor))
    # "(6) 3NT."
    games.append((3, NOTRUMP))
    # "For game, the first of these that is higher than B"
    for game in games:
        if game > last:
            return Settled(write_bid(*game))
    # "If none is higher than B: where B is theirs, double, defended;"
    if whose == "theirs":
        return Settled(last_bid, doubled=True)
    # "where B is a cue-bid of the opener's, five of the minor with the more combined cards (equals:
    # diamonds), or six of it where five is not higher than B;"
    if whose == "cue_bid":
        return Settled(write_bid(5 if (5, minor) > last else 6, minor))
    # "where B is another bid of the pair's own, it is left in."
    return Settled(last_bid)


def settled_for_part_score(
    opener: Hand, responder: Hand, theirs: tuple[int, ...], last_bid: str
) -> Settled:
    """Return what the pair settles in for a part-score over a bid of the other side's."""
    # "For a part-score: the suit with the most combined cards (equals: the higher-ranking) at its
    # cheapest level over B, if that is 3 or lower, or 4 with nine or more combined cards."
    cards, suit = most_combined(opener, responder, SUITS, theirs)
    level = cheapest_level(suit, *read_bid(last_bid))
    if level <= 3 or (level == 4 and cards >= 9):
        return Settled(write_bid(level, suit))
    # "Otherwise B is left in, doubled: defended."
    return Settled(last_bid, doubled=True)


def settled_by_strength(
    opener: Hand, responder: Hand, theirs: tuple[int, ...], last_bid: str
) -> Settled:
    # "the pair settles for game if it is strong enough, else for a part-score"
    if strong_enough(opener, responder, theirs):
        return settled_for_game(opener, responder, theirs, last_bid, "theirs")
    return settled_for_part_score(opener, responder, theirs, last_bid)
