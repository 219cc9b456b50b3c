"""Every setting of a partnership, with its meaning, default and range.

The defaults are the reference agreement. A field of a section is declared by :func:`number`,
:func:`span`, :func:`choice` or :func:`ceiling`, which put its meaning and its kind into the field's
metadata. The kind checks values, says in words which are allowed, and moves a value by one. A setting
that the reference's text does not have is declared with ``added``; its default is what the reference
does.
"""

import re
from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from double_study.cards.bids import NOTRUMP, Bid
from double_study.cards.hands import SUIT_CARDS
from double_study.errors import InputError

MAX_HCP = 37

MOST_LISTED = 3
"""A message lists every number that a setting may have if there are no more than this."""

LOWEST_CEILING, HIGHEST_CEILING = Bid.parse("1D"), Bid.parse("4S")
"""The lowest and the highest overcall that a ceiling may name."""


@dataclass(frozen=True)
class Range:
    """Points from ``low`` to ``high``, both included."""

    low: int
    high: int

    def __str__(self) -> str:
        return f"{self.low}–{self.high}"


SettingValue = int | bool | Range | Bid
"""What a setting may be: points or cards, yes or no, a range of points, or an overcall."""


class Neighbour(NamedTuple):
    """A setting moved by one, in words; ``end`` names the end of a range that moved, if any."""

    end: str
    before: str
    after: str
    value: SettingValue


class Kind(ABC):
    """The kind of a setting, which determines its values.

    ``allowed`` says which values are allowed, ``asked`` says so in a question to a player.
    """

    allowed: str
    asked: str

    @abstractmethod
    def read(self, value: Any) -> SettingValue | None:
        """Return a value from a TOML file or an agreement in the agreement's form; None if not allowed."""

    @abstractmethod
    def answered(self, text: str) -> SettingValue | None:
        """Parse a player's answer; return None if it cannot be used."""

    def written(self, value: Any) -> Any:
        """Return a setting of this kind as a TOML document holds it."""
        return value

    def moved(self, value: Any, by: int) -> Iterator[Neighbour]:
        """Yield ``value`` moved ``by`` 1 or -1, whether or not that is allowed; nothing for a choice."""
        return iter(())

    def shown(self, value: Any) -> str:
        """Return a value as a player would type it."""
        return str(value)


class WholeNumber(Kind):
    """A whole number from ``low`` to ``high``."""

    def __init__(self, low: int, high: int) -> None:
        self.low, self.high = low, high
        self.allowed = f"a whole number from {low} to {high}"
        few = range(low, high + 1)
        self.asked = " or ".join(map(str, few)) if len(few) <= MOST_LISTED else self.allowed

    def read(self, value: Any) -> int | None:
        whole = isinstance(value, int) and not isinstance(value, bool)
        return value if whole and self.low <= value <= self.high else None

    def moved(self, value: int, by: int) -> Iterator[Neighbour]:
        yield Neighbour("", str(value), str(value + by), value + by)

    def answered(self, text: str) -> int | None:
        return self.read(int(text)) if re.fullmatch(r"\d{1,2}", text) else None


class Span(Kind):
    """A range of points, whose two ends move independently."""

    ends = WholeNumber(0, MAX_HCP)
    allowed = f"[lowest, highest], whole numbers from 0 to {MAX_HCP}, the lowest first"
    asked = "the lowest and the highest points, such as 13–15"

    def read(self, value: Any) -> Range | None:
        ends = self.written(value) if isinstance(value, Range) else value
        whole = isinstance(ends, list) and len(ends) == 2 and None not in map(self.ends.read, ends)
        return Range(*ends) if whole and ends[0] <= ends[1] else None

    def written(self, value: Range) -> list[int]:
        return [value.low, value.high]

    def moved(self, value: Range, by: int) -> Iterator[Neighbour]:
        for end in ("low", "high"):
            standing = getattr(value, end)
            changed = replace(value, **{end: standing + by})
            yield Neighbour(f".{end}", str(standing), str(standing + by), changed)

    def answered(self, text: str) -> Range | None:
        ends = re.fullmatch(r"(\d{1,2})\s*(?:-|–|to)\s*(\d{1,2})", text)
        return self.read([int(end) for end in ends.groups()]) if ends else None


class Choice(Kind):
    """Yes or no."""

    allowed = "true or false"
    asked = "yes or no"

    def read(self, value: Any) -> bool | None:
        return value if isinstance(value, bool) else None

    def answered(self, text: str) -> bool | None:
        given = text.lower()
        return {self.shown(of)[: len(given)]: of for of in (True, False)}.get(given or "?")

    def shown(self, value: bool) -> str:
        return "yes" if value else "no"


class Ceiling(Kind):
    """The highest overcall to which something applies; it moves to the next bid in a suit."""

    asked = f"a suit bid from {LOWEST_CEILING.symbol} to {HIGHEST_CEILING.symbol}"

    def __init__(self, default: Bid) -> None:
        self.allowed = f"a suit bid from {LOWEST_CEILING} to {HIGHEST_CEILING}, such as {default}"

    def read(self, value: Any) -> Bid | None:
        try:
            bid = Bid.parse(value) if isinstance(value, str) else value
        except InputError:
            return None
        suit_bid = isinstance(bid, Bid) and not bid.is_notrump
        return bid if suit_bid and LOWEST_CEILING <= bid <= HIGHEST_CEILING else None

    def written(self, value: Bid) -> str:
        return str(value)

    def moved(self, value: Bid, by: int) -> Iterator[Neighbour]:
        code = value.code + by
        bid = Bid.from_code(code + by if code % 5 == NOTRUMP else code)
        yield Neighbour("", value.symbol, bid.symbol, bid)

    def answered(self, text: str) -> Bid | None:
        return self.read(text)

    def shown(self, value: Bid) -> str:
        return value.symbol


def number(
    default: int, meaning: str, low: int = 0, high: int = MAX_HCP, added: bool = False
) -> Any:
    return _declared(default, meaning, WholeNumber(low, high), added)


def span(low: int, high: int, meaning: str) -> Any:
    return _declared(Range(low, high), meaning, Span())


def choice(default: bool, meaning: str) -> Any:
    """Declare a yes-or-no setting; all of these are additions to the reference's text."""
    return _declared(default, meaning, Choice(), added=True)


def ceiling(default: str, meaning: str) -> Any:
    return _declared(Bid.parse(default), meaning, Ceiling(Bid.parse(default)))


def _declared(default: SettingValue, meaning: str, kind: Kind, added: bool = False) -> Any:
    return field(default=default, metadata={"meaning": meaning, "kind": kind, "added": added})


# fmt: off
@dataclass(frozen=True)
class HandSettings:
    """What a good suit is."""

    good_suit: int = number(2, "cards of the top five that make a suit good", 1, 5)


@dataclass(frozen=True)
class OpeningSettings:
    """Section 1 of the rules."""

    strong: int = number(22, "HCP for the strong artificial opening")
    two_notrump: Range = span(20, 21, "HCP of a balanced 2NT opening")
    one_notrump: Range = span(15, 17, "HCP of a balanced 1NT opening")
    suit: int = number(12, "HCP that open one of a suit on any shape")
    light: int = number(10, "HCP that open one of a suit with a shape that makes up for them")
    light_sum: int = number(20, "HCP plus the two longest suits that a light opening needs", 0, 50)
    weak: Range = span(5, 10, "HCP of a weak opening on a good long suit")
    major_cards: int = number(5, "cards that an opening of 1♥ or 1♠ promises", 4, 5, added=True)
    diamond_cards: int = number(3, "cards that an opening of 1♦ promises", 3, 4, added=True)


@dataclass(frozen=True)
class OvercallSettings:
    """Section 2 of the rules."""

    notrump: Range = span(15, 18, "HCP of a balanced 1NT overcall")
    strong_double: int = number(18, "HCP of a takeout double on any shape")
    two_suited_calls: bool = choice(True, "two-suited calls are played")
    two_suited: int = number(6, "HCP of a two-suited call")
    weak_jump: Range = span(5, 10, "HCP of a weak jump overcall")
    one_level_good: Range = span(8, 17, "HCP of a one-level overcall in a good suit")
    one_level: Range = span(12, 17, "HCP of a one-level overcall in a suit with the ace, king or "
                            "queen")
    takeout: int = number(12, "HCP of a takeout double on support for the unbid suits")
    two_level_six: Range = span(10, 17, "HCP of a two-level overcall on six cards")
    two_level_five: Range = span(12, 17, "HCP of a two-level overcall on five cards")


@dataclass(frozen=True)
class ResponseSettings:
    """Section 3 of the rules."""

    double: bool = choice(True, "the responder's double is played")
    double_through: Bid = ceiling("3S", "the highest overcall over which the double is played")
    double_one: int = number(6, "total points for a double of a one-level overcall")
    # The reference has one figure for level 2.
    double_two_minor: int = number(8, "total points for a double of 2♣ or 2♦", added=True)
    double_two_major: int = number(8, "total points for a double of 2♥ or 2♠", added=True)
    double_three: int = number(10, "total points for a double of a three-level overcall")
    double_four: int = number(12, "total points for a double of a four-level overcall")
    double_hcp: int = number(5, "HCP that every double needs")
    double_cards: int = number(4, "the most cards in their suit for a double", 0, SUIT_CARDS)
    both_majors: bool = choice(True, "after both minors, the double promises both majors")
    five_three_majors: bool = choice(False, "over two of a minor after the other minor, five or more "
                                     "of one major and exactly three of the other are enough")
    strong_raise: int = number(11, "support points for a cue-bid that raises a major")
    raise_cards: int = number(3, "cards for a raise of the major opened", 3, 4, added=True)
    raise_two: int = number(6, "support points for a raise to the two level")
    raise_three: int = number(9, "support points for a raise to the three level")
    raise_four: int = number(12, "support points for a raise to the four level")
    raise_five: int = number(15, "support points for a raise to the five level")
    raise_game: int = number(12, "support points for a raise to game over a three-level overcall")
    one_level_major: int = number(6, "total points for a major at the one level")
    one_level_cards: int = number(4, "cards for a major bid over 1♣ (1♦)", 4, 5, added=True)
    penalty_cards: int = number(5, "cards in their suit for a penalty pass", 4, 5)
    penalty_pass: int = number(8, "HCP for a penalty pass")
    new_suit_two: int = number(10, "total points for a new suit at the two level")
    new_suit_three: int = number(12, "total points for a new suit at the three level")
    new_suit_four: int = number(12, "total points for a new suit at the four level")
    notrump_one: int = number(8, "HCP for notrump over a one-level overcall")
    notrump_two: int = number(11, "HCP for notrump over a two-level overcall")
    notrump_three: int = number(12, "HCP for 3NT over a three-level overcall")
    notrump_invite: int = number(11, "HCP for 2NT over a one-level overcall")
    notrump_game: int = number(13, "HCP for 3NT over a one-level or two-level overcall")
    strong_raise_minor: int = number(11, "support points for a cue-bid that raises a minor")
    cue_bid: int = number(12, "total points for any other cue-bid over a one-level or two-level overcall")
    cue_bid_three: int = number(14, "total points for a cue-bid over a three-level overcall")
    short_raise: int = number(8, "support points for a raise of a minor one card short")
    strong: int = number(10, "total points that make a four-card double strong")


@dataclass(frozen=True)
class AnswerSettings:
    raise_jump: int = number(16, "support points of opener's jump raise of a major")
    raise_game: int = number(19, "support points of opener's raise of a major to game")
    minor_jump: int = number(16, "support points of opener's jump raise of a minor")
    spade_jump: int = number(16, "support points of opener's jump to 3♠ over 1♠")
    spade_game: int = number(19, "support points of opener's raise to 4♠ over 1♠")
    cue_bid: int = number(18, "HCP of opener's cue-bid")
    own_suit_jump: int = number(16, "HCP of opener's jump in the suit opened")
    own_suit_long_jump: int = number(13, "HCP of opener's jump on seven cards in the suit opened")
    second_suit: int = number(16, "HCP of a four-card second suit above the rebid")
    notrump_jump: int = number(18, "HCP of opener's jump in notrump")


@dataclass(frozen=True)
class ContinuationSettings:
    overcaller: int = number(12, "HCP with which the overcaller bids six cards again at level 2")
    jump_game: int = number(9, "support points that go to game over a jump raise")
    game: int = number(13, "support points that go to game over a minimum raise")
    invite: int = number(11, "support points that invite over a minimum raise")
    accept: int = number(14, "support points with which opener accepts an invitation")
    minor_extra: int = number(3, "extra points that responder needs if the suit raised is a minor")
    notrump_game: int = number(12, "HCP that go to 3NT over notrump at its cheapest level")
    notrump_game_over_two: int = number(11, "HCP that go to 3NT over 2NT at its cheapest level")
    notrump_invite: int = number(10, "HCP that raise 1NT to 2NT")
    notrump_accept: int = number(14, "HCP with which opener goes from 2NT to 3NT")
    notrump_jump_game: int = number(7, "HCP that go to 3NT over a jump in notrump")
    three_card_accept: int = number(14, "support points with which opener settles for game if "
                                    "responder would invite over a three-card raise")
    settle: int = number(13, "total points that settle for game over a rebid or second suit")
    settle_strong: int = number(9, "total points that settle for game if opener's rebid showed "
                                "strength")
    settle_light: int = number(10, "total points that settle for game opposite a strong opener")
    opener_light: int = number(15, "HCP of an opener opposite whom the fewest total points settle "
                               "for game")
    opener: int = number(14, "HCP of an opener opposite whom one total point more than the fewest "
                         "settles for game")


@dataclass(frozen=True)
class AdvancerSettings:
    """Section 6 of the rules."""

    strong_raise: int = number(11, "support points for the fourth hand's strong raise")
    strong_raise_four: int = number(9, "HCP for the fourth hand's strong raise on four cards")
    preemptive_raise: int = number(6, "support points for the fourth hand's raise on nine trumps")
    raise_one: int = number(6, "support points of a raise of an overcall at level 1")
    raise_two: int = number(8, "support points of a raise of an overcall at level 2")
    new_suit: int = number(8, "total points for the fourth hand's new suit at level 1 or 2")
    new_suit_three: int = number(11, "total points for the fourth hand's new suit at level 3")
    notrump_one: int = number(8, "HCP for the fourth hand's notrump at level 1")
    notrump_two: int = number(11, "HCP for the fourth hand's notrump at level 2")
    notrump_jump: int = number(12, "HCP for the fourth hand's 2NT over an overcall at level 1")
    notrump_game_one: int = number(15, "HCP for the fourth hand's 3NT over an overcall at level 1")
    notrump_game_two: int = number(14, "HCP for the fourth hand's 3NT over an overcall at level 2")


@dataclass(frozen=True)
class ContestedAnswerSettings:
    """Section 7 of the rules."""

    game_three: int = number(17, "support points for game in a major that is bid at level 3")
    raise_three: int = number(13, "support points of opener's raise at level 3 over the fourth hand")
    raise_three_short: int = number(12, "support points of opener's raise at level 3 over the "
                                    "fourth hand with at most one card in their suit")
    game_four: int = number(16, "support points for game in a major that is bid at level 4")
    game_four_short: int = number(14, "support points for game in a major that is bid at level 4 "
                                  "with at most one card in their suit")
    minor_four: int = number(17, "support points of opener's raise of a minor at level 4")
    minor_four_short: int = number(15, "support points of opener's raise of a minor at level 4 "
                                   "with at most one card in their suit")
    own_suit_three: int = number(14, "HCP of opener's six cards at level 3 over the fourth hand")
    second_suit_three: int = number(15, "HCP of opener's second suit at level 3 over the fourth hand")
    notrump: int = number(18, "HCP of opener's notrump over the fourth hand")
    strong_double: int = number(17, "HCP of opener's double over the fourth hand")
    two_card_double: int = number(15, "HCP of opener's double of a bid at level 2 or 3 with at "
                                  "most two cards in their suit")
    short_double: int = number(14, "HCP of opener's double over the fourth hand with at most one "
                               "card in their suit")


@dataclass(frozen=True)
class ContestedEndSettings:
    """Section 8 of the rules."""

    overcaller_game: int = number(14, "HCP with which the overcaller bids game over a strong raise")
    strong_enough: int = number(25, "opener's HCP and responder's total points "
                                "that are enough for game", 0, 2 * MAX_HCP)
    strong_enough_fit: int = number(23, "opener's HCP and responder's total points that are "
                                    "enough for game with ten or more combined cards",
                                    0, 2 * MAX_HCP)
    jump_game: int = number(9, "support points that go to game over a contested jump raise")
    game: int = number(12, "support points that go to game over a raise at level 3 or 4")
    notrump_game: int = number(7, "HCP that go to 3NT over opener's contested notrump")
    settle: int = number(12, "total points that settle for game over opener's contested suit")
    settle_three: int = number(10, "total points that settle for game over opener's suit at level "
                               "3")
    compete: int = number(11, "total points that settle over the overcaller's second bid")
    compete_short: int = number(9, "total points that settle over the overcaller's second bid "
                                "with at most two cards in the overcaller's suit")
    short_raise: int = number(8, "total points of a minor bid one card short after opener's pass")
    second_double_two: int = number(9, "total points of a second double of a suit at level 2 with "
                                    "at most two cards in it")
    second_double: int = number(11, "total points of a second double below 4♥")
    second_double_short: int = number(10, "total points of a second double below 4♥ with at most "
                                      "one card in the suit")
    high_double: int = number(12, "HCP of a second double of any bid")
    high_double_short: int = number(10, "HCP of a second double of any suit bid with at most one "
                                    "card in it")


@dataclass(frozen=True)
class ReopeningSettings:
    """Section 9 of the rules."""

    suits_first: bool = choice(False, "a second suit and the suit opened are tried before "
                               "the double")
    notrump: int = number(18, "HCP that reopen in notrump")
    long_double: int = number(17, "HCP that reopen with a double on three cards in their suit")
    double: int = number(16, "HCP that reopen with a double on any shape")
    high_double_cards: int = number(1, "the most cards in their suit that "
                                    "double an overcall at level 3 or 4", 0, 2, added=True)
    high_double: int = number(15, "HCP that double an overcall at level 3 or 4 on any number of "
                              "cards in their suit")
    second_suit_three: int = number(16, "HCP that reopen in a second suit at level 3")
    own_suit: int = number(15, "the most HCP that reopen in the suit opened")
    late_double: int = number(16, "HCP that reopen with a double if no other call fits")
# fmt: on
