"""The language of the rules: named terms, conditions on them, rules and tables of rules.

A *situation* is hands (dealt ones, or whole classes of hands) in an auction so far. A :class:`Number`
is one number for each hand, such as ``HCP`` or ``OPENED.cards``, and a :class:`SuitTerm` one suit,
such as ``OPENED``. Compared with a setting, a number makes a condition, and conditions join with
``&``, ``|`` and ``~``::

    (HCP >= A.overcall.takeout) & (OPENED.cards <= 2) & (SHORTEST_OTHER >= 3)

A :class:`Rule` is such an expression with its sentence beside it. The first rule of a
:class:`RuleTable` that holds decides. An expression knows its terms, so the object that decides over
arrays of hands can also say what a single hand lacks (:mod:`double_study.rules.explain`).

The second half of the module has the situation that most tables share: a hand after an opening of
one of a suit and an overcall, with what those two bids settle for the rest of the auction, such as
the unbid suits and what the double promises.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial, reduce
from itertools import product
from operator import and_, attrgetter, or_
from typing import Any, Generic, Self, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import REFERENCE, AddedRule, Agreement
from double_study.cards.bids import *
from double_study.cards.hands import BoolArray, Hands, IntArray, Suit, suit_set
from double_study.columns import COLUMNS, Combination, Row
from double_study.conditions import Values, parse

S = TypeVar("S", bound="Situation")
Covariant = TypeVar("Covariant", bound="Situation", covariant=True)

UNREACHABLE = 99
"""The requirement at a level where the rules never bid; no hand meets it."""


@dataclass(frozen=True)
class Situation:
    """One step of the auction: the hand to call and the agreement. Subclasses add the bids so far.

    A bid is one integer for all hands, or an array with one for each.
    """

    hands: Hands
    agreement: Agreement

    @cached_property
    def known(self) -> dict[Number | When, NDArray[Any]]:
        return {}


class Number:
    """A number for each hand; call it with a situation to get an array that broadcasts.

    ``what`` is its name, with ``{}`` in place of ``suit``, the suit that it is about; ``of`` returns
    the number for a situation and is called once for each. In a rule's ``here``, the field ``key``
    stands for the value that the rule requires. ``equal`` words equality, with ``#`` in place of the
    value; ``lacking`` returns in words how much more a single hand needs, when a single amount
    cannot say it.
    """

    def __init__(
        self,
        what: str,
        of: Callable[[Any], Any],
        suit: SuitTerm | None = None,
        *,
        key: str = "",
        equal: str = "",
        lacking: Callable[[Any], str] | None = None,
    ) -> None:
        self.what, self.suit, self.key, self.lacking = what, suit, key, lacking
        self._of, self._equal = of, equal or f"exactly # {what}"

    def __call__(self, situation: Situation) -> NDArray[Any]:
        known = situation.known
        if self not in known:
            known[self] = np.asarray(self._of(situation))
        return known[self]

    def words(self, situation: Situation | None = None) -> str:
        """Return the number's name for every auction, or for one, in which its suit has a name."""
        if self.suit is None:
            return self.what
        if situation is None:
            return self.what.format(self.suit.phrase)
        name = self.suit.name(situation)
        return name if self.what == _CARDS else self.what.format(name)

    def __ge__(self, need: Need) -> Comparison:
        return Comparison(self, "least", need)

    def __le__(self, need: Need) -> Comparison:
        return Comparison(self, "most", need)

    def __gt__(self, other: Number) -> Fact:
        return Fact(f"{self.what} above {other.what}", lambda s: self(s) > other(s))

    def within(self, need: Setting) -> Comparison:
        return Comparison(self, "within", need)

    def __eq__(self, need: object) -> Fact:  # type: ignore[override]
        words = self._equal.replace("#", str(need))
        return Fact(words, lambda s: self(s) == amount(need, s), suit=self.suit)

    __hash__ = object.__hash__

    def __add__(self, more: Need) -> Number:
        return Number(self.what, lambda s: self(s) + amount(more, s), self.suit)

    def __sub__(self, less: Need) -> Number:
        return Number(self.what, lambda s: self(s) - amount(less, s), self.suit)


_CARDS = "cards in {}"


class Setting:
    """A setting by its name: ``A.overcall.takeout``. Unknown names raise :class:`AttributeError`."""

    def __init__(self, *path: str) -> None:
        self._path = path
        if path:
            self._of = attrgetter(".".join(path))
            self._of(REFERENCE)

    def __getattr__(self, name: str) -> Setting:
        return Setting(*self._path, name)

    def __call__(self, situation: Situation) -> Any:
        return self._of(situation.agreement)

    def __add__(self, more: Need) -> Number:
        return Number("", lambda s: self(s) + amount(more, s))

    def __sub__(self, less: Need) -> Number:
        return Number("", lambda s: self(s) - amount(less, s))


A = Setting()
"""The settings, by section and name."""

Need = int | Number | Setting
"""What a number is compared with."""


def amount(need: Any, situation: Situation) -> Any:
    return need(situation) if callable(need) else need


_LEVELS = ("none", "one", "two", "three", "four", "five", "six", "seven")


def by_level(level: Number, **needs: int | Setting) -> Number:
    """Return what is needed at each ``level``, such as ``one=8, two=11``; UNREACHABLE at the others."""
    at = [needs.get(name, UNREACHABLE) for name in _LEVELS]

    def of(s: Situation) -> NDArray[np.int16]:
        return np.array([amount(need, s) for need in at], dtype=np.int16).take(level(s))

    return Number(f"what {level.what} asks for", of)


Ways = tuple[tuple["Condition", ...], ...]
"""The ways in which an expression can be true, each by conditions that must all be met."""


class When(ABC):
    """An expression of conditions that is true or false for each hand of a situation."""

    def met(self, situation: Situation) -> BoolArray:
        known = situation.known
        if self not in known:
            known[self] = self._met(situation)
        return known[self]

    @abstractmethod
    def _met(self, situation: Situation) -> BoolArray: ...

    @property
    @abstractmethod
    def ways(self) -> Ways:
        """The alternative sets of conditions under which the expression is true."""

    def __and__(self, other: When) -> When:
        return _Joined(and_, self, other)

    def __or__(self, other: When) -> When:
        return _Joined(or_, self, other)

    def __bool__(self) -> bool:
        raise TypeError("join conditions with & and |, and put each comparison in brackets")


@dataclass(frozen=True, eq=False)
class _Joined(When):
    join: Callable[[BoolArray, BoolArray], BoolArray]
    left: When
    right: When

    def _met(self, situation: Situation) -> BoolArray:
        return self.join(self.left.met(situation), self.right.met(situation))

    @property
    def ways(self) -> Ways:
        if self.join is or_:
            return self.left.ways + self.right.ways
        return tuple(one + other for one, other in product(self.left.ways, self.right.ways))


class Condition(When):
    """A single condition: a :class:`Comparison` or a :class:`Fact`."""

    have: Number

    @property
    def ways(self) -> Ways:
        return ((self,),)


@dataclass(frozen=True, eq=False)
class Comparison(Condition):
    """A number compared with a requirement: at least, at most, or within a range."""

    have: Number
    kind: str
    need: Need

    def _met(self, situation: Situation) -> BoolArray:
        have, need = self.have(situation), amount(self.need, situation)
        if self.kind == "within":
            return (have >= need.low) & (have <= need.high)
        return have >= need if self.kind == "least" else have <= need


class Fact(Condition):
    """A yes-or-no property of a hand or of the auction; ``~`` negates it.

    ``otherwise`` are the words for its negation. ``of_agreement``: whether it is only about what the
    partnership plays, which no hand settles.
    """

    def __init__(
        self,
        what: str,
        of: Callable[[Any], ArrayLike],
        otherwise: str = "",
        *,
        suit: SuitTerm | None = None,
        key: str = "",
        of_agreement: bool = False,
    ) -> None:
        self.have = Number(what, of, suit, key=key)
        self.otherwise, self.of_agreement = otherwise, of_agreement

    def _met(self, situation: Situation) -> BoolArray:
        return self.have(situation)

    def __invert__(self) -> Fact:
        words = self.otherwise or f"not {self.have.what}"
        return Fact(words, lambda s: ~self.met(s), self.have.what, suit=self.have.suit)


def played(what: str, setting: Setting) -> Fact:
    return Fact(f"played: {what}", setting, of_agreement=True)


class SuitTerm:
    """A suit in the rules: its name in any auction, and its index for each hand.

    ``of`` returns it for a situation: one index or an array of them, -1 for none. ``name`` names it
    in an auction, if that is not simply the suit of the first hand.
    """

    def __init__(
        self, phrase: str, of: Callable[[Any], Any], name: Callable[[Any], str] | None = None
    ) -> None:
        self.phrase, self._name = phrase, name
        self.suit = suit = Number(phrase, of)
        self.cards = Number(
            _CARDS, lambda s: s.hands.length_in(suit(s)) * (suit(s) >= 0), self, key="cards"
        )
        """Cards in it, 0 if there is none."""
        self.good = Fact("a good holding in {}", lambda s: s.hands.good_in(suit(s)), suit=self)
        self.honour = Fact(
            "the ace, king or queen of {}", lambda s: s.hands.honour_in(suit(s)), suit=self
        )
        self.stopper = Fact(
            "a stopper in {}",
            lambda s: s.hands.stopper_in(suit(s)),
            "no stopper in {}",
            suit=self,
            key="stopper",
        )
        self.level = Number(
            "the level of {}", lambda s: s.cheapest(suit(s)), self, equal="{} at level #"
        )
        """The cheapest level at which it can be bid."""
        self.cheapest = self.at(self.level)

    def name(self, situation: Any) -> str:
        """Return the suit's name for the first hand of a situation; without a suit, the phrase."""
        if self._name:
            return self._name(situation)
        suit = int(np.ravel(self.suit(situation))[0])
        return SUIT_NAMES[suit] if suit >= 0 else self.phrase

    def at(self, level: Need) -> Number:
        return Number(self.phrase, lambda s: bid_code(amount(level, s), self.suit(s)))

    def among(self, *suits: int) -> Fact:
        return Fact(
            " or ".join(SUIT_NAMES[suit] for suit in suits), lambda s: np.isin(self.suit(s), suits)
        )


Text = str | Callable[[Any], str]
"""A template, or a function for words that depend on more than a number."""


class Rule:
    """One rule: a name for tables, a sentence for readers, conditions for hands.

    ``text`` is the sentence: a template with settings in braces, such as ``{overcall.takeout}``, or a
    function of the agreement if the words depend on a choice. A rule without conditions (``when``)
    always holds. ``bid`` is the bid's text, or a function that returns the code of each hand's bid;
    None for a pass or a double. ``here`` is the part of the sentence that applies in one auction, for
    a sentence that covers several: a function of the situation, or a template whose fields are the
    keys of the conditions (``{points}``, ``{cards}``), ``{bid}`` and attributes of the situation.
    """

    def __init__(
        self,
        name: str,
        text: Text,
        when: When | None = None,
        bid: str | Callable[[Any], ArrayLike] | None = None,
        here: Text | None = None,
    ) -> None:
        self.name, self.when, self.here, self._text = name, when, here, text
        self.bid = Bid.parse(bid).code if isinstance(bid, str) else bid

    @cached_property
    def ways(self) -> Ways:
        """The alternative sets of conditions under which the rule holds; none if it always holds."""
        return self.when.ways if self.when is not None else ()

    def sentence(self, agreement: Agreement) -> str:
        text = self._text
        return text.format(**vars(agreement)) if isinstance(text, str) else text(agreement)

    def holds(self, situation: Situation) -> BoolArray:
        held = np.bool_(True) if self.when is None else self.when.met(situation)
        return np.broadcast_to(held, situation.hands.words.shape)

    def almost(self, situation: Situation, condition: Comparison, by: int) -> BoolArray:
        """Return the hands for which the rule holds, or would if ``condition`` required ``by`` less."""
        nearly = condition.have >= amount(condition.need, situation) - by
        ways = [
            [(nearly if other is condition else other).met(situation) for other in way]
            for way in self.ways
        ]
        met = reduce(np.logical_or, (reduce(np.logical_and, way) for way in ways))
        return np.broadcast_to(met, situation.hands.words.shape)

    def bids(self, situation: Situation) -> ArrayLike:
        """Return the codes of the rule's bids, whether or not it holds; NO_BID for a pass or a double."""
        if callable(self.bid):
            return self.bid(situation)
        return NO_BID if self.bid is None else self.bid


class RuleTable(Generic[S]):
    """An ordered table of rules, the last of which always holds.

    ``column`` is the column of tables that the rules' names are categories of; their codes are
    positions there. Without one they are positions among the names in order.
    """

    def __init__(self, title: str, column: str | None, rules: Sequence[Rule]) -> None:
        self.title, self.column, self.rules = title, column, tuple(rules)
        own = dict.fromkeys((rule.name for rule in rules), "")
        self.wordings: Mapping[str, str] = COLUMNS[column].wordings if column else own
        """Each name as readers see it."""
        self.names = tuple(self.wordings)
        """The names in order: the codes of :attr:`Decided.name` count along them."""
        self.name_codes = np.array([self.names.index(rule.name) for rule in rules], dtype=np.int8)
        """For each rule, the position of its name."""

    def under(self, agreement: Agreement) -> RuleTable[S]:
        own = tuple(rule for rule in agreement.rules if rule.table == self.title)
        return _with_own(self, own) if own else self

    def decide(self, situation: S) -> Decided[S]:
        """Return, for each hand, the decision of the first rule that holds."""
        table = self.under(situation.agreement)
        last = len(table.rules) - 1
        # Earlier rules get higher numbers, so the maximum is the first rule that holds.
        highest = np.zeros(situation.hands.words.shape, dtype=np.int8)
        for position, rule in enumerate(table.rules[:last]):
            if rule.when is not None:
                held = rule.when.met(situation) * np.int8(last - position)
                np.maximum(highest, held, out=highest)
                if highest.all():  # no later rule can change a call: a single deal is soon bid
                    break
        return Decided(table, situation, np.int8(last) - highest)


@dataclass(frozen=True)
class Decided(Generic[Covariant]):
    """The decisions of a table of rules for a situation; arrays are int8, shape of the hands.

    ``rule`` is the position of the rule that decides. It is not the code of a name, because rules may share
    one.
    """

    table: RuleTable[Any]
    situation: Covariant
    rule: NDArray[np.int8]

    @cached_property
    def name(self) -> NDArray[np.int8]:
        """The code of the rule's name, a position in :attr:`RuleTable.names`."""
        return self.table.name_codes.take(self.rule)

    @cached_property
    def bid(self) -> NDArray[np.int8]:
        """The code of the bid that the rule makes, NO_BID for a pass or a double."""
        made = np.full(self.rule.shape, NO_BID, dtype=np.int8)
        for position, rule in enumerate(self.table.rules):
            here = self.rule == position
            if rule.bid is not None and here.any():
                np.copyto(made, np.asarray(rule.bids(self.situation)), "same_kind", where=here)
        return made

    def named(self, *names: str) -> BoolArray:
        return np.array([name in names for name in self.table.names]).take(self.name)


def more(number: int, what: str) -> str:
    """Return an additional amount in words, such as 'one more heart' or '2 more total points'."""
    return f"{number} more {what}" if number > 1 else f"one more {singular(what)}"


def singular(what: str) -> str:
    """Return the name of a number for an amount of one, such as 'total point' or 'card in hearts'."""
    cards, in_suit, suit = what.partition(" in ")
    return f"{cards.removesuffix('s')}{in_suit}{suit}"


def cheapest_level(suit: ArrayLike, over: ArrayLike) -> NDArray[np.integer]:
    """Return the lowest level at which ``suit`` (0 to 3, or 4 for notrump) may be bid over a bid's code."""
    over = np.asarray(over)
    return over // 5 + 1 + (np.asarray(suit) <= over % 5)


def bid_text(code: int) -> str:
    return Bid.from_code(code).symbol


GAME_LEVEL = np.array([5, 5, 4, 4, 3], dtype=np.int16)
"""The level of game by denomination: clubs ... spades, notrump."""

# What the double promises: codes of the column "message". ``either_major`` is there only for
# partnerships that double with one major when both minors were bid (response.both_majors = false).
BOTH_MAJORS, EITHER_MAJOR, BOTH_MINORS, FOUR_SPADES, OTHER_MAJOR = range(5)

_LENGTH = "four or more"
PROMISES = {
    "both_majors": f"{_LENGTH} in each major",
    "either_major": f"{_LENGTH} in a major",
    "both_minors": f"{_LENGTH} in each minor",
    "exactly_four_spades": "exactly four spades",
    "other_major": f"{_LENGTH} in the unbid major",
}
FIVE_THREE = "five or more in one major and exactly three in the other"
"""What is enough for both majors, over two of a minor, under some agreements."""


def _message(opening: int, overcall: int, level: int, both_majors: bool) -> int:
    """Return what the double promises after one opening and one overcall."""
    if opening < HEARTS and overcall == HEARTS and level == 1:
        return FOUR_SPADES
    majors_unbid = len({*MAJORS} - {opening, overcall})
    both = BOTH_MAJORS if both_majors else EITHER_MAJOR
    return (BOTH_MINORS, OTHER_MAJOR, both)[majors_unbid]


def _promised(opening: int, overcall: int, level: int) -> int:
    """Return the set of suits that the double promises; both majors also if either is enough."""
    minors = _message(opening, overcall, level, both_majors=True) == BOTH_MINORS
    return suit_set({*(MINORS if minors else MAJORS)} - {opening, overcall})


_N_LEVELS = 8


def _by_auction(settled: Callable[[int, int, int], int]) -> NDArray[np.int8]:
    """Return the values of ``settled`` for every opening suit, suit overcalled and level, as a flat table."""
    auctions = product(SUITS, SUITS, range(_N_LEVELS))
    return np.array([settled(*auction) for auction in auctions], dtype=np.int8)


_MESSAGE = {both: _by_auction(partial(_message, both_majors=both)) for both in (True, False)}
_PROMISED = _by_auction(_promised)
_UNBID = _by_auction(lambda opening, overcall, level: suit_set({*SUITS} - {opening, overcall}))


@dataclass(frozen=True)
class Overcalled(Situation):
    """A hand after 1Y by its side and an overcall of ``level`` in the suit ``overcall`` (Z)."""

    opening: Suit
    overcall: Suit
    level: Suit

    @classmethod
    def by(cls, bid: Bid, hands: Hands, agreement: Agreement, opening: int) -> Self:
        """Return hands after one opening and one overcall, ``bid``."""
        return cls(hands, agreement, opening, bid.denomination, bid.level)

    @property
    def auction(self) -> tuple[NDArray[np.integer], NDArray[np.integer], NDArray[np.integer]]:
        return np.asarray(self.opening), np.asarray(self.overcall), np.asarray(self.level)

    @cached_property
    def _auction_number(self) -> NDArray[np.intp]:
        opening, overcall, level = self.auction
        return (opening * len(SUITS) + overcall).astype(np.intp) * _N_LEVELS + level

    @cached_property
    def overcall_bid(self) -> NDArray[np.integer]:
        return np.asarray(bid_code(np.asarray(self.level), np.asarray(self.overcall)))

    @property
    def overcall_made(self) -> str:
        """The overcall that a single hand calls over, as readers see it."""
        return bid_text(self.overcall_bid.item())

    @cached_property
    def jump(self) -> BoolArray:
        # The code of one of a suit is the suit.
        lowest = cheapest_level(self.overcall, np.asarray(self.opening))
        return np.asarray(self.level) > lowest

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        return np.asarray(self.level) + (np.asarray(suit) <= np.asarray(self.overcall))

    @cached_property
    def total_points(self) -> IntArray:
        """Total points without length in the overcaller's suit."""
        return self.hands.total_points(without=self.overcall)

    @cached_property
    def in_overcalled(self) -> IntArray:
        return self.hands.length_in(self.overcall)

    @cached_property
    def message(self) -> NDArray[np.int8]:
        """Return what the double promises here, codes of the column ``message``."""
        return _MESSAGE[self.agreement.response.both_majors].take(self._auction_number)

    @property
    def promise(self) -> str:
        """Return in words what the double promises, or would promise, for a single hand."""
        message = COLUMNS["message"].names[self.message.item()]
        if message == "other_major":
            return f"{_LENGTH} {A_PROMISED_SUIT.name(self)}"
        promise = PROMISES[message]
        return f"{promise}, or {FIVE_THREE}" if self.five_three.item() else promise

    @cached_property
    def five_three(self) -> BoolArray:
        """Whether five cards in one major and three in the other are enough for the double."""
        played = self.agreement.response.five_three_majors
        return played & (self.message == BOTH_MAJORS) & (np.asarray(self.level) == 2)

    @cached_property
    def promised_set(self) -> NDArray[np.int8]:
        return _PROMISED.take(self._auction_number)

    @cached_property
    def promised(self) -> BoolArray:
        """The suits of the message; shape (4, ...)."""
        sets = np.broadcast_to(self.promised_set, self.hands.words.shape)
        return np.stack([sets >> suit & 1 for suit in SUITS]).astype(np.bool_)

    @cached_property
    def one_suit_promised(self) -> BoolArray:
        return (self.message == OTHER_MAJOR) | (self.message == FOUR_SPADES)

    @cached_property
    def longest_promised(self) -> NDArray[np.int8]:
        """The hand's longest promised suit; between equals, the higher-ranking."""
        return self.hands.longest_among(self.promised_set)

    @cached_property
    def in_longest_promised(self) -> IntArray:
        return self.hands.length_in(self.longest_promised)

    @cached_property
    def in_shortest_promised(self) -> NDArray[np.int8]:
        return self.hands.shortest_length_among(self.promised_set)

    @cached_property
    def unbid_set(self) -> NDArray[np.int8]:
        return _UNBID.take(self._auction_number)

    def is_unbid(self, suit: int) -> BoolArray:
        return (self.unbid_set >> suit & 1).astype(np.bool_)


HCP = Number("HCP", lambda s: s.hands.hcp, key="points")
SUPPORT = Number("support points", lambda s: s.hands.support_points, key="points")
TOTAL = Number("total points", lambda s: s.total_points, key="points")
BALANCED = Fact("balanced", lambda s: s.hands.balanced)

LEVEL = Number("the level of the overcall", lambda s: s.level, equal="over an overcall at level #")
OPENED = SuitTerm("the suit opened", lambda s: s.opening)
OVERCALLED = SuitTerm("the overcaller's suit", lambda s: s.overcall)
A_PROMISED_SUIT = SuitTerm("a promised suit", lambda s: s.longest_promised)
"""The longest one; between equals, the higher-ranking."""
NT = SuitTerm("notrump", lambda s: np.int8(NOTRUMP))


def notrump_level(two: Need, three: Need) -> Number:
    """Return the level of notrump: the overcall's, or a higher one with the HCP for 2NT or 3NT."""

    def of(s: Situation) -> NDArray[np.integer]:
        strong = [HCP(s) >= amount(need, s) for need in (three, two)]
        return np.maximum(LEVEL(s), np.select(strong, [3, 2], default=1))

    return Number("the level of notrump", of)


# fmt: off
MAJOR_OPENED = Fact("after a major opening", lambda s: np.asarray(s.opening) >= HEARTS,
                    "after a minor opening")
# fmt: on
MINOR_SUPPORT = Number("", lambda s: np.int16(4) + (np.asarray(s.opening) == CLUBS))
"""Cards that support the minor opened: five clubs or four diamonds."""
CUE_BID = OVERCALLED.at(LEVEL + 1)

FEWER, MANY = 2, 4
"""Opener's cards at either end of the column ``opener_holds``: up to 2, and 4 or more."""
FOUR_OR_MORE = COLUMNS["opener_holds"].names[-1]


def opener_holds(cards: ArrayLike) -> NDArray[np.integer]:
    return np.clip(cards, FEWER, MANY) - FEWER


def _sequences() -> Iterator[tuple[int, Bid]]:
    """Yield every opening suit with every overcall that the rules can make over it, up to level 4."""
    for opening, level, suit in product(SUITS, range(1, 5), SUITS):
        if suit != opening and level >= cheapest_level(suit, bid_code(1, opening)):
            yield opening, Bid(level, suit)


SEQUENCES = tuple(_sequences())
"""The 42 sequences of an opening suit and an overcall, in order of opening, then overcall."""

ONE_BIDS = tuple(Bid(1, suit) for suit in SUITS)
# fmt: off
SEQUENCE = Combination("auction", ("opening", "overcall"),
                       [(str(ONE_BIDS[suit]), str(bid)) for suit, bid in SEQUENCES])
# fmt: on

SEQUENCE_CODE = np.full((4, 20), -1, dtype=np.int8)
"""The position in :data:`SEQUENCES` of [opening suit, overcall code]; -1 if there is none."""
for _code, (_opening, _overcall) in enumerate(SEQUENCES):
    SEQUENCE_CODE[_opening, _overcall.code] = _code


def every_sequence(agreement: Agreement) -> Overcalled:
    """Return the 42 of :data:`SEQUENCES` as one situation, with no hands in it."""
    auctions = [(opening, bid.denomination, bid.level) for opening, bid in SEQUENCES]
    nobody = Hands(np.zeros(len(SEQUENCES), dtype=np.uint32))
    return Overcalled(nobody, agreement, *np.array(auctions).T)


def after_sequence(code: int, hands: Hands, agreement: Agreement) -> Overcalled:
    """Return hands after one of :data:`SEQUENCES`."""
    opening, overcall = SEQUENCES[code]
    return Overcalled.by(overcall, hands, agreement, opening)


def messages_by_sequence(agreement: Agreement) -> tuple[str, ...]:
    """Return what the double promises after each of :data:`SEQUENCES`."""
    return tuple(COLUMNS["message"].names[code] for code in every_sequence(agreement).message)


def sequence_wording(row: Row) -> str:
    """Return a row's opening and overcall as readers see them, such as ``1♦ (1♠)``."""
    return f"{COLUMNS['opening'].of(row)} ({COLUMNS['overcall'].of(row)})"


def _cards_in(suit: int) -> Number:
    return Number(SUIT_NAMES[suit], lambda s: s.hands.lengths[suit])


# fmt: off
TERMS: Mapping[str, Number | Fact] = {
    **{SUIT_NAMES[suit]: _cards_in(suit) for suit in SUITS},
    "hcp": HCP, "support_points": SUPPORT, "points": TOTAL, "balanced": BALANCED,
    "in_opened": OPENED.cards, "in_overcalled": OVERCALLED.cards,
    "in_promised": A_PROMISED_SUIT.cards, "stopper": OVERCALLED.stopper, "good": OVERCALLED.good,
    "level": LEVEL, "opening": OPENED.suit,
    "message": Number("what the double promises", lambda s: s.message),
}
# fmt: on
"""The terms that rules added by an agreement, and the columns of questions, may use.

All but the last three are about the hand to call; a stopper and a good holding are those in the
overcaller's suit. Each depends only on the class of a hand, because exact values are sums over classes.
"""


def values_of(name: str, situation: Situation | None = None) -> Values:
    """Return one of :data:`TERMS` as an expression reads it; empty without a situation."""
    term, column = TERMS[name], COLUMNS.get(name)
    names = column.names if column and column.wordings else None
    number = term.have if isinstance(term, Fact) else term
    array = number(situation) if situation else np.empty(0, dtype=np.int8)
    return Values(array, names, isinstance(term, Fact))


@lru_cache(maxsize=256)
def _with_own(table: RuleTable[Any], own: tuple[AddedRule, ...]) -> RuleTable[Any]:
    """Return ``table`` with an agreement's rules added in order."""
    rules = list(table.rules)
    for added in own:
        at = [number for number, rule in enumerate(rules) if rule.name == added.other]
        rules.insert(at[0] if added.before else at[-1] + 1, _own_rule(added))
    extended = copy(table)
    extended.rules = tuple(rules)
    codes = [table.names.index(rule.name) for rule in rules]
    extended.name_codes = np.array(codes, dtype=np.int8)
    return extended


def _own_rule(added: AddedRule) -> Rule:
    bid = Bid.parse(added.bid) if added.bid else None
    expression = parse(added.when)

    def holds(s: Any) -> BoolArray:
        met = expression.mask(partial(values_of, situation=s))
        return met & (s.cheapest(bid.denomination) <= bid.level) if bid else met

    text = f"{added.when}{f': {bid.symbol}, if that is high enough' if bid else ''}"
    return Rule(added.says, lambda agreement: text, Fact(added.when, holds), added.bid or None)
