"""Search blocks for deals that a lesson may use, and draw from those found.

The search returns only deals that :mod:`double_study.lessons.teachable` allows. Each of them gets a
random 64-bit number, and whatever is drawn takes its deals in the order of those numbers, passing
over what was drawn before. So every set of deals of a kind is as likely as any other, wherever in
the search they were dealt.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import partial
from itertools import cycle

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.deal import BIT_GENERATOR, BLOCK_DEALS
from double_study.cards.hands import BoolArray
from double_study.columns import COLUMNS
from double_study.counting.run import cards_of, over_blocks
from double_study.counting.tally import Blocks
from double_study.lessons.case import FIVE_SPADES_CODE, KEYS, OPENER, REOPENING, Case
from double_study.lessons.kinds import KINDS
from double_study.lessons.teachable import passing
from double_study.rules.answer import SPADE_RAISE
from double_study.rules.auction import responder
from double_study.rules.batch import Batch
from double_study.rules.response import ABOVE_CEILING
from double_study.rules.terms import SEQUENCES

_NONE = -1


@dataclass(frozen=True)
class Found:
    """Deals that a lesson may use, in the order they were dealt; every array has shape (n,).

    ``deal`` counts from the first deal of block 0; ``seat`` is the opener's, ``sequence`` a
    code of SEQUENCE; ``message`` (of the column), ``reason`` and ``answer`` are -1 if there
    is none; ``points`` are the responder's total points; ``kinds`` has bit *k* set for kind *k* of
    KINDS; ``reopening`` tells the opener in the pass-out seat, ``settled`` a double after which the
    pair's last calls are not written out. ``left`` counts overcalled deals, one row per part of the
    search: those within the agreement's reach, and those left after each of CLAUSES.
    """

    deal: NDArray[np.int64]
    seat: NDArray[np.int8]
    sequence: NDArray[np.int8]
    message: NDArray[np.int8]
    reason: NDArray[np.int8]
    answer: NDArray[np.int8]
    points: NDArray[np.int16]
    kinds: NDArray[np.int32]
    reopening: BoolArray
    settled: BoolArray
    left: NDArray[np.int64]

    @property
    def in_a_hundred(self) -> float:
        """Return the percentage of overcalled deals that pass the filter."""
        reach, *_, passed = self.left.sum(axis=0).tolist()
        return 100 * passed / reach if reach else 0.0

    def askable(self, asked: str) -> BoolArray:
        """Return the deals about which some player can be asked, whatever the case."""
        if asked == REOPENING:
            return self.reopening
        return (self.message != _NONE) & ((self.message != FIVE_SPADES_CODE) | (asked == OPENER))

    def of_case(self, case: Case, agreement: Agreement, asked: str) -> BoolArray:
        """Return the deals of a case; only doubles if the case has no message and is no reopening."""
        here = self.in_auction(case, agreement) & self.askable(asked)
        if asked == REOPENING:
            return here
        if not case.message:
            here &= self.message != FIVE_SPADES_CODE
        for key in ("message", "reason", "answer"):
            if value := getattr(case, key):
                here &= getattr(self, key) == KEYS[key].code(value)
        return here

    def in_auction(self, case: Case, agreement: Agreement) -> BoolArray:
        """Return deals with an opening and an overcall of the case, whatever responder called."""
        return case.sequences(agreement)[self.sequence]

    def of_kind(self, name: str) -> BoolArray:
        return (self.kinds >> [*KINDS].index(name) & 1).astype(np.bool_)

    def cases(self, asked: str) -> list[Case]:
        """Return the cases that came up, by message, level and reason, the most frequent first.

        For the opener in the pass-out seat, by level alone.
        """
        levels = np.array([bid.level for _, bid in SEQUENCES])[self.sequence]
        rows = np.stack([self.message, levels, self.reason])[:, self.askable(asked)]
        found, deals = np.unique(rows, axis=1, return_counts=True)
        # Position -1, where there is none, is the last.
        messages, reasons = ([*KEYS[key].names, ""] for key in ("message", "reason"))
        ranked = found[:, np.argsort(-deals, kind="stable")].T
        return [Case(messages[m], str(level), reasons[reason]) for m, level, reason in ranked]


def search(seed: int, deals: int, agreement: Agreement, progress: bool = True) -> Found:
    """Return everything that a lesson may use among the first ``deals`` deals of a seed."""
    # One process, because the search takes only seconds and its parts must come in order.
    work = partial(_found_in, seed, agreement=agreement)
    parts = list(over_blocks(work, deals, workers=1, progress=progress))
    return Found(
        *(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Found))
    )


def _found_in(seed: int, blocks: Blocks, agreement: Agreement) -> Found:
    deals = Batch(cards_of(seed, blocks), agreement)
    b, doubled, one_spade = map(deals.at, ("overcalled", "doubled", "one_spade"))
    message, reason, answer = (np.full(len(b), _NONE, dtype=np.int8) for _ in range(3))
    message[doubled.rows] = responder(doubled).message
    reason[doubled.rows], answer[doubled.rows] = doubled["reason"], doubled["answer"]
    settled = np.zeros(len(b), dtype=np.bool_)
    settled[doubled.rows] = doubled["settled"] > 0
    # Where 1♠ over 1♥ showed five and opener raises.
    raised = np.array(SPADE_RAISE.names)[one_spade["spade_answer"]]
    for name in set(SPADE_RAISE.names) & set(COLUMNS["answer"].names):
        here = one_spade.rows[raised == name]
        message[here], answer[here] = FIVE_SPADES_CODE, COLUMNS["answer"].code(name)
    reopening = np.isin(b["deal"], deals.at("passed_round")["deal"])
    left = [met for _, met in passing(b)]
    useful = (message != _NONE) | (deals["kinds"][b["deal"]] > 0) | reopening
    chosen = np.flatnonzero(useful & left[-1])
    shown = b.where(chosen)
    found = Found(
        blocks[0][0] * BLOCK_DEALS + shown["deal"],
        shown["seat"],
        shown["auction"],
        message[chosen],
        reason[chosen],
        answer[chosen],
        responder(shown).total_points,
        deals["kinds"][shown["deal"]],
        reopening[chosen],
        settled[chosen],
        np.array([[np.count_nonzero(b["call"] != ABOVE_CEILING), *(met.sum() for met in left)]]),
    )
    deals.release()
    return found


class Draw:
    """Draw from the finds of a search in a random order, each deal at most once.

    ``stream`` distinguishes draws of one seed.
    """

    def __init__(self, found: Found, seed: int, stream: int) -> None:
        self.found, self.seed = found, seed
        # Two numbers, because a block's spawn key is one.
        self._stream = BIT_GENERATOR(np.random.SeedSequence(seed, spawn_key=(1, stream)))
        self._order = np.array(self.mixed(len(found.deal)), dtype=np.intp)
        self._left = np.ones(len(found.deal), dtype=np.bool_)

    def mixed(self, number: int) -> list[int]:
        """Return the positions of ``number`` things in a random order."""
        return np.argsort(self._stream.random_raw(number), kind="stable").tolist()

    def take(self, deals: BoolArray, number: int = 1) -> list[int]:
        """Return positions among the finds of the next ``number`` of ``deals``, or of all that are left."""
        order = self._order[(deals & self._left)[self._order]]
        self._left[order[:number]] = False
        return order[:number].tolist()

    def in_turn(self, kinds: Sequence[BoolArray], number: int) -> list[tuple[int, int]]:
        """Return up to ``number`` positions, kind after kind in turn, each with the number of its kind."""
        picked: list[tuple[int, int]] = []
        missed = 0
        for kind in cycle(range(len(kinds))):
            if len(picked) == number or missed == len(kinds):
                break
            found = [(at, kind) for at in self.take(kinds[kind])]
            missed = 0 if found else missed + 1
            picked += found
        return picked
