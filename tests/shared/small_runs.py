"""Small runs that the tests of tables, figures and sentences share, and their deals one by one."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pandas as pd
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.counting import run as study
from double_study.rules.auction import responder
from double_study.rules.batch import Batch
from double_study.rules.terms import SEQUENCES
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
"""A deal with an overcall, in plain numbers and names; what follows a double is None without one."""


@cache
def hands(name: str = "reference") -> list[Hand]:
    """Return every deal of the run that had an overcall in a suit, in the order dealt."""
    deals = Batch(deal_block(SEED, 0)[:, :DEALS], AGREEMENTS[name]())

    def named(stage: str, *columns: str) -> dict[str, list[str]]:
        b = deals.at(stage)
        return {name: [COLUMNS[name].names[code] for code in b[name]] for name in columns}

    b, doubled = deals.at("overcalled"), deals.at("doubled")
    situation, opener = responder(b), b.hands("opener")
    found = pd.DataFrame(
        {
            **{"deal": b["deal"], "seat": b["seat"], "opening": situation.opening},
            "overcall": [SEQUENCES[at][1] for at in b["auction"]],
            "responder": list(map(tuple, situation.hands.lengths.T.tolist())),
            "opener": list(map(tuple, opener.lengths.T.tolist())),
            **{"hcp": situation.hands.hcp, "opener_hcp": opener.hcp},
            "total_points": situation.total_points,
            "message": [COLUMNS["message"].names[code] for code in situation.message],
            **named("overcalled", "call"),
        }
    ).set_index("deal")
    after = named("doubled", "reason", "advancer", "answer", "final_contract")
    later = pd.DataFrame({**after, "last_bid": doubled["last_bid"]}, doubled["deal"], dtype=object)
    both = found.join(later).astype(object)
    return list(both.where(both.notna(), None).itertuples())


def as_mapping(table: pd.DataFrame, *keys: str, value: str = "deals") -> dict[object, int]:
    """Return a table's column by its keys; a single key stands alone. Rows of no deals are left out."""
    index = zip(*(table[key] for key in keys), strict=True) if len(keys) > 1 else table[keys[0]]
    return {key: int(n) for key, n in zip(index, table[value], strict=True) if n}
