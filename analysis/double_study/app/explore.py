"""Show what moving a setting does to the responder's calls, with the settings in a player's words.

The responder's hands are dealt once for an agreement's openings and overcalls
(:mod:`double_study.counting.responder_hands`); after that, counting the calls takes milliseconds.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement, Stated
from double_study.agreements.settings import HIGHEST_CEILING, LOWEST_CEILING, Choice, WholeNumber
from double_study.asking.question import EVERY_HAND
from double_study.cards.bids import MAJORS, NOTRUMP, Bid
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.counting.responder_hands import Holding, calls, count_hands
from double_study.errors import InputError
from double_study.rules.response import DOUBLE_CALL, decide_call
from double_study.rules.terms import SEQUENCES, after_sequence
from double_study.tables import READING_DEALS

MOST_POINTS = 25
"""Where the sliders of points end, unless an agreement has more."""

COMPARED_DEALS = 500_000
"""Deals by which two agreements are compared; other openings or overcalls need a new deal."""

MOVE_NO_CALL = {"strong", "raise_game", "notrump_invite", "notrump_game"}
"""The responder's settings that have no control: a reason, and the levels of a raise and of notrump."""


@dataclass(frozen=True)
class Control:
    """A setting as a control shows it: ``options`` to choose from, or without them a slider."""

    key: str
    words: str
    value: str
    options: tuple[str, ...]
    low: Any
    high: Any


def controls(agreement: Agreement) -> list[Control]:
    found = []
    for setting in _moving(agreement):
        words, kind = (setting.field.metadata[about] for about in ("meaning", "kind"))
        shown, values = kind.shown(setting.value), _values(setting)
        options = () if isinstance(kind, WholeNumber) else tuple(map(kind.shown, values))
        found.append(Control(setting.key, words, shown, options, values[0], values[-1]))
    return found


def _moving(agreement: Agreement) -> list[Stated]:
    """Return the settings that can change the responder's call."""
    return [s for s in agreement.settings("response") if s.name not in MOVE_NO_CALL]


def _values(setting: Stated) -> Sequence[Any]:
    """Return the values of a setting's slider or list, in order."""
    kind = setting.field.metadata["kind"]
    if isinstance(kind, WholeNumber):
        return range(kind.low, min(kind.high, max(MOST_POINTS, setting.value)) + 1)
    return choices_of(kind)


def choices_of(kind: Any) -> list[Any]:
    """Return the values of a setting that is chosen from a list: yes and no, or bids in a suit."""
    if isinstance(kind, Choice):
        return [True, False]
    codes = range(LOWEST_CEILING.code, HIGHEST_CEILING.code + 1)
    return [Bid.from_code(code) for code in codes if code % 5 != NOTRUMP]


def double_points(sequence: int) -> str:
    """Return the key of the setting for the points that the double needs after these two bids."""
    _, overcall = SEQUENCES[sequence]
    two = "two_major" if overcall.denomination in MAJORS else "two_minor"
    return f"response.double_{('one', two, 'three', 'four')[overcall.level - 1]}"


def possible_calls(agreement: Agreement, sequence: int) -> NDArray[np.bool_]:
    """Return which calls at least one hand makes after an opening and overcall; bool, per call."""
    made = decide_call(after_sequence(sequence, EVERY_HAND, agreement))
    return np.bincount(made, minlength=COLUMNS["call"].size).astype(np.bool_)


@lru_cache(maxsize=64)
def settings_at_work(agreement: Agreement, sequence: int) -> tuple[str, ...]:
    """Return the keys of the settings that can by themselves change a call after these two bids.

    Every class of hands is tried, without any good suit or stopper and with all of them, so the
    result does not depend on the deals.
    """
    situation = after_sequence(sequence, EVERY_HAND, agreement)
    standing = decide_call(situation)

    def moves(setting: Stated, value: Any) -> bool:
        try:
            changed = agreement.changed(setting.key, value)
        except InputError:  # a value that contradicts another setting
            return False
        return not np.array_equal(decide_call(replace(situation, agreement=changed)), standing)

    return tuple(
        setting.key
        for setting in _moving(agreement)
        if any(moves(setting, _values(setting)[end]) for end in (0, -1))
    )


def explored(
    now: Agreement,
    standing: Agreement,
    sequence: int,
    holding: Holding,
    seed: int,
    deals: int = READING_DEALS,
) -> pd.DataFrame:
    """Return the responder's calls after one opening and overcall, with and without the moved settings.

    One row per call, as :func:`double_study.counting.responder_hands.calls` returns them, with the share
    ``before`` and ``made``, whether some hand makes the call.
    """
    table, before = (
        calls(count_hands(agreement, deals, seed), agreement, sequence, holding)
        for agreement in (now, standing)
    )
    made = possible_calls(now, sequence) | possible_calls(standing, sequence)
    return table.assign(before=before["share"], made=made)


def doubles(agreement: Agreement, seed: int, deals: int = COMPARED_DEALS) -> float:
    """Return the share of all deals on which the responder doubles."""
    hands, doubled = count_hands(agreement, deals, seed), 0
    for sequence, (words, counts) in enumerate(zip(hands.words, hands.counts, strict=True)):
        made = decide_call(after_sequence(sequence, Hands(words), agreement))
        doubled += int(counts[made == DOUBLE_CALL].sum())
    return doubled / deals
