"""What a rule is, and how a table of rules decides.

A rule has a name, a sentence in plain English and one or more *ways* to hold; a way is a list of
conditions that must all be met. Conditions are vectorised: they look at a *situation*, which is
hands (dealt ones, or whole classes of hands) and the auction so far. The first rule of a table
that holds decides. Since a condition keeps what it measures apart from what it asks, the same
object also tells a reader by how much a hand missed it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from typing import Any, Generic, NamedTuple, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.agreements.agreement import Agreement
from analysis.agreements.setting_kinds import Range
from analysis.bidding.suit_words import SuitWords
from analysis.cards.bids import NO_BID, Bid
from analysis.cards.hands import BoolArray, Hands, Suit

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
    :class:`~analysis.agreements.agreement.Range`) or ``true``.
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
    that the rule makes (:data:`~analysis.cards.bids.NO_BID` for a pass or a double). A rule without
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
