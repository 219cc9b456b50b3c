"""Draw the practice boards of a lesson: the deals, the player asked, and the board numbers.

How a deal is drawn
-------------------
All deals of a search (the first deals of a seed) that the lesson may use, except those that
:mod:`double_study.lessons.teachable` leaves out, get a random 64-bit
number each, from a stream of their own; a case takes its boards from its deals in the order of
those numbers, passing over what another case took. So every set of deals of a case is as likely as
any other, wherever in the search they were dealt.

Where a deal is played
----------------------
Round the table, the boards are numbered 1, 2, 3, ... in an order drawn likewise. With the doubler
always South, a deal can only sit at a board whose dealer, by Law 2, puts the responder South: one
number in four, by the seat that the opener had. Each deal takes the lowest number left that fits
it. Numbers are skipped rather than deals, because skipping deals would give openers in fourth
seat as many boards as openers in first, and the hands would no longer be those of the case.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import Call
from double_study.cards.deal import BIT_GENERATOR, BLOCK_DEALS
from double_study.cards.hands import BoolArray
from double_study.counting.run import DEFAULT_SEED
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.errors import InputError
from double_study.lessons.board import SOUTH, Board, Course, Made, Origin, number_with
from double_study.lessons.case import OPENER, REOPENING, RESPONDER, Case
from double_study.lessons.kinds import KINDS
from double_study.lessons.search import Found, search

BOTH = "both"
ASKS = (RESPONDER, OPENER, BOTH, REOPENING)
"""BOTH are the responder and the opener who answers."""
NATURAL, EVEN = "natural", "even"
MIXES = (NATURAL, EVEN)
AROUND, ALWAYS_SOUTH = "around", "south"
SIDES = (AROUND, ALWAYS_SOUTH)

SEARCHED_DEALS = 1_000_000
"""Deals searched by default, with some 38,000 doubles under the reference agreement."""

_STREAM = (1, 1)
"""Spawn key of the draw: two numbers, because a block's key is one."""


def played(agreement: Agreement) -> None:
    """Raise :class:`InputError` for an agreement without the double."""
    if not agreement.response.double:
        raise InputError(
            f"agreement {agreement.name} does not play the responder's double; allowed: an agreement "
            "that plays it"
        )


@dataclass(frozen=True)
class LessonBoard:
    """A board of a lesson and the player who is asked.

    Raises :class:`InputError` if opener is asked but the rules give opener no answer.
    """

    board: Board
    asked: str

    def __post_init__(self) -> None:
        if self.asked == OPENER and self.board.course.answer is None:
            raise InputError(
                f"--ask {OPENER}: in deal {self.board.origin.place} the responder neither doubles nor "
                f"bids 1♠ over 1♥; allowed: --ask {RESPONDER}"
            )
        if self.asked == REOPENING and self.board.course.reopening is None:
            raise InputError(
                f"--ask {REOPENING}: in deal {self.board.origin.place} the opener is not in the "
                "pass-out seat; allowed: a deal on which responder and the fourth hand pass the "
                "overcall"
            )

    @property
    def made(self) -> Made:
        """The call that is asked for, with its rule."""
        course = self.board.course
        made = {OPENER: course.answer, REOPENING: course.reopening}.get(self.asked)
        return made or course.response

    @property
    def call(self) -> Call | None:
        """The call that is asked for."""
        return self.made.call

    @property
    def before(self) -> tuple[Call, ...]:
        """The calls before the one that is asked for."""
        return self.board.course.before(1 if self.asked == RESPONDER else 2)

    @property
    def asked_at(self) -> int:
        """Where the hand asked sits, a position in COMPASS."""
        auction = self.board.course.auction
        seat = auction.seat_of_responder if self.asked == RESPONDER else auction.seat_of_opener
        return self.board.compass(seat)

    @property
    def calls(self) -> tuple[Call, ...]:
        """The auction that the answer shows, to its end or up to the call that is asked for."""
        course = self.board.course
        whole = course.complete or course.doubled
        return course.calls if whole else course.calls[: len(self.before) + 1]


@dataclass(frozen=True)
class Pick:
    """A deal drawn: its position in the search's finds, and who is asked."""

    at: int
    asked: str


@dataclass(frozen=True)
class Lesson:
    """A teacher's request; :meth:`boards` draws the boards.

    ``number`` boards of the cases (of any, if none is named) and ``near_misses`` besides: hands that
    nearly double, or with which opener nearly raises, but that need another call.
    """

    number: int = BOARDS_PER_SESSION
    cases: tuple[Case, ...] = ()
    mix: str = NATURAL
    near_misses: int = 0
    side: str = AROUND
    ask: str = RESPONDER
    seed: int = DEFAULT_SEED
    agreement: Agreement = REFERENCE
    deals: int = SEARCHED_DEALS

    def check(self) -> None:
        """Raise :class:`InputError` for a case that cannot occur or cannot be asked about."""
        played(self.agreement)
        if self.ask == REOPENING and self.near_misses:
            raise InputError(
                f"--near-misses {self.near_misses} cannot be used with --ask {REOPENING}, because near "
                "misses are of the double and its answer; allowed: 0"
            )
        for case in self.cases:
            if self.ask == REOPENING and case.of_a_double:
                raise InputError(
                    f"--case {case}: this is a case of the double; allowed with --ask {REOPENING}: level, "
                    "opening and overcall"
                )
            if case.to_opener_only and self.ask == RESPONDER:
                raise InputError(
                    f"--case {case}: only the opener can be asked about this case; allowed: with --ask "
                    f"{OPENER} or {BOTH}"
                )
            case.check(self.agreement)

    def boards(self, progress: bool = True) -> list[LessonBoard]:
        """Return the boards, in the order of their numbers.

        Raises :class:`InputError` for what :meth:`check` finds, and if the search has too few
        deals of a case.
        """
        self.check()
        return self.boards_among(search(self.seed, self.deals, self.agreement, progress))

    def boards_among(self, found: Found) -> list[LessonBoard]:
        """Return the boards, drawn from what the lesson's search found; errors as for :meth:`boards`."""
        shuffled = self.draw(found)
        numbers = self._numbers([int(found.seat[pick.at]) for pick in shuffled])
        return [
            LessonBoard(self._board(number, int(found.deal[pick.at])), pick.asked)
            for number, pick in sorted(
                zip(numbers, shuffled, strict=True), key=lambda pair: pair[0]
            )
        ]

    def draw(self, found: Found) -> list[Pick]:
        """Return the picks of the lesson from a search's finds, in a random order."""
        stream = BIT_GENERATOR(np.random.SeedSequence(self.seed, spawn_key=_STREAM))
        order = np.argsort(stream.random_raw(len(found.deal)), kind="stable")
        draw = _Draw(found, order, self)
        picks = [pick for part in self._asks(self.number) for pick in draw.of_cases(*part)]
        picks += [
            pick for part in self._asks(self.near_misses) for pick in draw.of_near_misses(*part)
        ]
        return [picks[at] for at in np.argsort(stream.random_raw(len(picks)), kind="stable")]

    def _asks(self, number: int) -> tuple[tuple[str, int], ...]:
        """Return how many of ``number`` boards ask each player."""
        if self.ask == REOPENING:
            return ((REOPENING, number),)
        half = number if self._to_opener_only else number // 2
        to_opener = {RESPONDER: 0, OPENER: number, BOTH: half}[self.ask]
        return (RESPONDER, number - to_opener), (OPENER, to_opener)

    @property
    def _to_opener_only(self) -> bool:
        return len(self.cases) > 0 and all(case.to_opener_only for case in self.cases)

    def origin(self, deal: int) -> Origin:
        """Return the origin of a deal of the search, by its number."""
        return Origin(self.seed, *divmod(deal, BLOCK_DEALS))

    def _board(self, number: int, deal: int) -> Board:
        origin = self.origin(deal)
        return Board(number, origin, Course(origin.cards, self.agreement))

    def _numbers(self, openers: list[int]) -> list[int]:
        """Return the board numbers of deals with the opener in these seats."""
        if self.side == AROUND:
            return list(range(1, len(openers) + 1))
        before: Counter[int] = Counter()
        numbers = []
        for seat in openers:
            numbers.append(south_number(seat, before[seat]))
            before[seat] += 1
        return numbers


def south_number(opener: int, earlier: int = 0) -> int:
    """Return the number of a board with the responder South, for an opener in seat 1 to 4."""
    return number_with((opener + 1) % 4 + 1, SOUTH, earlier)


_WITHOUT_A_CASE = {
    RESPONDER: "doubles",
    OPENER: "doubles",
    REOPENING: "openers in the pass-out seat",
}


class _Draw:
    """The drawing of one lesson's deals; each deal is drawn once."""

    def __init__(self, found: Found, order: NDArray[np.intp], lesson: Lesson) -> None:
        self._found, self._order, self._lesson = found, order, lesson
        self._left = np.ones(len(order), dtype=np.bool_)

    def of_cases(self, asked: str, number: int) -> Iterator[Pick]:
        """Yield ``number`` boards of the lesson's cases, by their real frequencies or in turn."""
        lesson, found = self._lesson, self._found
        cases = [case for case in lesson.cases if asked != RESPONDER or not case.to_opener_only]
        if lesson.mix == NATURAL:
            wanted = [(", ".join(map(str, cases)), self._any_of(cases, asked), number)]
        else:
            cases = cases or found.cases(asked) or [Case()]
            if asked == OPENER and lesson.ask == BOTH:
                # Continue the turns where those of the responder's boards ended.
                first = (lesson.number - number) % len(cases)
                cases = cases[first:] + cases[:first]
            whole, more = divmod(number, len(cases))
            wanted = [
                (str(case), found.of_case(case, lesson.agreement, asked), whole + (at < more))
                for at, case in enumerate(cases)
            ]
        for name, deals, turns in wanted:
            for at in self._take(
                deals, turns, f"--case {name}" if name else _WITHOUT_A_CASE[asked]
            ):
                yield Pick(at, asked)

    def _any_of(self, cases: list[Case], asked: str) -> BoolArray:
        """Return deals of any of the cases or, without cases, all about which ``asked`` can be asked."""
        found, agreement = self._found, self._lesson.agreement
        if not cases:
            return found.askable(asked)
        return np.any([found.of_case(case, agreement, asked) for case in cases], axis=0)

    def of_near_misses(self, asked: str, number: int) -> Iterator[Pick]:
        """Yield ``number`` near misses in the auctions of the cases; the kinds that came up take turns."""
        lesson, found = self._lesson, self._found
        auctions = [found.in_auction(case, lesson.agreement) for case in lesson.cases or (Case(),)]
        near = np.any(auctions, axis=0)
        kinds = [(k.name, near & found.of_kind(k)) for k in KINDS if k.near and k.asked == asked]
        taken = 0
        while taken < number:
            turn = [(name, deals) for name, deals in kinds if (deals & self._left).any()]
            if not turn:
                raise self._too_few(f"--near-misses: hands for the {asked}", taken, number)
            for name, deals in turn[: number - taken]:
                [at] = self._take(deals, 1, name)
                yield Pick(at, asked)
                taken += 1

    def _take(self, deals: BoolArray, number: int, what: str) -> list[int]:
        """Return the first ``number`` deals, in the order drawn, that are not yet used."""
        ordered = self._order[(deals & self._left)[self._order]]
        if len(ordered) < number:
            raise self._too_few(what, len(ordered), number)
        self._left[ordered[:number]] = False
        return ordered[:number].tolist()

    def _too_few(self, what: str, there: int, wanted: int) -> InputError:
        return InputError(
            f"{what}: the search of {self._lesson.deals} deals found {there}, not {wanted}; allowed: fewer "
            "boards, or more --deals"
        )
