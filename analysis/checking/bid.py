"""Twins of the bidding: openings in every seat; for an opening in first seat all that follows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pandas as pd

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import messages_by_pair
from analysis.bidding.response import CALLS
from analysis.cards.bids import MAJORS, PASS, SUIT_NAMES, Bid
from analysis.checking.family import Family, Grouping
from analysis.counting.auction_counts import (
    ACTION,
    CALL,
    CALL_COUNTS,
    EVERY_OPENING,
    FIRST_SEAT_FITS,
    NEXT_HANDS,
    OPENER_CARDS,
    OPENER_MAJORS,
    OPENING,
    OPENINGS_BY_SEAT,
    REASON_COLUMN,
    pairs,
)
from analysis.counting.dealt_counts import SEATS
from analysis.counting.tally import DEALS, Tally
from analysis.exact.one_hand import N_HANDS
from analysis.exact.opener_majors import opener_majors
from analysis.exact.opening import BIDS, opening_ways
from analysis.exact.table import ANY, PROBABILITY, doubles_table, exact_table, next_hands_table

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
    doubles = doubles_table(agreement)
    if doubles is not None:
        yield from _doubled(tally, agreement, doubles)


def _doubled(tally: Tally, agreement: Agreement, exact: pd.DataFrame) -> Iterator[Family]:
    """Opener's cards in the promised suit (the longer of two) given the double; reasons; messages."""
    keys = [*pairs.columns, REASON_COLUMN, OPENER_CARDS]
    counted = tally.frame(FIRST_SEAT_FITS)
    table = counted.merge(exact, on=keys, how="outer").fillna({DEALS: 0, PROBABILITY: 0.0})
    messages = dict(zip(pairs.labels, messages_by_pair(agreement), strict=True))
    auctions = list(zip(*(table[column] for column in pairs.columns), strict=True))
    cases = [
        f"{_auction(*auction)}, {_words(reason)}"
        for auction, reason in zip(auctions, table[REASON_COLUMN], strict=True)
    ]
    cards = zip(cases, table[OPENER_CARDS], strict=True)
    given = Family(
        "opener's cards given the double",
        [f"{case}: opener {number}" for case, number in cards],
        table[DEALS].to_numpy(dtype=np.int64),
        table[PROBABILITY].to_numpy(),
        tally.deals,
        conditional=True,
    )
    yield given
    reasons = Grouping.of(case.replace(", ", ": ") for case in cases)
    yield given.grouped("reasons for the double", reasons, conditional=True)
    promised = Grouping.of(_words(messages[auction]) for auction in auctions)
    yield given.grouped("messages of the double", promised)


def _opener_label(row: Any) -> str:
    auction = _auction(row.opening, row.overcall)
    return f"{auction}, responder {row.responder_cards}: opener {row.opener_holds}"


def _auction(opening: object, overcall: object) -> str:
    return f"{_symbol(opening)} ({_symbol(overcall)})"


def _symbol(bid: object) -> str:
    return Bid.parse(str(bid)).symbol


def _words(action: str) -> str:
    return action.replace("_", " ")
