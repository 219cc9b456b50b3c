"""How rules speak of the suits of an auction: in words that fit every auction, and by name in one.

What a rule is, and how a table of rules decides.

A rule has a name, a sentence in plain English and one or more *ways* to hold; a way is a list of
conditions that must all be met. Conditions are vectorised: they look at a *situation*, which is
hands (dealt ones, or whole classes of hands) and the auction so far. The first rule of a table
that holds decides. Since a condition keeps what it measures apart from what it asks, the same
object also tells a reader by how much a hand missed it.

What opener and responder hold in a suit, as counts and exact tables tell it.

What the opening and the overcall settle for the rest of the auction.

The responder's and the opener's rules both turn on it: the cheapest levels, the unbid suits, what
the double promises and the values it needs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial, reduce
from itertools import product
from typing import Any, Generic, NamedTuple, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.agreements.settings import Range
from double_study.cards.bids import HEARTS, MAJORS, MINORS, NO_BID, SUIT_NAMES, SUITS, Bid, bid_code
from double_study.cards.hands import BoolArray, Hands, IntArray, Suit, suit_set
from double_study.columns import COLUMNS, Combination, Row


class SuitWords(str):
    """What a condition looks at, where that is a suit, in words for every auction; and for one."""

    def __new__(cls, words: str, suits: Suits) -> SuitWords:
        """``words`` have ``{}`` in place of the suit."""
        return super().__new__(cls, words.format(suits.phrase))

    def __init__(self, words: str, suits: Suits) -> None:
        self.words, self.suits = words, suits

    def here(self, situation: Any) -> str:
        """The same with the suits by name: ``spades`` for cards in a suit, ``a stopper in spades``."""
        names = self.suits.names(situation)
        return names if self.words == _CARDS_IN else self.words.format(names)


_CARDS_IN = "cards in {}"


@dataclass(frozen=True)
class Suits:
    """Suits that rules speak of: how they are called in any auction, and which they are in one.

    ``of`` gives them for the first hand of a situation, by number, and ``between`` joins their names.
    Where there are none (a number below 0) they keep the general name.
    """

    phrase: str
    of: Callable[[Any], ArrayLike]
    between: Callable[[Any], str] = lambda _: " and "

    @property
    def cards(self) -> SuitWords:
        """How many cards are held there."""
        return self.said(_CARDS_IN)

    def said(self, words: str) -> SuitWords:
        """Something about them, with ``{}`` in their place."""
        return SuitWords(words, self)

    def names(self, situation: Any) -> str:
        """Their names in an auction."""
        there = [suit for suit in np.atleast_1d(self.of(situation)).tolist() if suit >= 0]
        return self.between(situation).join(SUIT_NAMES[suit] for suit in there) or self.phrase


S = TypeVar("S", bound="Situation")
Asked = TypeVar("Asked", bound="Situation", contravariant=True)
Told = TypeVar("Told", bound="Situation", covariant=True)


@dataclass(frozen=True)
class Situation:
    """One step of the auction: the hand to call, and the agreement. Steps add what was bid.

    What was bid is one integer for all hands or an array with one for each.
    """

    hands: Hands
    agreement: Agreement


class Shortfall(NamedTuple):
    """What a hand lacks for a condition; ``short`` where more of something is needed."""

    text: str
    short: bool


@dataclass(frozen=True)
class Condition(Generic[Asked]):
    """A measure of a situation compared with what is asked of it.

    ``have`` and ``need`` give arrays that broadcast to the hands' shape. ``kind`` says how they
    compare: ``least`` (have >= need), ``most`` (have <= need), ``within`` (need is a
    :class:`~double_study.agreements.reader.Range`) or ``true``.
    """

    what: str
    have: Callable[[Asked], ArrayLike]
    need: Callable[[Asked], Any]
    kind: str
    of_agreement: bool = False
    """Whether it asks if something is played at all, which no hand settles."""
    lacking: Callable[[Asked], str] | None = None
    """How much more a hand needs, where that is not one number of one thing."""

    def what_here(self, situation: Asked) -> str:
        """What it measures, its suits by name."""
        return self.what.here(situation) if isinstance(self.what, SuitWords) else self.what

    def met(self, situation: Asked) -> BoolArray:
        """Which hands meet the condition; broadcasts to the hands' shape."""
        have = np.asarray(self.have(situation))
        if self.kind == "true":
            return have.astype(np.bool_, copy=False)
        need = self.need(situation)
        if self.kind == "within":
            return (have >= need.low) & (have <= need.high)
        return np.asarray(have >= need if self.kind == "least" else have <= need)

    def shortfall(self, situation: Asked) -> Shortfall:
        """What a single hand lacks for the condition, such as 'one more total point'."""
        what, need = self.what_here(situation), self.need(situation)
        if self.kind == "true":
            return Shortfall(what, short=False)
        if self.kind == "within":
            return Shortfall(f"{need} {what}", short=True)
        have, need = (np.asarray(number).item() for number in (self.have(situation), need))
        if self.kind == "most":
            return Shortfall(f"at most {need} {what}", short=False)
        if need >= UNREACHABLE:
            return Shortfall("a lower level", short=False)
        return Shortfall(
            self.lacking(situation) if self.lacking else more(need - have, what), short=True
        )

    def barred(self) -> str:
        """Why no hand at all meets the condition in an auction."""
        if self.of_agreement:
            return "not played"
        return f"only {self.what}" if self.kind == "true" else "no such call at this level"


def more(number: int, what: str) -> str:
    """So much more of something, such as 'one more heart' or '2 more total points'."""
    if number > 1:
        return f"{number} more {what}"
    cards, in_suit, suit = what.partition(" in ")
    return f"one more {cards.removesuffix('s')}{in_suit}{suit}"


MAX_LEVEL = 7
UNREACHABLE = 99
"""What a level that the rules never bid at asks for; no hand has it."""


def at_least(
    what: str,
    have: Callable[[S], ArrayLike],
    need: Callable[[S], ArrayLike],
    lacking: Callable[[S], str] | None = None,
) -> Condition[S]:
    """``have`` must reach ``need``."""
    return Condition(what, have, need, "least", lacking=lacking)


def at_most(
    what: str, have: Callable[[S], ArrayLike], need: Callable[[S], ArrayLike]
) -> Condition[S]:
    """``have`` must not pass ``need``."""
    return Condition(what, have, need, "most")


def within(what: str, have: Callable[[S], ArrayLike], need: Callable[[S], Range]) -> Condition[S]:
    """``have`` must lie in the range ``need``, ends included."""
    return Condition(what, have, need, "within")


def holds(what: str, have: Callable[[S], ArrayLike]) -> Condition[S]:
    """``have`` must be true; ``what`` names what is asked for."""
    return Condition(what, have, lambda _: True, "true")


def played(what: str, of: Callable[[Agreement], bool]) -> Condition[Situation]:
    """The agreement must play ``what``."""
    return Condition(f"played: {what}", lambda s: of(s.agreement), lambda _: True, "true", True)


Way = Sequence[Condition[S]]


def no_bid(situation: Situation) -> int:
    """The bid of a call that is none: a pass or a double."""
    return NO_BID


@dataclass(frozen=True)
class Rule(Generic[S]):
    """One rule: ``name`` for tables, ``wording`` and ``sentence`` for readers, ``ways`` for hands.

    ``wording`` is what readers see in place of the name; ``sentence`` is a function of the
    agreement, so that it always states the settings in force. ``bid`` gives the code of the bid
    that the rule makes (:data:`~double_study.cards.bids.NO_BID` for a pass or a double). A rule without
    ways always holds. ``part`` gives the part of the sentence that applies in an auction, where the
    sentence covers several.
    """

    name: str
    wording: str
    sentence: Callable[[Agreement], str]
    ways: Sequence[Way[S]] = ()
    bid: Callable[[S], ArrayLike] = no_bid
    part: Callable[[S], str] | None = None

    def told(self, situation: S) -> str:
        """The sentence, as far as it applies to a single hand that the rule holds for."""
        return self.part(situation) if self.part else self.sentence(situation.agreement)

    def holds(self, situation: S) -> BoolArray:
        """Which hands the rule holds for, shape of the hands."""
        ways = [
            reduce(np.logical_and, (condition.met(situation) for condition in way))
            for way in self.ways
        ]
        held = reduce(np.logical_or, ways) if ways else np.bool_(True)
        return np.broadcast_to(held, situation.hands.words.shape)

    def shortfalls(self, situation: S, ways: Sequence[Way[S]] | None = None) -> list[Shortfall]:
        """What a single hand lacks for the way that it comes nearest to; empty where it holds.

        ``ways``: those to be looked at, if not all of the rule's.
        """
        chosen = self.ways if ways is None else ways
        lacking = [[c for c in way if not c.met(situation).all()] for way in chosen]
        nearest = min(lacking, key=len, default=[])
        return [condition.shortfall(situation) for condition in nearest]


@dataclass(frozen=True)
class RuleTable(Generic[S]):
    """An ordered table of rules, the last of which always holds.

    ``known`` are names that come first among :attr:`names`: those of another table whose codes this
    one's continue, or this table's own in the order in which readers see them.
    """

    title: str
    rules: tuple[Rule[S], ...]
    known: tuple[str, ...] = ()

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names in order, each once: the codes of :attr:`Decided.name` count along them."""
        return tuple(dict.fromkeys([*self.known, *(rule.name for rule in self.rules)]))

    @cached_property
    def wordings(self) -> dict[str, str]:
        """Name -> wording, in the order of the rules; the first rule of a name words it."""
        first: dict[str, str] = {}
        for rule in self.rules:
            first.setdefault(rule.name, rule.wording)
        return first

    def worded(self, known: Mapping[str, str] | None = None) -> dict[str, str]:
        """Name -> wording, in the order of :attr:`names`; ``known`` words those of other tables."""
        wordings = self.wordings | dict(known or {})
        return {name: wordings[name] for name in self.names}

    @cached_property
    def name_codes(self) -> NDArray[np.int8]:
        """For each rule, the position of its name in :attr:`names`."""
        return np.array([self.names.index(rule.name) for rule in self.rules], dtype=np.int8)

    def decide(self, situation: S) -> Decided[S]:
        """What the first rule that holds says, for each hand."""
        last = len(self.rules) - 1
        # The earlier a rule the higher it counts, so the highest that holds is the first.
        highest = np.zeros(situation.hands.words.shape, dtype=np.int8)
        for position, rule in enumerate(self.rules[:last]):
            held = rule.holds(situation) * np.int8(last - position)
            np.maximum(highest, held, out=highest)
        return Decided(self, situation, np.int8(last) - highest)


@dataclass(frozen=True)
class Decided(Generic[Told]):
    """What a table of rules says of each hand of a situation; arrays are int8, shape of the hands.

    ``rule`` is the position of the rule that decides. It is no code of a name: two rules may share
    one.
    """

    table: RuleTable[Any]
    situation: Told
    rule: NDArray[np.int8]

    @cached_property
    def name(self) -> NDArray[np.int8]:
        """The code of the rule's name, a position in :attr:`RuleTable.names`."""
        return self.table.name_codes.take(self.rule)

    @cached_property
    def bid(self) -> NDArray[np.int8]:
        """The code of the bid that the rule makes."""
        made = np.full(self.rule.shape, NO_BID, dtype=np.int8)
        for position, rule in enumerate(self.table.rules):
            here = self.rule == position
            if rule.bid is not no_bid and here.any():
                bid = np.asarray(rule.bid(self.situation))
                np.copyto(made, bid, where=here, casting="same_kind")
        return made

    def named(self, *names: str) -> BoolArray:
        """Which hands a rule with one of ``names`` decides for."""
        return np.array([name in names for name in self.table.names]).take(self.name)


def need_by_level(level: Suit, *needs: int) -> NDArray[np.int16]:
    """What is needed at a level: ``needs`` from level 1 up, at any other UNREACHABLE."""
    table = np.full(MAX_LEVEL + 1, UNREACHABLE, dtype=np.int16)
    table[1 : 1 + len(needs)] = needs
    return table.take(level)


def cheapest_level(suit: ArrayLike, over: ArrayLike) -> NDArray[np.integer]:
    """The lowest level at which ``suit`` (0 to 3, or 4 for notrump) may be bid over a bid's code."""
    over = np.asarray(over)
    return over // 5 + 1 + (np.asarray(suit) <= over % 5)


def bid_text(code: int) -> str:
    """A bid's code as readers see it."""
    return Bid.from_code(code).symbol


FEWER, MANY = 2, 4
"""Opener's cards at either end of :data:`OPENER_HOLDS`: so many or fewer, so many or more."""

FOUR_OR_MORE = COLUMNS["opener_holds"].names[-1]


def opener_holds(cards: ArrayLike) -> NDArray[np.integer]:
    """The code in :data:`OPENER_HOLDS` of so many cards."""
    return np.clip(cards, FEWER, MANY) - FEWER


BOTH_MAJORS, EITHER_MAJOR, BOTH_MINORS, FOUR_SPADES, OTHER_MAJOR = range(5)

RAISE_WORDINGS = {
    "raise_minimum": "raise with a minimum",
    "raise_jump": "raise with extra values",
    "raise_game": "raise with the values for game",
}
"""Opener's raises go by the strength that they show, whatever level is left."""

GAME_LEVEL = np.array([5, 5, 4, 4, 3], dtype=np.int16)
"""The level of game by denomination: clubs ... spades, notrump."""


def _message(opening: int, overcall: int, level: int, both_majors: bool) -> int:
    """What the double promises after one opening and one overcall, a code of MESSAGE."""
    if opening < HEARTS and overcall == HEARTS and level == 1:
        return FOUR_SPADES
    majors_unbid = len({*MAJORS} - {opening, overcall})
    both = BOTH_MAJORS if both_majors else EITHER_MAJOR
    return (BOTH_MINORS, OTHER_MAJOR, both)[majors_unbid]


def _promised(opening: int, overcall: int, level: int) -> int:
    """The set of suits that the double promises, the same whether both majors or either."""
    minors = _message(opening, overcall, level, both_majors=True) == BOTH_MINORS
    return suit_set({*(MINORS if minors else MAJORS)} - {opening, overcall})


_LEVELS = 8


def _by_auction(settled: Callable[[int, int, int], int]) -> NDArray[np.int8]:
    """What ``settled`` gives for every opening suit, suit overcalled and level, in one flat table."""
    auctions = product(SUITS, SUITS, range(_LEVELS))
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

    @property
    def auction(self) -> tuple[NDArray[np.integer], NDArray[np.integer], NDArray[np.integer]]:
        """Y, Z and the level, as arrays."""
        return np.asarray(self.opening), np.asarray(self.overcall), np.asarray(self.level)

    @cached_property
    def _auction_number(self) -> NDArray[np.intp]:
        """Where the tables by auction have this one."""
        opening, overcall, level = self.auction
        return (opening * len(SUITS) + overcall).astype(np.intp) * _LEVELS + level

    @cached_property
    def overcall_bid(self) -> NDArray[np.integer]:
        """The code of the overcall."""
        return np.asarray(bid_code(np.asarray(self.level), np.asarray(self.overcall)))

    @cached_property
    def jump(self) -> BoolArray:
        """Whether the overcall was higher than the cheapest in its suit."""
        # The code of one of a suit is the suit.
        lowest = cheapest_level(self.overcall, np.asarray(self.opening))
        return np.asarray(self.level) > lowest

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        """The cheapest level of a suit (4: notrump) over the overcall."""
        return np.asarray(self.level) + (np.asarray(suit) <= np.asarray(self.overcall))

    @cached_property
    def rebid_level(self) -> NDArray[np.integer]:
        """The cheapest level of the opened suit."""
        return self.cheapest(self.opening)

    @cached_property
    def rebid(self) -> NDArray[np.integer]:
        """The cheapest rebid of the opened suit."""
        return np.asarray(bid_code(self.rebid_level, np.asarray(self.opening)))

    @cached_property
    def major_opened(self) -> BoolArray:
        """Whether the opening was in a major."""
        return np.asarray(self.opening) >= HEARTS

    @cached_property
    def total_points(self) -> IntArray:
        """Total points without length in the overcaller's suit."""
        return self.hands.total_points(without=self.overcall)

    @cached_property
    def in_opened(self) -> IntArray:
        """Cards in the suit opened."""
        return self.hands.length_in(self.opening)

    @cached_property
    def in_overcalled(self) -> IntArray:
        """Cards in the overcaller's suit."""
        return self.hands.length_in(self.overcall)

    @cached_property
    def good_overcalled(self) -> BoolArray:
        """Whether the hand's holding in the overcaller's suit is good."""
        return self.hands.good_in(self.overcall)

    @cached_property
    def stopper(self) -> BoolArray:
        """Whether the overcaller's suit is stopped."""
        return self.hands.stopper_in(self.overcall)

    @cached_property
    def message(self) -> NDArray[np.int8]:
        """What the double promises here, codes of :data:`MESSAGE`."""
        return _MESSAGE[self.agreement.response.both_majors].take(self._auction_number)

    @cached_property
    def promised_set(self) -> NDArray[np.int8]:
        """The suits of the message, bit *s* for suit *s*."""
        return _PROMISED.take(self._auction_number)

    @cached_property
    def promised(self) -> BoolArray:
        """The suits of the message; shape (4, ...)."""
        sets = np.broadcast_to(self.promised_set, self.hands.words.shape)
        return np.stack([sets >> suit & 1 for suit in SUITS]).astype(np.bool_)

    @cached_property
    def one_suit_promised(self) -> BoolArray:
        """Whether the message names a single suit."""
        return (self.message == OTHER_MAJOR) | (self.message == FOUR_SPADES)

    @cached_property
    def longest_promised(self) -> NDArray[np.int8]:
        """The hand's longest promised suit; between equals, the higher-ranking."""
        return self.hands.longest_among(self.promised_set)

    @cached_property
    def in_longest_promised(self) -> IntArray:
        """Cards in it."""
        return self.hands.length_in(self.longest_promised)

    @cached_property
    def in_shortest_promised(self) -> NDArray[np.int8]:
        """Cards in the hand's shortest promised suit."""
        return self.hands.shortest_length_among(self.promised_set)

    @cached_property
    def unbid_set(self) -> NDArray[np.int8]:
        """The suits that neither side has bid, bit *s* for suit *s*."""
        return _UNBID.take(self._auction_number)

    def is_unbid(self, suit: int) -> BoolArray:
        """Whether neither side has bid ``suit``."""
        return (self.unbid_set >> suit & 1).astype(np.bool_)

    @cached_property
    def longest_unbid_major(self) -> NDArray[np.int8]:
        """The hand's longest unbid major (equals: spades); -1 where both are bid."""
        return self.hands.longest_among(self.unbid_set & np.int8(suit_set(MAJORS)))

    @cached_property
    def longest_unbid_minor(self) -> NDArray[np.int8]:
        """The hand's longest unbid minor (equals: diamonds); -1 where both are bid."""
        return self.hands.longest_among(self.unbid_set & np.int8(suit_set(MINORS)))


def _first(suits: ArrayLike) -> ArrayLike:
    return np.ravel(suits)[:1]


OPENED = Suits("the suit opened", lambda s: _first(s.opening))
OVERCALLED = Suits("the overcaller's suit", lambda s: _first(s.overcall))
UNBID_MAJOR = Suits("the longer unbid major", lambda s: _first(s.longest_unbid_major))
UNBID_MINOR = Suits("the longer unbid minor", lambda s: _first(s.longest_unbid_minor))
LONGER_MAJOR = Suits("the longer major", lambda s: _first(s.hands.longest(*MAJORS)))
A_PROMISED_SUIT = Suits("a promised suit", lambda s: _first(s.longest_promised))
PROMISED = Suits(
    "the suit or suits promised",
    lambda s: np.flatnonzero(s.promised[:, 0]),
    lambda s: " or " if np.ravel(s.message)[0] == EITHER_MAJOR else " and as many ",
)


def _sequences() -> tuple[tuple[int, Bid], ...]:
    """Every opening suit with every overcall that the rules can make over it, up to level 4."""
    return tuple(
        (opening, Bid(level, suit))
        for opening in SUITS
        for level in range(1, 5)
        for suit in SUITS
        if suit != opening and level >= cheapest_level(suit, bid_code(1, opening))
    )


SEQUENCES = _sequences()
"""The 42 sequences of an opening suit and an overcall, in order of opening, then overcall."""

ONE_BIDS = tuple(Bid(1, suit) for suit in SUITS)
SEQUENCE = Combination(
    ("opening", "overcall"), [(str(ONE_BIDS[suit]), str(bid)) for suit, bid in SEQUENCES]
)

SEQUENCE_CODE = np.full((4, 20), -1, dtype=np.int8)
"""The position in :data:`SEQUENCES` of [opening suit, overcall code]; -1 where there is none."""
for _code, (_opening, _overcall) in enumerate(SEQUENCES):
    SEQUENCE_CODE[_opening, _overcall.code] = _code


def every_sequence(agreement: Agreement) -> Overcalled:
    """The 42 of :data:`SEQUENCES` as one situation, with no hands in it."""
    opening, overcall, level = (
        np.array(part)
        for part in zip(
            *((suit, bid.denomination, bid.level) for suit, bid in SEQUENCES), strict=True
        )
    )
    nobody = Hands(np.zeros(len(SEQUENCES), dtype=np.uint32))
    return Overcalled(nobody, agreement, opening, overcall, level)


def messages_by_sequence(agreement: Agreement) -> tuple[str, ...]:
    """What the double promises after each of :data:`SEQUENCES`."""
    return tuple(COLUMNS["message"].names[code] for code in every_sequence(agreement).message)


def sequence_wording(row: Row) -> str:
    """A row's opening and overcall as readers see them, such as ``1♦ (1♠)``."""
    return f"{COLUMNS['opening'].of(row)} ({COLUMNS['overcall'].of(row)})"
