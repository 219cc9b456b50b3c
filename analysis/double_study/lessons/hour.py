"""Draw the deals of an hour's lesson, or of one week of a course, from the finds of a search.

Every hand of the plan, of the boards, of the homework and of the closing quiz is the first of its kind
in one random order of the deals found, so no deal appears twice in a lesson or a course.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import cycle

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import MAJORS, SUIT_NAMES, SUITS, Bid
from double_study.cards.deal import BIT_GENERATOR, BLOCK_DEALS
from double_study.cards.hands import BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.lessons.board import Board, Course, Origin
from double_study.lessons.kinds import KIND
from double_study.lessons.lesson import LessonBoard, played
from double_study.lessons.search import Found, search
from double_study.rules.explain import asked_for
from double_study.rules.response import RESPONSE, double_needs
from double_study.rules.terms import PROMISES, SEQUENCES, UNREACHABLE, Overcalled, every_sequence
from double_study.words import number

_STREAM = (1, 2)
"""Spawn key of the draw: two numbers, because a block's key is one."""

DOUBLES = "one_suit", "both_suits", "five_cards", "strong"
BIDS = "major_at_one", "new_suit", "raise", "notrump"
PASSES = "too_weak", "wrong_shape"
ANSWERS = "raises", "other_answer", "over_a_raise"
SEARCHED_DEALS = 500_000


@dataclass(frozen=True)
class Row:
    """A row of the table of auctions: the promise and the level of the overcalls.

    ``level`` 3 stands for 3 and 4; ``auctions`` are positions in SEQUENCES, ``situation`` is that of
    the same auctions with no hands in it.
    """

    message: str
    suits: tuple[int, ...]
    level: int
    auctions: tuple[int, ...]
    situation: Overcalled

    @property
    def auction(self) -> str:
        """The auctions as readers see them, such as ``1♣ or 1♦ (1♠)``."""
        after: dict[int, list[str]] = {}
        for at in self.auctions:
            opening, overcall = SEQUENCES[at]
            after.setdefault(opening, []).append(overcall.symbol)
        same: dict[tuple[str, ...], list[str]] = {}
        for opening, overcalls in after.items():
            same.setdefault(tuple(overcalls), []).append(Bid(1, opening).symbol)
        return ", ".join(
            f"{' or '.join(openings)} ({' or '.join(overcalls)})"
            for overcalls, openings in same.items()
        )

    @property
    def shows(self) -> str:
        """Return what the double shows."""
        if self.message == "other_major":
            return f"four or more {SUIT_NAMES[self.suits[0]]}"
        return PROMISES[self.message]

    @property
    def title(self) -> str:
        """The auctions with what the double shows."""
        return f"{self.auction}: {self.shows.replace('four or more', 'four')}"

    @cached_property
    def needs(self) -> list[int]:
        """The total points that the double needs, the fewest first; several if the overcalls differ."""
        s = self.situation
        return sorted({int(need) for need in double_needs(s.agreement, s.level, s.overcall)})

    @property
    def points(self) -> str:
        """The points of :attr:`needs` for readers."""
        return " or ".join(f"{need}+" for need in self.needs)

    @property
    def instead(self) -> str:
        """Return what a longer or a stronger hand bids."""
        if self.message == "exactly_four_spades":
            return "1♠ with five or more"
        if self.message in ("both_majors", "either_major") and self.level == 1:
            cards = number(self.situation.agreement.response.one_level_cards)
            only = f", or of {cards} if it is the only one" if cards != "five" else ""
            return f"a major of five or more{only}"
        bids = self._new_suit()
        return ", ".join(
            f"{' or '.join(symbols)} with {cards} and {points}+"
            + f" over {' or '.join(overcalls)}" * (len(bids) > 1)
            for (cards, points), (symbols, overcalls) in bids.items()
        )

    def _new_suit(self) -> dict[tuple[str, int], tuple[dict[str, None], dict[str, None]]]:
        """Return the bids of a promised suit, and the overcalls, by the cards and points shown."""
        name = "new_major" if self.suits[0] in MAJORS else "new_minor"
        # A minor has two rules: with both majors bid, six cards are bid before the double is tried.
        rules = [rule for rule in RESPONSE.rules if rule.name == name]
        shown: dict[tuple[str, int], tuple[dict[str, None], dict[str, None]]] = {}
        for at in self.auctions:
            opening, overcall = SEQUENCES[at]
            for suit in self.suits:
                # A hand with the suit and nothing else, so that the rule speaks of that suit.
                hands = Hands(np.array([_only(suit)], dtype=np.uint32))
                s = Overcalled(
                    hands, self.situation.agreement, opening, overcall.denomination, overcall.level
                )
                needs, fewer = asked_for(rules[0], s), asked_for(rules[-1], s)["cards"]
                if UNREACHABLE not in needs.values():
                    bid = Bid(int(s.cheapest(suit).item()), suit)
                    cards = number(needs["cards"])
                    if fewer < needs["cards"]:
                        cards += f" (or {number(fewer)} without four in the other)"
                    bids, over = shown.setdefault((cards, needs["points"]), ({}, {}))
                    bids[bid.symbol] = over[overcall.symbol] = None
        return shown


def _only(suit: int) -> int:
    """Return the word of a hand with 13 cards of one suit and no points."""
    return 13 << 6 + 4 * suit if suit < len(SUITS) - 1 else 0


def rows(agreement: Agreement) -> list[Row]:
    """Return the rows of the table of auctions, as far as the double reaches."""
    s = every_sequence(agreement)
    ceiling = agreement.response.double_through
    groups: dict[tuple[str, tuple[int, ...], int], list[int]] = {}
    for at, (_, overcall) in enumerate(SEQUENCES):
        if overcall <= ceiling:
            suits = tuple(suit for suit in SUITS if s.promised_set[at] >> suit & 1)
            message = COLUMNS["message"].names[s.message[at]]
            groups.setdefault((message, suits, min(overcall.level, 3)), []).append(at)
    return [
        Row(message, suits, level, tuple(found), _part(s, found))
        for (message, suits, level), found in groups.items()
    ]


def _part(s: Overcalled, at: Sequence[int]) -> Overcalled:
    parts = (np.asarray(part)[list(at)] for part in s.auction)
    return Overcalled(s.hands.rows(np.array(at)), s.agreement, *parts)


@dataclass(frozen=True)
class Focus:
    """The subject of an hour. ``openers``, ``passes``, ``boards`` and ``quiz`` are names of KINDS, in the
    order shown; ``topics``: whether the plan has the most frequent auctions with three hands each.
    """

    title: str
    aims: tuple[str, ...]
    topics: bool
    openers: tuple[str, ...]
    passes: tuple[str, ...]
    boards: tuple[str, ...]
    quiz: tuple[str, ...]


_AIM_DOUBLE = "Know which hands double, and what each double shows."
_AIM_ELSE = "Know the hands that look like a double but should bid or pass."
_AIM_OPENER = "Answer a double as opener, by fit first and strength second."
_AIM_WAIT = (
    "Pass in tempo with length in their suit, and reopen with a double when you are short there."
)

WHOLE = Focus(
    "The negative double: an hour for a class",
    (_AIM_DOUBLE, _AIM_ELSE, _AIM_OPENER, _AIM_WAIT),
    True,
    ("raises", "other_answer", "over_a_raise"),
    ("waits", "reopens"),
    (
        "one_suit",
        "major_at_one",
        "too_weak",
        "strong",
        "new_suit",
        "waits",
        "over_a_raise",
        "five_cards",
        "wrong_shape",
        "both_suits",
        "raise",
        "reopens",
    ),
    ("one_suit", "major_at_one", "too_weak", "raises", "new_suit", "waits"),
)
_BY_AUCTION = (
    "one_suit",
    "major_at_one",
    "too_weak",
    "strong",
    "both_suits",
    "new_suit",
    "five_cards",
    "wrong_shape",
    "one_suit",
    "raise",
    "both_suits",
    "notrump",
)
COURSE = (
    Focus(
        "Week 1: one-level overcalls",
        (_AIM_DOUBLE, _AIM_ELSE),
        True,
        ("raises",),
        (),
        _BY_AUCTION,
        ("one_suit", "major_at_one", "too_weak", "new_suit", "both_suits", "raise"),
    ),
    Focus(
        "Week 2: two-level overcalls, and both minors",
        ("Know how many points the double needs a level higher.", _AIM_ELSE),
        True,
        ("raises",),
        (),
        _BY_AUCTION,
        ("one_suit", "new_suit", "wrong_shape", "both_suits", "raise", "strong"),
    ),
    Focus(
        "Week 3: opener's answer, and a raise by the fourth hand",
        (_AIM_OPENER, "Decide whether to bid on when the fourth hand raises."),
        False,
        ("raises", "raises", "other_answer", "other_answer", "over_a_raise", "over_a_raise"),
        (),
        ("raises", "over_a_raise", "other_answer", "over_a_raise"),
        ("raises", "other_answer", "over_a_raise"),
    ),
    Focus(
        "Week 4: passing, reopening and revision",
        (_AIM_WAIT, "Put the lessons of the four weeks together."),
        False,
        (),
        ("waits", "reopens", "lets_play", "too_weak", "wrong_shape"),
        (
            "waits",
            "one_suit",
            "reopens",
            "new_suit",
            "lets_play",
            "raises",
            "too_weak",
            "strong",
            "waits",
            "over_a_raise",
            "major_at_one",
            "both_suits",
        ),
        ("waits", "one_suit", "reopens", "wrong_shape", "raises", "new_suit"),
    ),
)
"""The four weeks of a course."""


def of_week(week: int, agreement: Agreement) -> BoolArray:
    """Return which of SEQUENCES belong to a week of the course; all of them in the last two weeks."""
    s = every_sequence(agreement)
    minors = s.message == COLUMNS["message"].code("both_minors")
    level = np.asarray(s.level)
    if week == 1:
        return (level == 1) & ~minors
    return (level == 2) | minors if week == 2 else np.ones(len(SEQUENCES), dtype=np.bool_)


@dataclass(frozen=True)
class Shown:
    """A row of the table with three hands: a double, a bid and a pass, as far as the draw has them."""

    row: Row
    hands: tuple[LessonBoard, ...]


@dataclass(frozen=True)
class Hour:
    """An hour as drawn; the hands of the plan and the quiz have no board numbers of their own (0)."""

    focus: Focus
    agreement: Agreement
    minutes: int
    in_a_hundred: float
    warm_up: LessonBoard
    topics: tuple[Shown, ...]
    openers: tuple[LessonBoard, ...]
    passes: tuple[LessonBoard, ...]
    boards: tuple[LessonBoard, ...]
    homework: tuple[LessonBoard, ...]
    quiz: tuple[LessonBoard, ...]

    @property
    def examples(self) -> tuple[LessonBoard, ...]:
        """Four hands for the handout: three of the first topic, and one for opener or a pass."""
        hands = [hand for topic in self.topics for hand in topic.hands]
        return tuple([*hands[:3], *self.openers, *self.passes, *hands[3:]][:4])

    @property
    def deals(self) -> list[LessonBoard]:
        """Every hand that the lesson shows."""
        hands = [hand for topic in self.topics for hand in topic.hands]
        parts = self.openers, self.passes, self.boards, self.homework, self.quiz
        return [self.warm_up, *hands, *(item for part in parts for item in part)]


class Draw:
    """Draw hours from the finds of a search, each deal at most once."""

    def __init__(self, found: Found, seed: int, agreement: Agreement) -> None:
        self._found, self._seed, self._agreement = found, seed, agreement
        self._stream = BIT_GENERATOR(np.random.SeedSequence(seed, spawn_key=_STREAM))
        order = np.argsort(self._stream.random_raw(len(found.deal)), kind="stable")
        self._waiting = {
            name: order[(found.of_kind(kind) & ~found.settled)[order]].tolist()
            for name, kind in KIND.items()
        }
        self._taken: set[int] = set()

    @classmethod
    def of(cls, seed: int, agreement: Agreement, progress: bool = False) -> Draw:
        """Search the first :data:`SEARCHED_DEALS` deals of a seed; raise as :func:`played` does."""
        played(agreement)
        return cls(search(seed, SEARCHED_DEALS, agreement, progress), seed, agreement)

    def _one(
        self, kind: str, within: BoolArray, number: int = 0, also: str = ""
    ) -> LessonBoard | None:
        """Return the next deal of a kind in the auctions ``within``, None if there is none left.

        ``also`` is another kind to which the deal must belong.
        """
        waiting = self._waiting[kind]
        both = self._found.of_kind(KIND[also or kind])
        for place, at in enumerate(waiting):
            if at not in self._taken and within[self._found.sequence[at]] and both[at]:
                self._taken.add(at)
                del waiting[place]
                return self._item(at, kind, number)
        return None

    def _item(self, at: int, kind: str, number: int) -> LessonBoard:
        origin = Origin(self._seed, *divmod(int(self._found.deal[at]), BLOCK_DEALS))
        board = Board(number, origin, Course(origin.cards, self._agreement))
        return LessonBoard(board, KIND[kind].asked)

    def hands(self, kinds: Iterable[str], within: BoolArray) -> tuple[LessonBoard, ...]:
        """Return one hand of each kind that came up."""
        return tuple(filter(None, (self._one(kind, within) for kind in kinds)))

    def boards(
        self, kinds: Sequence[str], boards: int, first: int, within: BoolArray
    ) -> tuple[LessonBoard, ...]:
        """Return ``boards`` boards, kind after kind in turn, numbered from ``first`` in the order drawn.

        Raises :class:`InputError` if no kind has a deal left.
        """
        picked: list[LessonBoard] = []
        missed = 0
        for kind in cycle(kinds):
            if len(picked) == boards or missed == len(kinds):
                break
            item = self._one(kind, within)
            missed = 0 if item else missed + 1
            picked += [item] if item else []
        if len(picked) < boards:
            raise InputError(
                f"the search found {len(picked)} hands to show, but {boards} are needed; allowed: another "
                "level or topic, or none"
            )
        mixed = np.argsort(self._stream.random_raw(boards), kind="stable")
        return tuple(
            LessonBoard(
                Board(number, picked[at].board.origin, picked[at].board.course), picked[at].asked
            )
            for number, at in enumerate(mixed.tolist(), start=first)
        )

    def hour(
        self,
        focus: Focus,
        within: BoolArray,
        ranked: Sequence[Row],
        minutes: int,
        first: int = 1,
        boards: int = 12,
    ) -> Hour:
        """Draw an hour: ``ranked`` are the rows of the table, the most frequent first."""
        topics = [row for row in ranked if within[list(row.auctions)].any()]
        shown = tuple(
            self._topic(row, within) for row in topics[: topics_in(minutes)] if focus.topics
        )
        of_first = _only_in(topics[0].auctions) & within if topics else within
        # Start with deals on which partner has the suit, because they convince a class.
        warm = self._one("one_suit", of_first, also="raises")
        return Hour(
            focus,
            self._agreement,
            minutes,
            self._found.in_a_hundred,
            warm or self.boards(focus.boards, 1, 0, within)[0],
            shown,
            self.hands(focus.openers, within),
            self.hands(focus.passes, within),
            self.boards(focus.boards, boards, first, within),
            self.boards(focus.boards, HOMEWORK, first + boards, within),
            self.boards(focus.quiz, QUIZ, 1, within),
        )

    def _topic(self, row: Row, within: BoolArray) -> Shown:
        here = _only_in(row.auctions) & within
        hands: list[LessonBoard] = []
        for kinds in (DOUBLES, BIDS, PASSES):
            hands += next(filter(None, (self.hands([kind], here) for kind in kinds)), ())
        return Shown(row, tuple(hands))


HOMEWORK, QUIZ = 12, 6


def _only_in(auctions: Sequence[int]) -> BoolArray:
    return np.isin(np.arange(len(SEQUENCES)), auctions)


def topics_in(minutes: int) -> int:
    """Return how many rows of the table an hour of ``minutes`` has room to teach."""
    return max(1, round(minutes / 20))
