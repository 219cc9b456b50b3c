"""Each numeric setting moved by one, one at a time, on the same deals: which of them matter.

What is measured depends on the setting. Those of a good suit, the opening, the overcall and the
response settle whether there is a double: they are measured by the deals that are doubled. Those of
what follows a double cannot change how often it arises: they are measured by the doubles that come
to game. Those of the opener's reopening follow a pass: they are measured by the penalties
that are had after all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from analysis.agreements.agreement import Agreement, Stated
from analysis.bidding.another_agreement import rebid
from analysis.bidding.auction import Auctions
from analysis.bidding.final_contract import GAME, THREE_NOTRUMP
from analysis.bidding.reopening import DOUBLE_AGAIN
from analysis.bidding.response import DOUBLE_CALL, PENALTY_PASS_CALL
from analysis.cards.hands import BoolArray
from analysis.comparing.agreements import Paired
from analysis.counting.blocks import Blocks
from analysis.counting.sampling import cards_of, over_blocks
from analysis.counting.tally import Counts
from analysis.errors import InputError

DOUBLE_MEASURE, GAME_MEASURE = "doubles", "doubles that end in game"
PENALTY_MEASURE = "penalties had by a reopening double"
MEASURED = {
    DOUBLE_MEASURE: "all deals",
    GAME_MEASURE: "the doubles",
    PENALTY_MEASURE: "the penalty passes",
}
"""What each measure is a share of."""
_MEASURE_OF = {
    "answer": GAME_MEASURE,
    "continuation": GAME_MEASURE,
    "advancer": GAME_MEASURE,
    "contested_answer": GAME_MEASURE,
    "contested_end": GAME_MEASURE,
    "reopening": PENALTY_MEASURE,
}
"""By section of the settings; any other's are measured by doubles."""
_MEANING_END = {"": "", ".low": ", lowest", ".high": ", highest"}


@dataclass(frozen=True)
class Step:
    """One setting moved by one.

    ``section`` is the setting's, ``setting`` its key, with ``.low`` or ``.high`` for an end of a
    range; ``meaning`` names the end too; ``by`` is 1 or -1; ``before`` and ``after`` are its values
    as readers see them; ``agreement`` is the one changed.
    """

    section: str
    setting: str
    meaning: str
    by: int
    before: str
    after: str
    agreement: Agreement

    @property
    def measure(self) -> str:
        """What the setting is measured by."""
        return _MEASURE_OF.get(self.section, DOUBLE_MEASURE)


@dataclass(frozen=True)
class Moved:
    """What a step changed, on the same deals; the standing agreement is the first of the pair.

    ``paired`` counts deals where the step is measured by doubles, doubles where by those that end
    in game, penalty passes where by penalties had. ``first_seat`` counts deals by whether they are
    doubled after an opening in first seat, for which there are exact values.
    """

    step: Step
    paired: Paired
    first_seat: Paired


def steps(agreement: Agreement) -> list[Step]:
    """Every numeric setting one higher and one lower, as far as that is allowed.

    A range has two ends that move on their own; the ceiling moves by one bid of a suit.
    """
    return [
        step
        for setting in agreement.settings()
        for by in (1, -1)
        for step in _moved(agreement, setting, by)
    ]


def _moved(agreement: Agreement, setting: Stated, by: int) -> Iterator[Step]:
    about = setting.field.metadata
    for near in about["kind"].moved(setting.value, by):
        try:
            changed = agreement.changed(setting.key, near.value)
        except InputError:
            continue
        key, meaning = setting.key + near.end, about["meaning"] + _MEANING_END[near.end]
        yield Step(setting.section, key, meaning, by, near.before, near.after, changed)


def sweep(
    agreement: Agreement,
    deals: int,
    seed: int,
    workers: int | None = None,
    executor: Executor | None = None,
    progress: bool = True,
) -> list[Moved]:
    """What each of :func:`steps` changes; the last five parameters are those of a count.

    See :func:`analysis.counting.sampling.count`.
    """
    taken = steps(agreement)
    work = partial(count_steps, seed, agreement, taken)
    counts = sum(
        over_blocks(work, deals, workers, executor, progress),
        np.zeros((len(taken), 2, 4), dtype=np.int64),
    )
    return [
        Moved(step, Paired(*measured), Paired(*first_seat))
        for step, (measured, first_seat) in zip(taken, counts.tolist(), strict=True)
    ]


def count_steps(seed: int, agreement: Agreement, taken: Sequence[Step], blocks: Blocks) -> Counts:
    """The four cells of each step's pair, and of its doubles from first seat; int64, (steps, 2, 4)."""
    counts = np.zeros((len(taken), 2, 4), dtype=np.int64)
    base = Auctions(cards_of(seed, blocks), agreement)
    standing = {measure: measured(base) for measure, measured in _HAPPENS.items()}
    from_first = standing[DOUBLE_MEASURE] & (base.openings.seat == 1)
    for row, step in zip(counts, taken, strict=True):
        other = rebid(base, step.agreement)
        row[0] = _cells(standing[step.measure], _HAPPENS[step.measure](other))
        row[1] = _cells(from_first, doubled_deals(other) & (other.openings.seat == 1))
    return counts


def doubled_deals(auctions: Auctions) -> BoolArray:
    """Which deals are doubled; bool, one a deal."""
    doubled = np.zeros(auctions.cards.shape[1], dtype=np.bool_)
    responses = auctions.responses
    doubled[responses.rows] = responses.call == DOUBLE_CALL
    return doubled


def _in_game(auctions: Auctions) -> BoolArray:
    """Which doubles end in game, in a suit or in notrump."""
    contract = auctions.doubles.final_contract
    return (contract == GAME) | (contract == THREE_NOTRUMP)


def _penalty_had(auctions: Auctions) -> BoolArray:
    """Which of the penalty passes get their penalty: the opener reopens with a double."""
    passes = auctions.passes
    penalty = auctions.responses.call[passes.rows] == PENALTY_PASS_CALL
    return passes.reopening[penalty] == DOUBLE_AGAIN


_HAPPENS: dict[str, Callable[[Auctions], BoolArray]] = {
    DOUBLE_MEASURE: doubled_deals,
    GAME_MEASURE: _in_game,
    PENALTY_MEASURE: _penalty_had,
}
"""What each measure looks at: all deals, the doubles, the penalty passes."""


def _cells(first: BoolArray, second: BoolArray) -> NDArray[np.int64]:
    both, one, two = (np.count_nonzero(of) for of in (first & second, first, second))
    return np.array([both, one - both, two - both, len(first) - one - two + both])
