"""Twins of the bidding: openings in every seat; for an opening in first seat all that follows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from analysis.agreements.agreement import Agreement
from analysis.bidding.response import CALLS
from analysis.cards.bids import MAJORS, PASS, SUIT_NAMES, Bid
from analysis.checking.family import Family
from analysis.counting.auction_counts import (
    ACTION,
    CALL,
    CALL_COUNTS,
    EVERY_OPENING,
    NEXT_HANDS,
    OPENER_MAJORS,
    OPENING,
    OPENINGS_BY_SEAT,
    pairs,
)
from analysis.counting.dealt_counts import SEATS
from analysis.counting.tally import Tally
from analysis.exact.one_hand import N_HANDS
from analysis.exact.opener_majors import opener_majors
from analysis.exact.opening import BIDS, opening_ways
from analysis.exact.table import ANY, PROBABILITY, exact_table, next_hands_table

_FIRST_SEAT = 0
"""Its position on an axis of seats 1 to 4."""


def bid_families(tally: Tally, agreement: Agreement) -> Iterator[Family]:
    """The families that check the bidding; see :mod:`analysis.checking.deal_by_deal` for the rest."""
    opened = tally[EVERY_OPENING.name][1]
    labels = [Bid.from_code(code).symbol for code in range(BIDS)]
    exact = opening_ways(agreement)[1:] / N_HANDS
    yield Family("openings", labels, opened[1:], exact, tally.deals)

    for seat, counts in zip(SEATS[1:], tally[OPENINGS_BY_SEAT.name][1:], strict=True):
        exact = opening_ways(agreement, seat) / N_HANDS
        yield Family(
            f"openings if nobody has opened, seat {seat}",
            [PASS, *labels],
            counts,
            exact,
            int(counts.sum()),
        )

    next_hands = tally[NEXT_HANDS.name][_FIRST_SEAT].ravel()
    table = next_hands_table(agreement)
    labels = (table[OPENING].map(_symbol) + ", " + table[ACTION].map(_words)).to_list()
    exact = table[PROBABILITY].to_numpy()
    yield Family("the next hand's calls", labels, next_hands, exact, tally.deals)

    overcalls = tally[CALL_COUNTS.name][_FIRST_SEAT].sum(axis=1)
    labels = [_auction(opening, overcall) for opening, overcall in pairs.labels]
    table = exact_table(agreement)
    exact = table.loc[table[CALL] == ANY, PROBABILITY].to_numpy()
    yield Family("overcalls", labels, overcalls, exact, tally.deals)

    # There where the calls were worked out: see exact_table.
    table = table[table[CALL] != ANY]
    if len(table):
        seen = tally[CALL_COUNTS.name][_FIRST_SEAT]
        keys = list(table[[*pairs.columns, CALL]].itertuples(index=False, name=None))
        yield Family(
            "the responder's calls",
            [f"{_auction(opening, overcall)}, {_words(call)}" for opening, overcall, call in keys],
            np.array([seen[pairs.labels.index(key[:2]), CALLS.index(key[2])] for key in keys]),
            table[PROBABILITY].to_numpy(),
            tally.deals,
        )

    table = opener_majors(agreement)
    counts = tally[OPENER_MAJORS.name]
    for position, suit in enumerate(MAJORS):
        name = SUIT_NAMES[suit]
        yield Family(
            f"opener's {name}",
            [_opener_label(row) for row in table[table["major"] == name].itertuples()],
            counts[:, position].ravel(),
            table.loc[table["major"] == name, PROBABILITY].to_numpy(),
            tally.deals,
            conditional=True,
        )


def _opener_label(row: Any) -> str:
    auction = _auction(row.opening, row.overcall)
    return f"{auction}, responder {row.responder_cards}: opener {row.opener_holds}"


def _auction(opening: object, overcall: object) -> str:
    return f"{_symbol(opening)} ({_symbol(overcall)})"


def _symbol(bid: object) -> str:
    return Bid.parse(str(bid)).symbol


def _words(action: str) -> str:
    return action.replace("_", " ")
