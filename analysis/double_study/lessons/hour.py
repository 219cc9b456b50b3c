"""Draw the deals of an hour's lesson, or of one week of a course, from the finds of a search.

Every hand of the plan, of the boards, of the homework and of the closing quiz is the first of its kind
in one random order of the deals found, so no deal appears twice in a lesson or a course.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from double_study.agreements.reader import Agreement
from double_study.cards.bids import MAJORS, SUIT_NAMES, SUITS, Bid
from double_study.cards.hands import BoolArray, Hands
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.lessons.board import Board, Origin
from double_study.lessons.kinds import KINDS
from double_study.lessons.practice import played
from double_study.lessons.search import Draw, Found, search
from double_study.numbers_in_words import number
from double_study.rules.explain import asked_for
from double_study.rules.response import RESPONSE, double_needs
from double_study.rules.terms import PROMISES, SEQUENCES, UNREACHABLE, Overcalled, every_sequence

SEARCHED_DEALS = 500_000
HOMEWORK, QUIZ = 12, 6
DOUBLES = "one_suit", "both_suits", "five_cards", "strong"
BIDS = "major_at_one", "new_suit", "raise", "notrump"
PASSES = "too_weak", "wrong_shape"


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
        for opening, overcall in (SEQUENCES[at] for at in self.auctions):
            after.setdefault(opening, []).append(overcall.symbol)
        same: dict[str, list[str]] = {}
        for opening, overcalls in after.items():
            same.setdefault(" or ".join(overcalls), []).append(Bid(1, opening).symbol)
        return ", ".join(
            f"{' or '.join(openings)} ({overcalls})" for overcalls, openings in same.items()
        )

    @property
    def shows(self) -> str:
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
        return np.unique(double_needs(s.agreement, s.level, s.overcall)).tolist()

    @property
    def points(self) -> str:
        """The points of :attr:`needs` for readers."""
        return " or ".join(f"{need}+" for need in self.needs)

    @property
    def instead(self) -> str:
        """What a longer or a stronger hand bids."""
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
        for opening, overcall in (SEQUENCES[at] for at in self.auctions):
            for suit in self.suits:
                # A hand with the suit and nothing else, so that the rule speaks of that suit.
                word = 13 << 6 + 4 * suit if suit < len(SUITS) - 1 else 0
                hands = Hands(np.array([word], dtype=np.uint32))
                s = Overcalled.by(overcall, hands, self.situation.agreement, opening)
                needs, fewer = asked_for(rules[0], s), asked_for(rules[-1], s)["cards"]
                if UNREACHABLE not in needs.values():
                    bid = Bid(int(s.cheapest(suit).item()), suit)
                    cards = number(needs["cards"])
                    if fewer < needs["cards"]:
                        cards += f" (or {number(fewer)} without four in the other)"
                    bids, over = shown.setdefault((cards, needs["points"]), ({}, {}))
                    bids[bid.symbol] = over[overcall.symbol] = None
        return shown


def rows(agreement: Agreement) -> list[Row]:
    """Return the rows of the table of auctions, as far as the double reaches."""
    s = every_sequence(agreement)
    groups: dict[tuple[str, tuple[int, ...], int], list[int]] = {}
    for at, (_, overcall) in enumerate(SEQUENCES):
        if overcall <= agreement.response.double_through:
            suits = tuple(suit for suit in SUITS if s.promised_set[at] >> suit & 1)
            message = COLUMNS["message"].names[s.message[at]]
            groups.setdefault((message, suits, min(overcall.level, 3)), []).append(at)
    return [Row(*group, tuple(found), _part(s, found)) for group, found in groups.items()]


def _part(s: Overcalled, at: list[int]) -> Overcalled:
    return Overcalled(s.hands.rows(np.array(at)), s.agreement, *(part[at] for part in s.auction))


@dataclass(frozen=True)
class Focus:
    """The subject of an hour, as ``hours.toml`` has it; ``week`` 0 stands alone."""

    week: int
    title: str
    aims: Sequence[str]
    topics: bool
    openers: Sequence[str]
    passes: Sequence[str]
    boards: Sequence[str]
    quiz: Sequence[str]


_HOURS = tomllib.loads((Path(__file__).parent / "hours.toml").read_text("utf-8"))["hours"]
WHOLE, *COURSE = (Focus(week, **hour) for week, hour in enumerate(_HOURS))
"""The hour that stands alone, and the four weeks of a course."""


def of_week(week: int, agreement: Agreement) -> BoolArray:
    """Return which of SEQUENCES belong to a week of the course: all except in the first two weeks."""
    s = every_sequence(agreement)
    minors = s.message == COLUMNS["message"].code("both_minors")
    level = np.asarray(s.level)
    if week == 1:
        return (level == 1) & ~minors
    return (level == 2) | minors if week == 2 else np.ones(len(SEQUENCES), dtype=np.bool_)


@dataclass(frozen=True)
class Hour:
    """An hour as drawn; the hands of the plan and the quiz have no board numbers of their own (0).

    ``topics`` are rows of the table of auctions with three hands each: a double, a bid and a pass,
    as far as the draw has them.
    """

    focus: Focus
    minutes: int
    in_a_hundred: float
    warm_up: Board
    topics: list[tuple[Row, list[Board]]]
    openers: list[Board]
    passes: list[Board]
    boards: list[Board]
    homework: list[Board]
    quiz: list[Board]

    @property
    def examples(self) -> list[Board]:
        """Four hands for the handout: three of the first topic, and one for opener or a pass."""
        hands = [board for _, boards in self.topics for board in boards]
        return [*hands[:3], *self.openers, *self.passes, *hands[3:]][:4]


class Hours:
    """Draw hours from the finds of a search, each deal at most once."""

    def __init__(self, found: Found, seed: int, agreement: Agreement) -> None:
        self._found, self._agreement = found, agreement
        self._draw = Draw(found, seed, 2)

    @classmethod
    def of(cls, seed: int, agreement: Agreement, progress: bool = False) -> Hours:
        """Search the first :data:`SEARCHED_DEALS` deals of a seed; raise as :func:`played` does."""
        played(agreement)
        return cls(search(seed, SEARCHED_DEALS, agreement, progress), seed, agreement)

    def _of(self, kind: str, within: BoolArray) -> BoolArray:
        """Return the deals of a kind in the auctions ``within``."""
        found = self._found
        return found.of_kind(kind) & within[found.sequence] & ~found.settled

    def _board(self, at: int, kind: str, number: int = 0) -> Board:
        origin = Origin.of(self._draw.seed, int(self._found.deal[at]))
        return Board(number, origin, self._agreement, KINDS[kind].asked)

    def hands(self, kinds: Iterable[str], within: BoolArray, also: str = "") -> list[Board]:
        """Return one hand of each kind that came up; ``also`` is another to which it must belong."""
        deals = {k: self._of(k, within) & self._found.of_kind(also or k) for k in kinds}
        return [self._board(at, kind) for kind in kinds for at in self._draw.take(deals[kind])]

    def boards(
        self, kinds: Sequence[str], boards: int, first: int, within: BoolArray
    ) -> list[Board]:
        """Return ``boards`` boards, kind after kind in turn, numbered from ``first`` in the order drawn.

        Raises :class:`InputError` if no kind has a deal left.
        """
        picked = self._draw.in_turn([self._of(kind, within) for kind in kinds], boards)
        if len(picked) < boards:
            raise InputError(
                f"the search found {len(picked)} hands to show, but {boards} are needed; allowed: another "
                "level or topic, or none"
            )
        mixed = enumerate((picked[at] for at in self._draw.mixed(boards)), start=first)
        return [self._board(at, kinds[kind], number) for number, (at, kind) in mixed]

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
        shown = topics[: topics_in(minutes)] if focus.topics else []
        taught = [(row, self._topic(_only_in(row) & within)) for row in shown]
        of_first = _only_in(topics[0]) & within if topics else within
        # Start with deals on which partner has the suit, because they convince a class.
        warm = self.hands(["one_suit"], of_first, also="raises")
        return Hour(
            focus,
            minutes,
            self._found.in_a_hundred,
            (warm or self.boards(focus.boards, 1, 0, within))[0],
            taught,
            self.hands(focus.openers, within),
            self.hands(focus.passes, within),
            self.boards(focus.boards, boards, first, within),
            self.boards(focus.boards, HOMEWORK, first + boards, within),
            self.boards(focus.quiz, QUIZ, 1, within),
        )

    def _topic(self, here: BoolArray) -> list[Board]:
        hands: list[Board] = []
        for kinds in (DOUBLES, BIDS, PASSES):
            hands += next(filter(None, (self.hands([kind], here) for kind in kinds)), [])
        return hands


def _only_in(row: Row) -> BoolArray:
    return np.isin(np.arange(len(SEQUENCES)), row.auctions)


def topics_in(minutes: int) -> int:
    """Return how many rows of the table an hour of ``minutes`` has room to teach."""
    return max(1, round(minutes / 20))
