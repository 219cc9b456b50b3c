"""The explorer's figure and its sentence."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from double_study.cards.bids import DOUBLE, Bid
from double_study.columns import COLUMNS
from double_study.counting.responder_hands import Holding
from double_study.counting.sessions import per_session
from double_study.plots import COLOURS, HATCHES, MARKERS, figure, reach
from double_study.rules.response import DOUBLE_CALL
from double_study.rules.terms import SEQUENCES
from double_study.words import in_sessions


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
        f"one partnership {in_sessions(float(ours))}. That is {row['share']:.1%} "
        f"({100 * row['share_low']:.1f} to {100 * row['share_high']:.1f}) of the {hands:,} "
        f"responder's hands{holding}. The share of all deals lies between {row['low']:.3%} and "
        f"{row['high']:.3%}, as {deals:,} deals tell it; page 01 has the same share "
        "from the deals of the whole run."
    )


def call_shares(table: pd.DataFrame, standing: pd.DataFrame) -> Figure:
    """Shares of the responder's calls: bars as now set, diamonds as the agreement stands.

    ``table`` and ``standing`` are tables of :func:`double_study.counting.responder_hands.calls`.
    """
    drawn, axis = figure(3.6)
    # Fixed margins: finding them takes as long as drawing, and the explorer redraws at every move.
    drawn.set_layout_engine(None)
    drawn.subplots_adjust(left=0.36, right=0.97, top=0.88, bottom=0.14)
    places = np.arange(len(table))
    shares = 100 * table["share"].fillna(0)
    look = [3 if call == DOUBLE else 4 for call in table["call"]]
    axis.barh(
        places,
        shares,
        color=[COLOURS[position] for position in look],
        hatch=[HATCHES[position] for position in look],
        edgecolor="white",
        label="as now set",
    )
    axis.errorbar(
        shares,
        places,
        xerr=reach(table, COLUMNS["share"]),
        fmt="none",
        ecolor="black",
        capsize=2,
        zorder=3,
    )
    axis.plot(
        100 * standing["share"],
        places,
        marker=MARKERS[3],
        color="black",
        markerfacecolor="white",
        linestyle="",
        clip_on=False,
        label="as the agreement stands",
    )
    axis.set_yticks(places, [COLUMNS["call"].wording(call) for call in table["call"]])
    axis.invert_yaxis()
    axis.set_xlabel(f"% of the responder's {table['deals'].sum():,} hands")
    axis.legend(loc="lower right", bbox_to_anchor=(1, 1), ncols=2, frameon=False)
    return drawn


def call_shares_alt(table: pd.DataFrame, standing: pd.DataFrame) -> str:
    """The figure in words."""
    # No row is of a call that no hand makes.
    double, before = (
        float(part.loc[part["call"] == DOUBLE, "share"].sum()) for part in (table, standing)
    )
    return (
        f"Bars of the responder's calls. The double takes {double:.1%} of the hands as now set, "
        f"{before:.1%} as the agreement stands."
    )
