"""Sentences of the explorer."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import Bid
from double_study.counting.responder_hands import Holding
from double_study.counting.sessions import per_session
from double_study.rules.response import DOUBLE_CALL
from double_study.rules.terms import SEQUENCES
from double_study.telling.sentences import in_words


def sequence_symbols(sequence: int) -> str:
    """An opening and overcall as readers see them: 1♦ (1♠)."""
    opening, overcall = SEQUENCES[sequence]
    return f"{Bid(1, opening).symbol} ({overcall.symbol})"


def double_sentence(table: pd.DataFrame, sequence: int, holding: Holding, deals: int) -> str:
    """What the table of :func:`~double_study.counting.responder_hands.calls` says of the double.

    ``deals`` are those that its hands come from.
    """
    row = table.iloc[DOUBLE_CALL]
    hands = int(table["deals"].sum())
    if not hands:
        return f"After {sequence_symbols(sequence)} no hand{holding} was dealt to the responder."
    ours = per_session(row["estimate"])
    return (
        f"After {sequence_symbols(sequence)} the responder doubles on {row['estimate']:.3%} of deals, for "
        f"one partnership {in_words.in_evenings(float(ours))}. That is {row['share']:.1%} "
        f"({100 * row['share_low']:.1f} to {100 * row['share_high']:.1f}) of the {hands:,} "
        f"responder's hands{holding}. The share of all deals lies between {row['low']:.3%} and "
        f"{row['high']:.3%}, as {deals:,} deals tell it; page 01 has the same share "
        "from the deals of the whole run."
    )
