"""Exact counterparts of the bidding: openings in every seat; all that follows one in first seat."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import (
    MESSAGE,
    OPENING_BID,
    SEQUENCE,
    messages_by_sequence,
    sequence_wording,
)
from analysis.bidding.double import REASON_GIVEN
from analysis.bidding.holdings import MAJOR, OPENER_CARDS, OPENER_HOLDS, RESPONDER_CARDS
from analysis.bidding.overcall import ACTION
from analysis.bidding.response import CALL
from analysis.cards.bids import MAJORS, SEAT, SUIT_NAMES
from analysis.checking.family import Family, Grouping
from analysis.counting.auction_counts import (
    CALL_COUNTS,
    EVERY_BID,
    EVERY_OPENING,
    FIRST_SEAT_FITS,
    NEXT_HANDS,
    OPENER_MAJORS,
    OPENINGS_BY_SEAT,
)
from analysis.counting.dealt_counts import EVERY_SEAT
from analysis.counting.run import Run
from analysis.counting.tally import DEALS, Tally
from analysis.exact.one_hand import N_HANDS
from analysis.exact.opener_majors import opener_majors
from analysis.exact.opening import opening_ways
from analysis.exact.responses import PROBABILITY
from analysis.exact.table import ANY, doubles_table, exact_table, next_hands_table

_FIRST_SEAT = SEAT.code(1)


def bid_families(run: Run) -> Iterator[Family]:
    """The families that check the bidding; see :mod:`analysis.checking.deal_by_deal` for the rest."""
    tally, agreement = run.tally, run.agreement
    opened = tally[EVERY_OPENING.name][EVERY_SEAT.code(1)]
    labels = [EVERY_BID.wording(name) for name in EVERY_BID.names[1:]]
    exact = opening_ways(agreement)[1:] / N_HANDS
    yield Family("openings", labels, opened[1:], exact, tally.deals)

    for seat, counts in zip(SEAT.names[1:], tally[OPENINGS_BY_SEAT.name][1:], strict=True):
        exact = opening_ways(agreement, seat) / N_HANDS
        yield Family(
            f"openings if nobody has opened, seat {seat}",
            [*EVERY_BID.wordings.values()],
            counts,
            exact,
            int(counts.sum()),
        )

    next_hands = tally[NEXT_HANDS.name][_FIRST_SEAT].ravel()
    table = next_hands_table(agreement)
    labels = [f"{OPENING_BID.of(row)}, {ACTION.of(row)}" for row in table.to_dict("records")]
    exact = table[PROBABILITY].to_numpy()
    yield Family("the next hand's calls", labels, next_hands, exact, tally.deals)

    overcalls = tally[CALL_COUNTS.name][_FIRST_SEAT].sum(axis=1)
    labels = [sequence_wording(row) for row in SEQUENCE.frame().to_dict("records")]
    table = exact_table(agreement, run.exact_calls)
    exact = table.loc[table[CALL] == ANY, PROBABILITY].to_numpy()
    yield Family("overcalls", labels, overcalls, exact, tally.deals)

    table = table[table[CALL] != ANY]
    if len(table):
        seen = tally[CALL_COUNTS.name][_FIRST_SEAT]
        keys = list(table[[*SEQUENCE.columns, CALL]].itertuples(index=False, name=None))
        yield Family(
            "the responder's calls",
            [f"{sequence_wording(row)}, {CALL.of(row)}" for row in table.to_dict("records")],
            np.array([seen[SEQUENCE.code(*key[:2]), CALL.code(key[2])] for key in keys]),
            table[PROBABILITY].to_numpy(),
            tally.deals,
        )

    table = opener_majors(agreement)
    counts = tally[OPENER_MAJORS.name]
    for position, suit in enumerate(MAJORS):
        name = SUIT_NAMES[suit]
        rows = table[table[MAJOR] == name].to_dict("records")
        yield Family(
            f"opener's {name}",
            [f"opener {OPENER_HOLDS.of(row)}" for row in rows],
            counts[:, position].ravel(),
            np.array([row[PROBABILITY] for row in rows]),
            tally.deals,
            [f"{sequence_wording(row)}, responder {RESPONDER_CARDS.of(row)}" for row in rows],
        )
    if run.exact_calls:
        yield from _doubled(tally, agreement, doubles_table(agreement))


def _doubled(tally: Tally, agreement: Agreement, exact: pd.DataFrame) -> Iterator[Family]:
    """Opener's cards in the promised suit (the longer of two) given the double; reasons; messages."""
    keys = [*SEQUENCE.columns, REASON_GIVEN, OPENER_CARDS]
    counted = tally.frame(FIRST_SEAT_FITS)
    table = counted.merge(exact, on=keys, how="outer")
    table = table.fillna({DEALS: 0, PROBABILITY: 0.0})
    messages = messages_by_sequence(agreement)
    rows = table.to_dict("records")
    auctions, reasons = [sequence_wording(row) for row in rows], [*map(REASON_GIVEN.of, rows)]
    given = Family(
        "opener's cards given the double",
        [f"opener {OPENER_CARDS.of(row)}" for row in rows],
        table[DEALS].to_numpy(dtype=np.int64),
        table[PROBABILITY].to_numpy(),
        tally.deals,
        [f"{auction}, {reason}" for auction, reason in zip(auctions, reasons, strict=True)],
    )
    yield given
    yield given.grouped("reasons for the double", Grouping.of(reasons, auctions))
    promised = [MESSAGE.wording(messages[code]) for code in SEQUENCE.codes(table)]
    yield given.grouped("messages of the double", Grouping.of(promised))
