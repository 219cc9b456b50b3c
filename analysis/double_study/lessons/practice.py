"""Draw the boards of a set to practise on: the deals, the player asked, and the board numbers.

Round the table, the boards are numbered 1, 2, 3, ... in a random order. With the doubler
always South, a deal can only sit at a board whose dealer, by Law 2, puts the responder South: one
number in four, by the seat that the opener had. Each deal takes the lowest number left that fits
it. Numbers are skipped rather than deals, because skipping deals would give openers in fourth
seat as many boards as openers in first, and the hands would no longer be those of the case.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.counting.run import DEFAULT_SEED
from double_study.counting.sessions import BOARDS_PER_SESSION
from double_study.errors import InputError
from double_study.lessons.board import Board, Origin, south_number
from double_study.lessons.case import OPENER, REOPENING, RESPONDER, Case
from double_study.lessons.kinds import KINDS
from double_study.lessons.search import Draw, Found, search

BOTH = "both"
ASKS = (RESPONDER, OPENER, BOTH, REOPENING)
"""BOTH are the responder and the opener who answers."""
NATURAL, EVEN = "natural", "even"
MIXES = (NATURAL, EVEN)
AROUND, ALWAYS_SOUTH = "around", "south"
SIDES = (AROUND, ALWAYS_SOUTH)

Pick = tuple[int, str]
"""A deal drawn: its position in the search's finds, and who is asked."""


def played(agreement: Agreement) -> None:
    """Raise :class:`InputError` for an agreement without the double."""
    if not agreement.response.double:
        raise InputError(
            f"agreement {agreement.name} does not play the responder's double; allowed: an agreement "
            "that plays it"
        )


@dataclass(frozen=True)
class Practice:
    """A teacher's request; :meth:`boards` draws the boards.

    ``number`` boards of the cases (of any, if none is named) and ``near_misses`` besides: hands that
    nearly double, or with which opener nearly raises, but that need another call. ``deals`` are
    searched; a million have some 38,000 doubles under the reference agreement.
    """

    number: int = BOARDS_PER_SESSION
    cases: tuple[Case, ...] = ()
    mix: str = NATURAL
    near_misses: int = 0
    side: str = AROUND
    ask: str = RESPONDER
    seed: int = DEFAULT_SEED
    agreement: Agreement = REFERENCE
    deals: int = 1_000_000

    def check(self) -> None:
        """Raise :class:`InputError` for a case that cannot occur or cannot be asked about."""
        played(self.agreement)
        if self.ask == REOPENING and self.near_misses:
            raise InputError(
                f"--near-misses {self.near_misses} cannot be used with --ask {REOPENING}, because near "
                "misses are of the double and its answer; allowed: 0"
            )
        for case in self.cases:
            if self.ask == REOPENING and (case.message or case.reason or case.answer):
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

    def boards(self, progress: bool = True) -> list[Board]:
        """Return the boards, in the order of their numbers.

        Raises :class:`InputError` for what :meth:`check` finds, and if the search has too few
        deals of a case.
        """
        self.check()
        found = search(self.seed, self.deals, self.agreement, progress)
        earlier: Counter[int] = Counter()
        boards = []
        for number, (at, asked) in enumerate(self.picks(found), start=1):
            seat = int(found.seat[at])
            if self.side == ALWAYS_SOUTH:
                number = south_number(seat, earlier[seat])
                earlier[seat] += 1
            origin = Origin.of(self.seed, int(found.deal[at]))
            boards.append(Board(number, origin, self.agreement, asked))
        return sorted(boards, key=lambda board: board.number)

    def picks(self, found: Found) -> list[Pick]:
        """Return the picks from a search's finds, in a random order."""
        draw = Draw(found, self.seed, 1)
        picks = [pick for part in self._asks(self.number) for pick in self._of_cases(draw, *part)]
        for part in self._asks(self.near_misses):
            picks += self._near_misses(draw, *part)
        return [picks[at] for at in draw.mixed(len(picks))]

    def _asks(self, number: int) -> tuple[tuple[str, int], ...]:
        """Return how many of ``number`` boards ask each player."""
        if self.ask == REOPENING:
            return ((REOPENING, number),)
        to_opener_only = self.cases and all(case.to_opener_only for case in self.cases)
        half = number if to_opener_only else number // 2
        to_opener = {RESPONDER: 0, OPENER: number, BOTH: half}[self.ask]
        return (RESPONDER, number - to_opener), (OPENER, to_opener)

    def _of_cases(self, draw: Draw, asked: str, number: int) -> Iterator[Pick]:
        """Yield ``number`` boards of the cases, by their real frequencies or in turn."""
        found = draw.found
        cases = [case for case in self.cases if asked != RESPONDER or not case.to_opener_only]
        if self.mix == NATURAL:
            of_each = [found.of_case(case, self.agreement, asked) for case in cases]
            of_any = np.any(of_each, axis=0) if cases else found.askable(asked)
            wanted = [(", ".join(map(str, cases)), of_any, number)]
        else:
            cases = cases or found.cases(asked) or [Case()]
            if asked == OPENER and self.ask == BOTH:
                # Continue the turns where those of the responder's boards ended.
                first = (self.number - number) % len(cases)
                cases = cases[first:] + cases[:first]
            whole, more = divmod(number, len(cases))
            wanted = [
                (str(case), found.of_case(case, self.agreement, asked), whole + (at < more))
                for at, case in enumerate(cases)
            ]
        any_case = "openers in the pass-out seat" if asked == REOPENING else "doubles"
        for name, deals, turns in wanted:
            picked = draw.take(deals, turns)
            if len(picked) < turns:
                raise self._too_few(f"--case {name}" if name else any_case, len(picked), turns)
            yield from ((at, asked) for at in picked)

    def _near_misses(self, draw: Draw, asked: str, number: int) -> list[Pick]:
        """Return ``number`` near misses in the auctions of the cases; the kinds that came up take turns."""
        found = draw.found
        auctions = [found.in_auction(case, self.agreement) for case in self.cases or (Case(),)]
        near = np.any(auctions, axis=0)
        names = [name for name, kind in KINDS.items() if kind.near and kind.asked == asked]
        kinds = [near & found.of_kind(name) for name in names]
        picks = draw.in_turn(kinds, number)
        if len(picks) < number:
            raise self._too_few(f"--near-misses: hands for the {asked}", len(picks), number)
        return [(at, asked) for at, _ in picks]

    def _too_few(self, what: str, there: int, wanted: int) -> InputError:
        return InputError(
            f"{what}: the search of {self.deals} deals found {there}, not {wanted}; allowed: fewer "
            "boards, or more --deals"
        )
