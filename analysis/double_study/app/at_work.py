"""What can happen at all after one opening and overcall: which calls, and by which settings.

Every class of hands is asked, once without a good suit or a stopper anywhere and once with both
everywhere, so nothing depends on what happened to be dealt.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.asking.question import EVERY_HAND
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.rules.response import decide_call
from double_study.rules.terms import SEQUENCES, Overcalled


def _every_hand(agreement: Agreement, sequence: int) -> Overcalled:
    opening, overcall = SEQUENCES[sequence]
    return Overcalled(Hands(EVERY_HAND), agreement, opening, overcall.denomination, overcall.level)


def possible_calls(agreement: Agreement, sequence: int) -> NDArray[np.bool_]:
    """Which calls some hand makes after an opening and overcall; bool, one for each of the calls."""
    made = np.bincount(
        decide_call(_every_hand(agreement, sequence)), minlength=COLUMNS["call"].size
    )
    return made.astype(np.bool_)


def settings_at_work(
    agreement: Agreement, sequence: int, others: Mapping[str, Iterable[Any]]
) -> set[str]:
    """Which settings move some hand's call after an opening and overcall, the rest standing.

    ``others`` has for each setting's key the values to try; for a threshold its two ends do.
    """
    situation = _every_hand(agreement, sequence)
    standing = decide_call(situation)

    def moves(key: str, value: Any) -> bool:
        try:
            changed = agreement.changed(key, value)
        except InputError:  # a value that contradicts another setting
            return False
        return not np.array_equal(decide_call(replace(situation, agreement=changed)), standing)

    return {key for key, values in others.items() if any(moves(key, value) for value in values)}
