"""What the double looks like: the responder's points, lengths and shapes."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.cards.bids import SUITS
from double_study.cards.hands import HCP, LENGTHS
from double_study.columns import Column, Dimension, Numbers, typed
from double_study.counting.counts import (
    BOTH_HCP,
    COMBINED_HCP,
    DOUBLE_HCP,
    DOUBLE_POINTS,
    DOUBLE_SHAPES,
    POINTS,
)
from double_study.counting.run import Run
from double_study.rules.terms import LEVEL, MESSAGE, SEQUENCE, every_sequence
from double_study.telling.tables.shares import ASKED, averages, shares, with_facts

MEASURE = Dimension(
    "measure",
    "measure",
    "What is averaged: points of the responder, or of both hands.",
    {POINTS: "responder's total points", HCP: "responder's HCP", BOTH_HCP: "both hands' HCP"},
)
ROLE = Dimension(
    "role",
    "suit",
    "Which suit: opened, overcalled, promised (the longest), its shorter, or the other.",
    {
        "promised": "the promised suit (the longest)",
        "promised_shorter": "the shorter promised suit",
        "opened": "the suit opened",
        "overcalled": "the suit overcalled",
        "other": "the other unbid suit",
    },
)
CARDS = Numbers("cards", "cards", "The responder's cards in it.", range(14), "cards")
PATTERN = Column("pattern", "shape", "The four lengths from longest to shortest, such as 4-4-3-2.")

_VALUE = "value"


def points(run: Run) -> pd.DataFrame:
    """The responder's total points by message and level, as shares of their doubles."""
    cells = with_facts(run.tally.frame(DOUBLE_POINTS), run.agreement, MESSAGE, LEVEL)
    return shares(cells, [MESSAGE, LEVEL, POINTS], within=[MESSAGE, LEVEL])


def values(run: Run) -> pd.DataFrame:
    """Mean and quantiles of the doubler's points by level of the overcall.

    One row for each measure (the responder's total points and HCP, both hands' HCP) and level;
    ``asked`` is the fewest total points with which the agreement doubles at the level.
    """
    return _values(run, LEVEL)


def values_by_message(run: Run) -> pd.DataFrame:
    """The same by what the double promises; ``asked`` is the fewest at any level."""
    return _values(run, MESSAGE)


def _values(run: Run, key: str) -> pd.DataFrame:
    parts = []
    counts = (DOUBLE_POINTS, POINTS), (DOUBLE_HCP, HCP), (COMBINED_HCP, BOTH_HCP)
    for count, column in counts:
        cells = with_facts(run.tally.frame(count), run.agreement, key, ASKED)
        part = averages(cells.rename(columns={column: _VALUE}), [key], _VALUE)
        asked = cells.groupby(key, observed=True)[ASKED].min()
        part.insert(1, ASKED, asked.loc[part[key]].to_numpy())
        part.insert(0, MEASURE, str(column))
        parts.append(part)
    return typed(pd.concat(parts, ignore_index=True), MEASURE)


def patterns(run: Run) -> pd.DataFrame:
    """The shapes of the doubles, suits aside, by message, as shares of the message's doubles."""
    cells = _shapes(run)
    lengths = -np.sort(-cells[list(LENGTHS)].to_numpy(), axis=1)
    cells[PATTERN] = ["-".join(map(str, row)) for row in lengths.tolist()]
    return shares(cells, [MESSAGE, PATTERN], within=[MESSAGE])


def lengths(run: Run) -> pd.DataFrame:
    """The responder's cards in each suit by the suit's part in the auction, message and level.

    ``role`` is ``promised`` (the longest promised suit), ``promised_shorter`` (the other one where
    the double promises two), ``opened``, ``overcalled`` or ``other``; shares are of the doubles
    with that message and level.
    """
    cells = _shapes(run)
    held = cells[list(LENGTHS)].to_numpy()
    parts = [
        cells.assign(**{ROLE: role, CARDS: cards})[known]
        for role, (cards, known) in zip(ROLE.names, _by_role(run, cells, held), strict=True)
    ]
    keys = [MESSAGE, LEVEL, ROLE]
    return shares(typed(pd.concat(parts), ROLE), [*keys, CARDS], within=keys)


def _shapes(run: Run) -> pd.DataFrame:
    return with_facts(run.tally.frame(DOUBLE_SHAPES), run.agreement, LEVEL, MESSAGE)


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
