"""Compare two agreements on the same deals: the calls, and the outcome of each deal.

Because every deal is bid under both agreements, most of the sampling error cancels, so the difference
is known far more precisely than the two frequencies.

A fit that nobody mentions
--------------------------
The responder's side holds eight or more cards of a major that neither side has bid, and the
responder's call neither bids that major nor, being a double, promises it. Later bids of the opener
are ignored. Above either agreement's ceiling the call is not known, so deals with such an overcall are
left out on both sides.

The price of the double
-----------------------
Because the double shows suits, a hand that would double for penalties passes. It still gets its penalty
if the advancer passes, the opener reopens with a double and the responder passes. Otherwise the penalty
is lost, and the share of lost penalties is the price of the double. An agreement without the double
pays no price, because such a hand can double at once.

Settings moved by one
---------------------
Each numeric setting is moved by one, one at a time on the same deals, to find which settings matter.
The measure depends on the setting. Settings of a good suit, the opening, the overcall and the response
decide whether there is a double, so their measure is the deals that are doubled. Settings of later
calls cannot change how often the double comes up, so their measure is the doubles that reach game.
Settings of the opener's reopening follow a pass, so their measure is the penalties that the opener's
reopening double collects.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial, reduce
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import MAJORS, NO_BID
from double_study.cards.hands import BoolArray
from double_study.columns import COLUMNS
from double_study.counting.run import batches, over_blocks
from double_study.counting.tally import Blocks, Counts
from double_study.errors import InputError
from double_study.rules.auction import rebid, responder
from double_study.rules.batch import Batch
from double_study.rules.reopening import DOUBLE_AGAIN
from double_study.rules.response import ABOVE_CEILING, DOUBLE_CALL, PENALTY_PASS_CALL
from double_study.rules.settle import FIT_TRUMPS, GAME, THREE_NOTRUMP

_PENALTY_PASS = COLUMNS["call"].names[PENALTY_PASS_CALL]
NO_RESPONDER = ("passed_out", "other_opening", "no_suit_overcall")
"""Outcomes of a deal without a responder to an overcall; the first codes of the column ``outcome``."""

PASSED_OUT, OTHER_OPENING, NO_SUIT_OVERCALL = range(len(NO_RESPONDER))
DOUBLE_OUTCOME = COLUMNS["outcome"].code(COLUMNS["call"].names[DOUBLE_CALL])
NOT_KNOWN = COLUMNS["outcome"].code(COLUMNS["call"].names[ABOVE_CEILING])
PENALTY_HAD = COLUMNS["outcome"].code(_PENALTY_PASS)
PENALTY_LOST = COLUMNS["outcome"].code("penalty_lost")

OUTCOMES_SHAPE = (COLUMNS["outcome"].size, 2, COLUMNS["outcome"].size, 2, 2)


class Paired(NamedTuple):
    """A yes-or-no property of the same deals under two agreements: its two-by-two table.

    The cells are in the order of :func:`double_study.stats.paired_difference`.
    """

    both: int
    first_only: int
    second_only: int
    neither: int

    @property
    def deals(self) -> int:
        return sum(self)

    @property
    def first(self) -> int:
        """Deals that have the property under the first agreement."""
        return self.both + self.first_only

    @property
    def second(self) -> int:
        """Deals that have the property under the second agreement."""
        return self.both + self.second_only


@dataclass(frozen=True, eq=False)
class Comparison:
    """Counts of deals by their outcomes under two agreements.

    ``counts`` is int64 of shape :data:`OUTCOMES_SHAPE`: outcome (a code of that column) and whether a
    fit went without mention under the first, the same under the second, and whether the hand that
    responded was the same under both.
    """

    first: Agreement
    second: Agreement
    counts: Counts

    @property
    def deals(self) -> int:
        return int(self.counts.sum())

    @property
    def doubles(self) -> Paired:
        return self._came_to(DOUBLE_OUTCOME)

    @property
    def responders(self) -> Paired:
        """Whether a deal reached a responder after an overcall in a suit."""
        return self._came_to(*range(len(NO_RESPONDER), COLUMNS["outcome"].size))

    @property
    def penalties_wanted(self) -> Paired:
        """Whether the responder held a hand that would double for penalties but must pass."""
        return self._came_to(PENALTY_HAD, PENALTY_LOST, given_up=True)

    @property
    def penalties_lost(self) -> Paired:
        """Whether such a hand had to pass and lost the penalty (see the head of this module)."""
        return self._came_to(PENALTY_LOST, given_up=True)

    def _came_to(self, *outcomes: int, given_up: bool = False) -> Paired:
        """Return which deals came to ``outcomes``; if ``given_up``, only where the double is played."""
        at = np.isin(np.arange(COLUMNS["outcome"].size), outcomes)
        holds = [at & (a.response.double or not given_up) for a in (self.first, self.second)]
        return _paired(self.counts.sum(axis=(1, 3, 4)), *holds)

    @property
    def unmentioned_fits(self) -> Paired:
        """Whether a fit went without mention, on the deals for which both agreements have a call."""
        known = np.delete(np.delete(self.counts, NOT_KNOWN, axis=0), NOT_KNOWN, axis=2)
        mentioned = np.array([False, True])
        return _paired(known.sum(axis=(0, 2, 4)), mentioned, mentioned)

    def reversed(self) -> Comparison:
        return Comparison(self.second, self.first, self.counts.transpose(2, 3, 0, 1, 4))


def _paired(table: Counts, first: BoolArray, second: BoolArray) -> Paired:
    """Reduce a square table of counts to whether a property holds under each agreement."""
    yes_no = [np.stack([holds, ~holds]).astype(np.int64) for holds in (first, second)]
    return Paired(*(yes_no[0] @ table @ yes_no[1].T).ravel().tolist())


def check_several(agreements: Sequence[Agreement]) -> None:
    """Raise :class:`InputError` for fewer than two agreements, or two with the same name."""
    names = [agreement.name for agreement in agreements]
    if len(names) < 2 or len({*names}) < len(names):
        raise InputError(
            f"agreements {', '.join(names) or 'none'} cannot be compared; allowed: two or more with "
            "different names"
        )


def compare(
    agreements: Sequence[Agreement],
    deals: int,
    seed: int,
    workers: int | None = None,
    progress: bool = True,
) -> list[Comparison]:
    """Compare the first agreement with each of the others, all on the same deals.

    The last four parameters are those of :func:`double_study.counting.run.count`. Raises as
    :func:`check_several` does.
    """
    check_several(agreements)
    work = partial(count_outcomes, seed, tuple(agreements))
    counts = reduce(np.add, over_blocks(work, deals, workers, progress=progress))
    return [Comparison(agreements[0], *pair) for pair in zip(agreements[1:], counts, strict=True)]


def count_outcomes(seed: int, agreements: Sequence[Agreement], blocks: Blocks) -> Counts:
    """Count the deals of some blocks by their outcomes under the first agreement and each other one.

    Returns int64 of shape (agreements - 1, *:data:`OUTCOMES_SHAPE`).
    """
    counts = np.zeros((len(agreements) - 1, *OUTCOMES_SHAPE), dtype=np.int64)
    for base, _ in batches(seed, blocks, agreements[0]):
        first = _came_to(base)
        for of_other, agreement in zip(counts, agreements[1:], strict=True):
            other = rebid(base, agreement)
            second = _came_to(other)
            other.release()
            same = (first[2] == second[2]) & (first[2] > 0)
            cell = np.ravel_multi_index((*first[:2], *second[:2], same), OUTCOMES_SHAPE)
            of_other += np.bincount(cell, minlength=of_other.size).reshape(OUTCOMES_SHAPE)
    return counts


def _came_to(deals: Batch) -> tuple[NDArray[np.intp], BoolArray, NDArray[np.int8]]:
    """Return each deal's outcome, whether a fit went without mention, and opener's seat.

    The seat is 0 if nobody responded to an overcall.
    """
    outcome = np.where(deals["any_seat"] > 0, OTHER_OPENING, PASSED_OUT)
    unmentioned, seat = np.zeros(len(deals), dtype=np.bool_), np.zeros(len(deals), dtype=np.int8)
    outcome[deals.at("opened")["deal"]] = NO_SUIT_OVERCALL
    b = deals.at("overcalled")
    outcome[b["deal"]] = len(NO_RESPONDER) + b["call"]
    unmentioned[b["deal"]] = unmentioned_fit(b)
    seat[b["deal"]] = b["seat"]
    b = deals.at("passed")
    lost = (b["call"] == PENALTY_PASS_CALL) & (b["reopening"] != DOUBLE_AGAIN)
    outcome[b["deal"][lost]] = PENALTY_LOST
    return outcome, unmentioned, seat


def unmentioned_fit(b: Batch) -> BoolArray:
    """Return in which overcalled deals nobody mentions a fit (see the head of this module)."""
    situation, bid, opener = responder(b), b["bid"], b.hands("opener")
    promised = np.where(b["call"] == DOUBLE_CALL, situation.promised_set, 0)
    unmentioned = np.zeros(len(b), dtype=np.bool_)
    for suit in MAJORS:
        together = situation.hands.lengths[suit] + opener.lengths[suit]
        mentioned = ((bid != NO_BID) & (bid % 5 == suit)) | (promised >> suit & 1).astype(bool)
        unmentioned |= situation.is_unbid(suit) & (together >= FIT_TRUMPS) & ~mentioned
    return unmentioned


DOUBLE_MEASURE, GAME_MEASURE = "doubles", "doubles that end in game"
PENALTY_MEASURE = "penalties had by a reopening double"
_AFTER_A_DOUBLE = "answer continuation advancer contested_answer contested_end".split()
_MEASURE_OF = dict.fromkeys(_AFTER_A_DOUBLE, GAME_MEASURE) | {"reopening": PENALTY_MEASURE}
"""The measure of a section's settings; the settings of other sections are measured by doubles."""
_MEANING_END = {"": "", ".low": ", lowest", ".high": ", highest"}


@dataclass(frozen=True)
class Step:
    """One setting moved by one.

    ``section`` is the setting's, ``setting`` its key, with ``.low`` or ``.high`` for an end of a
    range; ``meaning`` names the end too; ``by`` is 1 or -1; ``standing`` and ``moved`` are its values
    as readers see them; ``agreement`` is the one changed.
    """

    section: str
    setting: str
    meaning: str
    by: int
    standing: str
    moved: str
    agreement: Agreement

    @property
    def measure(self) -> str:
        return _MEASURE_OF.get(self.section, DOUBLE_MEASURE)


@dataclass(frozen=True)
class Moved:
    """The effect of a step on the same deals; the unchanged agreement is the first of the pair.

    ``paired`` counts deals if the measure is the doubles, doubles if it is those that end in game,
    and penalty passes if it is the penalties collected. ``first_seat`` counts deals by whether they
    are doubled after an opening in first seat, for which there are exact values.
    """

    step: Step
    paired: Paired
    first_seat: Paired


def steps(agreement: Agreement) -> list[Step]:
    """Return a step for every numeric setting one higher and one lower, as far as allowed.

    The two ends of a range move independently; the ceiling moves by one bid in a suit.
    """
    found = []
    for setting, by in product(agreement.settings(), (1, -1)):
        about = setting.field.metadata
        for near in about["kind"].moved(setting.value, by):
            with suppress(InputError):
                changed = agreement.changed(setting.key, near.value)
                key, meaning = setting.key + near.end, about["meaning"] + _MEANING_END[near.end]
                step = setting.section, key, meaning, by, near.before, near.after, changed
                found.append(Step(*step))
    return found


def sweep(
    agreement: Agreement, deals: int, seed: int, workers: int | None = None, progress: bool = True
) -> list[Moved]:
    """Count the effect of each of :func:`steps`.

    The last four parameters are those of :func:`double_study.counting.run.count`.
    """
    taken = steps(agreement)
    work = partial(count_steps, seed, agreement, taken)
    counts = reduce(np.add, over_blocks(work, deals, workers, progress=progress))
    return [
        Moved(step, Paired(*measured), Paired(*first_seat))
        for step, (measured, first_seat) in zip(taken, counts.tolist(), strict=True)
    ]


def count_steps(seed: int, agreement: Agreement, taken: Sequence[Step], blocks: Blocks) -> Counts:
    """Count the four cells of each step, for its measure and for doubles from first seat.

    Returns int64 of shape (steps, 2, 4).
    """
    counts = np.zeros((len(taken), 2, 4), dtype=np.int64)
    for base, _ in batches(seed, blocks, agreement):
        standing = {measure: measured(base) for measure, measured in MEASURED.items()}
        from_first = standing[DOUBLE_MEASURE] & (base["any_seat"] == 1)
        for row, step in zip(counts, taken, strict=True):
            other = rebid(base, step.agreement)
            row[0] += _cells(standing[step.measure], MEASURED[step.measure](other))
            row[1] += _cells(from_first, doubled_deals(other) & (other["any_seat"] == 1))
            other.release()
    return counts


def doubled_deals(deals: Batch) -> BoolArray:
    doubled = np.zeros(len(deals), dtype=np.bool_)
    doubled[deals.at("doubled")["deal"]] = True
    return doubled


def _penalty_had(deals: Batch) -> BoolArray:
    """Return which penalty passes get their penalty, because the opener reopens with a double."""
    b = deals.at("passed")
    return np.asarray(b["reopening"][b["call"] == PENALTY_PASS_CALL] == DOUBLE_AGAIN)


MEASURED: dict[str, Callable[[Batch], BoolArray]] = {
    DOUBLE_MEASURE: doubled_deals,
    GAME_MEASURE: lambda deals: np.isin(
        deals.at("doubled")["final_contract"], (GAME, THREE_NOTRUMP)
    ),
    PENALTY_MEASURE: _penalty_had,
}
"""Which of all deals, of the doubles and of the penalty passes each measure counts."""


def _cells(first: BoolArray, second: BoolArray) -> NDArray[np.int64]:
    both, one, two = (np.count_nonzero(of) for of in (first & second, first, second))
    return np.array([both, one - both, two - both, len(first) - one - two + both])
