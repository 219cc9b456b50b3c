"""What the double looks like: the responder's points, lengths and shapes."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.bidding.after_overcall import all_pairs
from analysis.cards.bids import SUIT_NAMES, SUITS
from analysis.counting.auction_counts import (
    COMBINED_HCP,
    DOUBLE_HCP,
    DOUBLE_POINTS,
    DOUBLE_SHAPES,
    pairs,
)
from analysis.counting.run import Run
from analysis.telling.tables.columns import (
    ASKED,
    CARDS,
    LEVEL,
    MEASURE,
    MEASURES,
    MESSAGE,
    PATTERN,
    POINTS,
    ROLE,
    ROLES,
)
from analysis.telling.tables.shares import averages, shares, with_facts

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
    for measure, (count, column) in zip(
        MEASURES,
        ((DOUBLE_POINTS, POINTS), (DOUBLE_HCP, "hcp"), (COMBINED_HCP, "combined_hcp")),
        strict=True,
    ):
        cells = with_facts(run.tally.frame(count), run.agreement, key, ASKED)
        part = averages(cells.rename(columns={column: _VALUE}), [key], _VALUE)
        part.insert(1, ASKED, part[key].map(cells.groupby(key)[ASKED].min()))
        part.insert(0, MEASURE, measure)
        parts.append(part)
    return pd.concat(parts, ignore_index=True)


def patterns(run: Run) -> pd.DataFrame:
    """The shapes of the doubles, suits aside, by message, as shares of the message's doubles."""
    cells = _shapes(run)
    lengths = -np.sort(-cells[list(SUIT_NAMES)].to_numpy(), axis=1)
    cells[PATTERN] = ["-".join(map(str, row)) for row in lengths.tolist()]
    return shares(cells, [MESSAGE, PATTERN], within=[MESSAGE])


def lengths(run: Run) -> pd.DataFrame:
    """The responder's cards in each suit by the suit's part in the auction, message and level.

    ``role`` is ``promised`` (the longest promised suit), ``promised_shorter`` (the other one where
    the double promises two), ``opened``, ``overcalled`` or ``other``; shares are of the doubles
    with that message and level.
    """
    cells = _shapes(run)
    held = cells[list(SUIT_NAMES)].to_numpy()
    parts = [
        cells.assign(**{ROLE: ROLES[code]}).assign(**{CARDS: cards})[known]
        for code, (cards, known) in enumerate(_by_role(run, cells, held))
    ]
    keys = [MESSAGE, LEVEL, ROLE]
    return shares(pd.concat(parts), [*keys, CARDS], within=keys)


def _shapes(run: Run) -> pd.DataFrame:
    return with_facts(run.tally.frame(DOUBLE_SHAPES), run.agreement, LEVEL, MESSAGE)


def _by_role(
    run: Run, cells: pd.DataFrame, held: NDArray[np.int64]
) -> list[tuple[NDArray[np.int64], NDArray[np.bool_]]]:
    """For each of ROLES the cards held in that suit, and where there is such a suit."""
    situation = all_pairs(run.agreement)
    at = pd.Series(range(len(pairs.labels)), index=pd.MultiIndex.from_tuples(pairs.labels))
    pair = at[pd.MultiIndex.from_frame(cells[list(pairs.columns)])].to_numpy()
    opening, overcall, _ = (np.broadcast_to(part, len(at))[pair] for part in situation.auction)
    promised = situation.promised.T[pair]
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
