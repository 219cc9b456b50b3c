"""Select the deals that a good teacher would show; each clause is a sentence and a function.

Boards, lessons and examples draw at random from the deals that meet every clause. The selection
serves illustration only; no frequency of the study depends on it.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.cards.bids import MINORS, NO_BID
from double_study.cards.hands import (
    HOLDING_HCP,
    LENGTH,
    MAX_PARTNERSHIP_HCP,
    N_HOLDINGS,
    BoolArray,
    Hands,
    suit_set,
)
from double_study.columns import COLUMNS, PLAYERS
from double_study.errors import InputError
from double_study.rules import settle
from double_study.rules.auction import call_codes
from double_study.rules.batch import TABLE_AT, Batch
from double_study.rules.response import ABOVE_CEILING

STEPS = (
    "light_overcalls sound_overcalls sound_openings seven_throughout values_6_8_9_10 double_on_six"
).split()
"""The agreements that come with the study and move a number by a step or two."""

LONGEST, OPENING, DOUBLE, IN_THEIRS, OTHER_SUIT, SHOWN_SUIT = 7, 12, 7, 3, 5, 6
SOLD_OUT, GAME_POINTS, SLAM_POINTS, GAME_TRUMPS = 23, 25, 30, 8
"""The figures of the clauses; the last three are of the partnership's points and trumps."""
_BELOW_GAME = (settle.PART_FIT, settle.PART_NO_FIT, settle.PART_NOTRUMP)
_PENALTY_PASS, _NOTRUMP = map(COLUMNS["answer"].code, ("penalty_pass", "notrump"))
_NOTRUMP_CALL, _PASS = COLUMNS["call"].code("notrump"), COLUMNS["reopening"].code("pass")


@lru_cache
def steps(agreement: Agreement) -> tuple[Agreement, ...]:
    """Return the agreement changed by each of :data:`STEPS`, as far as that is possible."""
    made, standing = [], REFERENCE.values
    for name in STEPS:
        moved = agreement
        try:
            for setting in load(name).settings():
                if setting.value != standing[setting.key]:
                    moved = moved.changed(setting.key, setting.value)
        except InputError:  # contradicts another setting of the agreement
            continue
        made.append(moved)
    return tuple(made)


def _at(stage: str, met: Callable[[Batch], BoolArray]) -> Callable[[Batch], BoolArray]:
    """Return ``met``, a function of the deals at ``stage``, for all overcalled ones; true of the others."""

    def everywhere(b: Batch) -> BoolArray:
        whole = np.ones(len(b.root), dtype=np.bool_)
        part = b.at(stage)
        whole[part["deal"]] = met(part)
        return whole[b["deal"]]

    return everywhere


def _no_freak(b: Batch) -> BoolArray:
    # A jump overcall to level 4 shows eight cards.
    allowed = [LONGEST + (b["level"] == 4) * (player == "overcaller") for player in PLAYERS]
    longest = [b.hands(player).lengths.max(axis=0) for player in PLAYERS]
    return np.asarray(np.less_equal(longest, allowed).all(axis=0))


def _no_bare_honour(b: Batch) -> BoolArray:
    bare = [
        (LENGTH[holdings] == 1) & (HOLDING_HCP[holdings] > 0)
        for holdings in (suits_of(b, player) for player in (0, 2))
    ]
    return ~np.any(bare, axis=(0, 1))


def suits_of(b: Batch, player: int) -> NDArray[np.int64]:
    """Return the four holdings of one of PLAYERS, counted from the opener; shape (4, n)."""
    cards = b.cards[(b["seat"] - 1 + player) % 4, b["deal"]].astype(np.int64)
    return cards >> 13 * np.arange(4)[:, np.newaxis] & (N_HOLDINGS - 1)


def _double(b: Batch) -> BoolArray:
    hands = b.hands("responder")
    other = hands.longest_among(15 - b.decided("reason").situation.promised_set)
    return (
        (hands.hcp >= DOUBLE)
        & (hands.length_in(b["overcalled_suit"]) <= IN_THEIRS)
        & (hands.length_in(other) <= OTHER_SUIT)
        & (hands.lengths.max(axis=0) <= SHOWN_SUIT)
    )


def _minors(b: Batch) -> BoolArray:
    only_minors = b.decided("reason").situation.promised_set == suit_set(MINORS)
    hands = b.hands("responder")
    return ~(only_minors & hands.balanced & hands.stopper_in(b["overcalled_suit"]))


def _two_in_each(b: Batch) -> BoolArray:
    promised = b.decided("answer").situation.promised_set
    enough = b.hands("opener").shortest_length_among(promised) >= 2
    return enough | (b["answer"] != _NOTRUMP)


def _pair(b: Batch) -> Any:
    return b.hands("opener").hcp + b.hands("responder").hcp


def _game_bid(b: Batch) -> BoolArray:
    stops, points = np.isin(b["final_contract"], _BELOW_GAME), _pair(b)
    return (~stops | (points < GAME_POINTS)) & (points < SLAM_POINTS)


def _moved(hands: Hands, by: int) -> Hands:
    """Return hands with one point more or fewer, within 0 to 40, and everything else the same."""
    able = (hands.hcp + by >= 0) & (hands.hcp + by <= MAX_PARTNERSHIP_HCP)
    return Hands(hands.words + (able * by).astype(np.int64).astype(np.uint32))


def _kept(*decisions: str) -> Callable[[Batch], BoolArray]:
    """Return a function of the deals on which one point more or fewer leads to the same calls by rules
    of the same kind.
    """

    def kept(b: Batch) -> BoolArray:
        same = np.ones(len(b), dtype=np.bool_)
        for name, by in product(decisions, (1, -1)):
            decided = b.decided(name)
            moved = replace(decided.situation, hands=_moved(decided.situation.hands, by))
            other = TABLE_AT[b.stage, name].decide(moved)
            same &= (other.bid == decided.bid) & ((other.name == decided.name) | (decided.bid >= 0))
        return same

    return kept


def _by_every_step(b: Batch) -> BoolArray:
    deals, met = b["deal"], np.ones(len(b), dtype=np.bool_)
    calls = call_codes(b.root)[deals]
    for agreement in steps(b.agreement):
        left = np.flatnonzero(met)
        other = call_codes(Batch(b.root.cards[:, deals[left]], agreement))
        met[left] = (other == calls[left]).all(axis=1)
    return met


def _all(*clauses: Callable[[Batch], BoolArray]) -> Callable[[Batch], BoolArray]:
    return lambda b: np.logical_and.reduce([clause(b) for clause in clauses])


CLAUSES: dict[str, Callable[[Batch], BoolArray]] = {
    f"nobody has a suit of {LONGEST + 1} cards, except an overcaller at level 4": _no_freak,
    f"the opener has {OPENING} HCP or more": lambda b: b.hands("opener").hcp >= OPENING,
    "neither opener nor responder has a singleton ace, king, queen or jack": _no_bare_honour,
    "the overcaller's suit has two of the top five cards": lambda b: b.hands("overcaller").good_in(
        b["overcalled_suit"]
    ),
    f"a doubler has {DOUBLE} HCP or more, at most {IN_THEIRS} cards in the overcaller's suit, at most "
    f"{OTHER_SUIT} in any other suit that the double does not show, and at most {SHOWN_SUIT} in a suit "
    "that it does": _at("doubled", _double),
    "a doubler who shows only the minors is not balanced with a stopper in the overcaller's suit": _at(
        "doubled", _minors
    ),
    "opener answers in notrump only with two cards or more in each promised suit": _all(
        _at("quiet", _two_in_each), _at("contested", _two_in_each)
    ),
    f"an overcaller with {LONGEST} cards bids again if the fourth hand bids": _at(
        "contested",
        lambda b: (
            (b.hands("overcaller").length_in(b["overcalled_suit"]) < LONGEST)
            | (b["overcaller_bid"] != NO_BID)
        ),
    ),
    f"a pair with {SOLD_OUT} HCP or more does not sell out": _all(
        _at(
            "doubled",
            lambda b: (b["final_contract"] != settle.THEIR_CONTRACT) | (_pair(b) < SOLD_OUT),
        ),
        _at("passed_round", lambda b: (b["reopening"] != _PASS) | (_pair(b) < SOLD_OUT)),
    ),
    f"after a double, a pair with {GAME_POINTS} HCP or more does not stop in a part-score, and no pair has "
    f"the {SLAM_POINTS} HCP with which it would look for a slam": _at("doubled", _game_bid),
    f"no game in a suit is bid on fewer than {GAME_TRUMPS} trumps": _at(
        "doubled", lambda b: (b["final_contract"] != settle.GAME) | (b["trumps"] >= GAME_TRUMPS)
    ),
    "after a double, the other side's contract is not doubled, unless opener passes the double for "
    "penalties": _at(
        "doubled",
        lambda b: (b["final_contract"] != settle.DEFENDED) | (b["answer"] == _PENALTY_PASS),
    ),
    "a responder who bids notrump has the ace, king or queen of the overcaller's suit": lambda b: (
        (b["call"] != _NOTRUMP_CALL) | b.hands("responder").honour_in(b["overcalled_suit"])
    ),
    "the hand would make the same call with a point more or a point fewer": _all(
        _kept("response"),
        _at("quiet", _kept("answer", "end")),
        _at("contested", _kept("answer", "end")),
        _at("passed_round", _kept("reopening")),
    ),
    "the calls would be the same with light or sound overcalls, with sound openings, and if the double "
    "needed 7 points at every level, a point more over two of a major, or 6 HCP": _by_every_step,
}
"""What a deal must meet to be shown, in words, with the function of an overcalled batch."""


def passing(b: Batch) -> Iterator[tuple[str, BoolArray]]:
    """Yield each clause with the deals of ``b``, an overcalled batch, that meet it and those before."""
    met = np.asarray(b["call"] != ABOVE_CEILING)
    for words, clause in CLAUSES.items():
        left = np.flatnonzero(met)
        # The later clauses bid again, which is slow, so they examine only the deals still left.
        part = Batch(b.root.cards[:, b["deal"][left]], b.agreement).at("overcalled")
        met = met.copy()
        met[left] = clause(part)
        part.root.release()
        yield words, met
