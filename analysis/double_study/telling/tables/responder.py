"""What the double looks like: the responder's points, lengths and shapes."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.cards.bids import SUITS
from double_study.cards.hands import SHAPE
from double_study.columns import COLUMNS, typed
from double_study.counting.counts import (
    COMBINED_HCP,
    DOUBLE_HCP,
    DOUBLE_POINTS,
    DOUBLE_SHAPES,
)
from double_study.counting.run import Run
from double_study.rules.terms import SEQUENCE, every_sequence
from double_study.telling.tables.shares import averages, shares, with_facts

_VALUE = "value"


def points(run: Run) -> pd.DataFrame:
    """The responder's total points by message and level, as shares of their doubles."""
    cells = with_facts(run.tally.frame(DOUBLE_POINTS), run.agreement, "message", "level")
    return shares(cells, ["message", "level", "total_points"], within=["message", "level"])


def values(run: Run) -> pd.DataFrame:
    """Mean and quantiles of the doubler's points by level of the overcall.

    One row for each measure (the responder's total points and HCP, both hands' HCP) and level;
    ``asked`` is the fewest total points with which the agreement doubles at the level.
    """
    return _values(run, "level")


def values_by_message(run: Run) -> pd.DataFrame:
    """The same by what the double promises; ``asked`` is the fewest at any level."""
    return _values(run, "message")


def _values(run: Run, key: str) -> pd.DataFrame:
    parts = []
    counts = (DOUBLE_POINTS, "total_points"), (DOUBLE_HCP, "hcp"), (COMBINED_HCP, "combined_hcp")
    for count, column in counts:
        cells = with_facts(run.tally.frame(count), run.agreement, key, "asked")
        part = averages(cells.rename(columns={column: _VALUE}), [key], _VALUE)
        asked = cells.groupby(key, observed=True)["asked"].min()
        part.insert(1, "asked", asked.loc[part[key]].to_numpy())
        part.insert(0, "measure", str(column))
        parts.append(part)
    return typed(pd.concat(parts, ignore_index=True), "measure")


def patterns(run: Run) -> pd.DataFrame:
    """The shapes of the doubles, suits aside, by message, as shares of the message's doubles."""
    cells = _shapes(run)
    lengths = -np.sort(-cells[list(SHAPE.columns)].to_numpy(), axis=1)
    cells["pattern"] = ["-".join(map(str, row)) for row in lengths.tolist()]
    return shares(cells, ["message", "pattern"], within=["message"])


def lengths(run: Run) -> pd.DataFrame:
    """The responder's cards in each suit by the suit's part in the auction, message and level.

    ``role`` is ``promised`` (the longest promised suit), ``promised_shorter`` (the other one where
    the double promises two), ``opened``, ``overcalled`` or ``other``; shares are of the doubles
    with that message and level.
    """
    cells = _shapes(run)
    held = cells[list(SHAPE.columns)].to_numpy()
    parts = [
        cells.assign(role=role, cards=cards)[known]
        for role, (cards, known) in zip(
            COLUMNS["role"].names, _by_role(run, cells, held), strict=True
        )
    ]
    keys = ["message", "level", "role"]
    return shares(typed(pd.concat(parts), "role"), [*keys, "cards"], within=keys)


def _shapes(run: Run) -> pd.DataFrame:
    return with_facts(run.tally.frame(DOUBLE_SHAPES), run.agreement, "level", "message")


def _by_role(
    run: Run, cells: pd.DataFrame, held: NDArray[np.int64]
) -> list[tuple[NDArray[np.int64], NDArray[np.bool_]]]:
    """For each of ROLE the cards held in that suit, and where there is such a suit."""
    situation = every_sequence(run.agreement)
    sequence = SEQUENCE.codes(cells)
    opening, overcall, _ = (part[sequence] for part in situation.auction)
    promised = situation.promised.T[sequence]
    suit = np.array(SUITS)
    other = ~promised & (suit != opening[:, None]) & (suit != overcall[:, None])
    rows = np.arange(len(cells))
    everywhere = np.ones(len(cells), dtype=np.bool_)
    return [
        (np.where(promised, held, -1).max(axis=1), everywhere),
        (np.where(promised, held, 99).min(axis=1), promised.sum(axis=1) > 1),
        (held[rows, opening], everywhere),
        (held[rows, overcall], everywhere),
        (np.where(other, held, 0).sum(axis=1), other.any(axis=1)),
    ]
