"""Small runs that the tests of tables, figures and sentences share, and their deals one by one."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import pandas as pd
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import Bid
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.counting import run as study
from double_study.rules.auction import responder
from double_study.rules.batch import Batch
from double_study.rules.response import REASON
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


@dataclass(frozen=True)
class Hand:
    """A deal with an overcall, in plain numbers; what comes after a double is None without one."""

    deal: int
    seat: int
    opening: int
    overcall: Bid
    call: str
    responder: tuple[int, ...]
    opener: tuple[int, ...]
    hcp: int
    opener_hcp: int
    total_points: int
    message: str
    reason: str | None = None
    advancer: str | None = None
    answer: str | None = None
    final_contract: str | None = None
    last_bid: int | None = None


@cache
def hands(name: str = "reference") -> list[Hand]:
    """Return every deal of the run that had an overcall in a suit, in the order dealt."""
    deals = Batch(deal_block(SEED, 0)[:, :DEALS], AGREEMENTS[name]())
    b, doubled = deals.at("overcalled"), deals.at("doubled")
    afters = {}
    for at, deal in enumerate(doubled["deal"].tolist()):
        afters[deal] = {
            "reason": REASON.names[doubled["reason"][at]],
            "advancer": COLUMNS["advancer"].names[doubled["advancer"][at]],
            "answer": COLUMNS["answer"].names[doubled["answer"][at]],
            "final_contract": COLUMNS["final_contract"].names[doubled["final_contract"][at]],
            "last_bid": int(doubled["last_bid"][at]),
        }
    found, situation, opener = [], responder(b), b.hands("opener")
    for at, deal in enumerate(b["deal"].tolist()):
        opening, overcall = SEQUENCES[b["auction"][at]]
        found.append(
            Hand(
                deal,
                int(b["seat"][at]),
                opening,
                overcall,
                COLUMNS["call"].names[b["call"][at]],
                tuple(situation.hands.lengths[:, at].tolist()),
                tuple(opener.lengths[:, at].tolist()),
                int(situation.hands.hcp[at]),
                int(opener.hcp[at]),
                int(situation.total_points[at]),
                COLUMNS["message"].names[situation.message[at]],
                **afters.get(deal, {}),
            )
        )
    return found


def trumps(hand: Hand) -> int:
    """Return both hands' cards in the suit last bid."""
    assert hand.last_bid is not None
    suit = hand.last_bid % 5
    return hand.responder[suit] + hand.opener[suit]


def last_level(hand: Hand) -> int:
    """Return the level of the last bid of a hand that doubled."""
    assert hand.last_bid is not None
    return hand.last_bid // 5 + 1


SUIT_RESTS = {"game", "part_score_fit", "part_score_no_fit"}


def outcome(hand: Hand) -> str:
    """Return whether a fit was there and found, of a hand that doubled."""
    there = max(a + b for a, b in zip(hand.opener, hand.responder, strict=True)) >= 8
    if hand.final_contract in SUIT_RESTS:
        if trumps(hand) >= 8:
            return "fit_found"
        return "fit_missed" if there else "no_fit_in_suit"
    if hand.final_contract in ("three_notrump", "notrump_part_score"):
        return "fit_but_notrump" if there else "no_fit_in_notrump"
    if hand.final_contract == "their_contract":
        return "fit_but_theirs" if there else "no_fit_theirs"
    return str(hand.final_contract)


def as_mapping(table: pd.DataFrame, *keys: str, value: str = "deals") -> dict[object, int]:
    """Return a table's column by its keys; a single key stands alone. Rows of no deals are left out."""
    index = zip(*(table[key] for key in keys), strict=True) if len(keys) > 1 else table[keys[0]]
    return {key: int(n) for key, n in zip(index, table[value], strict=True) if n}
