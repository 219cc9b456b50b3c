"""Small runs that the tests of tables, figures and sentences share, and their deals one by one."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pandas as pd
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.api import deals
from double_study.cards.bids import SUIT_NAMES, Bid
from double_study.counting import run as study
from double_study.tables import Run

DEALS, SEED = 40_000, 17  # less than a block: the deals of the run are the first of block 0

AGREEMENTS: dict[str, Callable[[], Agreement]] = {
    "reference": lambda: REFERENCE,
    "one major will do": lambda: REFERENCE.changed("response.both_majors", False),
    "through 1♠": lambda: REFERENCE.changed("response.double_through", "1S"),
    "not played": lambda: REFERENCE.changed("response.double", False),
}


@cache
def run_of(name: str, deals: int = DEALS) -> Run:
    """Return a run by one of AGREEMENTS."""
    agreement = AGREEMENTS[name]()
    return Run.of(study.count(deals, SEED, agreement, workers=1, progress=False), SEED, agreement)


Hand = Any
"""A deal with an overcall, in the public columns, which are held against the plain reading.

``opening`` is the suit opened, ``overcall`` and ``contract`` are bids, ``opener`` and ``responder``
lengths; what follows a double is None without one.
"""


@cache
def hands(name: str = "reference") -> list[Hand]:
    """Return every deal of the run that had an overcall in a suit, in the order dealt."""
    table = deals(DEALS, seed=SEED, agreement=AGREEMENTS[name]())
    for player in ("opener", "responder"):
        lengths = (table[f"{player}_{suit}"] for suit in SUIT_NAMES)
        table[player] = list(zip(*lengths, strict=True))
    for bid in ("opening", "overcall", "contract"):
        parsed = {text: Bid.parse(text) for text in table[bid].cat.categories}
        table[bid] = table[bid].astype(object).map(parsed)
    table["opening"] = [bid.denomination for bid in table["opening"]]
    renamed = table.rename(columns={"responder_hcp": "hcp", "responder_points": "total_points"})
    found = renamed.astype(object)
    return list(found.where(found.notna(), None).itertuples())


def as_mapping(table: pd.DataFrame, *keys: str, value: str = "deals") -> dict[object, int]:
    """Return a table's column by its keys; a single key stands alone. Rows of no deals are left out."""
    index = zip(*(table[key] for key in keys), strict=True) if len(keys) > 1 else table[keys[0]]
    return {key: int(n) for key, n in zip(index, table[value], strict=True) if n}
