"""Select the deals that a good teacher would show; each clause is a sentence and a function.

Boards, lessons and examples draw at random from the deals that meet every clause. The selection
serves illustration only; no frequency of the study depends on it.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
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
from double_study.rules.answer import ANSWER
from double_study.rules.auction import call_codes
from double_study.rules.batch import Batch
from double_study.rules.contested import CONTESTED_ANSWER, CONTESTED_END
from double_study.rules.continuation import CONTINUATION
from double_study.rules.reopening import REOPENING
from double_study.rules.response import ABOVE_CEILING, RESPONSE
from double_study.rules.settle import (
    DEFENDED,
    GAME,
    PART_FIT,
    PART_NO_FIT,
    PART_NOTRUMP,
    THEIR_CONTRACT,
)
from double_study.rules.terms import Decided, RuleTable

STEPS = (
    "light_overcalls",
    "sound_overcalls",
    "sound_openings",
    "seven_throughout",
    "values_6_8_9_10",
    "double_on_six",
)
"""The agreements that come with the study and move a number by a step or two."""

LONGEST, OPENING, DOUBLE, IN_THEIRS, OTHER_SUIT, SHOWN_SUIT = 7, 12, 7, 3, 5, 6
SOLD_OUT, GAME_POINTS, SLAM_POINTS, GAME_TRUMPS = 23, 25, 30, 8
"""The figures of the clauses; the last three are of the partnership's points and trumps."""
_BELOW_GAME = (PART_FIT, PART_NO_FIT, PART_NOTRUMP)
_PENALTY_PASS, _NOTRUMP = map(COLUMNS["answer"].code, ("penalty_pass", "notrump"))
_ENDS = (("quiet", ANSWER, CONTINUATION), ("contested", CONTESTED_ANSWER, CONTESTED_END))


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


def _elsewhere(b: Batch, stage: str, met: BoolArray) -> BoolArray:
    """Return ``met``, one entry per deal of ``b`` at ``stage``, for all deals of ``b``; true elsewhere."""
    whole = np.ones(len(b.root), dtype=np.bool_)
    whole[b.at(stage)["deal"]] = met
    return whole[b["deal"]]


def _no_freak(b: Batch) -> BoolArray:
    # A jump overcall to level 4 shows eight cards.
    allowed = [LONGEST + (b["level"] == 4) * (player == "overcaller") for player in PLAYERS]
    longest = [b.hands(player).lengths.max(axis=0) for player in PLAYERS]
    return np.asarray(np.less_equal(longest, allowed).all(axis=0))


def _opening(b: Batch) -> BoolArray:
    return b.hands("opener").hcp >= OPENING


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


def _overcall(b: Batch) -> BoolArray:
    return b.hands("overcaller").good_in(b["overcalled_suit"])


def _double(b: Batch) -> BoolArray:
    doubled = b.at("doubled")
    responder = doubled.hands("responder")
    in_theirs = responder.length_in(doubled["overcalled_suit"])
    promised = doubled.decided("reason").situation.promised_set
    other = responder.length_in(responder.longest_among(15 - promised))
    longest = responder.lengths.max(axis=0)
    well_shaped = (in_theirs <= IN_THEIRS) & (other <= OTHER_SUIT) & (longest <= SHOWN_SUIT)
    return _elsewhere(b, "doubled", (responder.hcp >= DOUBLE) & well_shaped)


def _pair(b: Batch) -> Any:
    return b.hands("opener").hcp + b.hands("responder").hcp


def _not_sold_out(b: Batch) -> BoolArray:
    doubled, silent = b.at("doubled"), b.at("passed_round")
    theirs = doubled["final_contract"] == THEIR_CONTRACT
    passed = silent["reopening"] == COLUMNS["reopening"].code("pass")
    return _elsewhere(b, "doubled", ~theirs | (_pair(doubled) < SOLD_OUT)) & _elsewhere(
        b, "passed_round", ~passed | (_pair(silent) < SOLD_OUT)
    )


def _game_bid(b: Batch) -> BoolArray:
    doubled = b.at("doubled")
    stops = np.isin(doubled["final_contract"], _BELOW_GAME)
    points = _pair(doubled)
    return _elsewhere(b, "doubled", (~stops | (points < GAME_POINTS)) & (points < SLAM_POINTS))


def _trumps(b: Batch) -> BoolArray:
    doubled = b.at("doubled")
    short = (doubled["final_contract"] == GAME) & (doubled["trumps"] < GAME_TRUMPS)
    return _elsewhere(b, "doubled", ~short)


def _not_defended(b: Batch) -> BoolArray:
    doubled = b.at("doubled")
    about = doubled["answer"] == _PENALTY_PASS
    return _elsewhere(b, "doubled", (doubled["final_contract"] != DEFENDED) | about)


def _long_suit_bid(b: Batch) -> BoolArray:
    contested = b.at("contested")
    long = contested.hands("overcaller").length_in(contested["overcalled_suit"]) >= LONGEST
    return _elsewhere(b, "contested", ~long | (contested["overcaller_bid"] != NO_BID))


def _minors(b: Batch) -> BoolArray:
    doubled = b.at("doubled")
    only_minors = doubled.decided("reason").situation.promised_set == suit_set(MINORS)
    responder = doubled.hands("responder")
    for_notrump = responder.balanced & responder.stopper_in(doubled["overcalled_suit"])
    return _elsewhere(b, "doubled", ~(only_minors & for_notrump))


def _two_in_each(b: Batch) -> BoolArray:
    met = np.ones(len(b), dtype=np.bool_)
    for stage, *_ in _ENDS:
        after = b.at(stage)
        promised = after.decided("answer").situation.promised_set
        enough = after.hands("opener").shortest_length_among(promised) >= 2
        met &= _elsewhere(b, stage, enough | (after["answer"] != _NOTRUMP))
    return met


def _stopper(b: Batch) -> BoolArray:
    real = b.hands("responder").honour_in(b["overcalled_suit"])
    return (b["call"] != COLUMNS["call"].code("notrump")) | real


def _moved(hands: Hands, by: int) -> Hands:
    """Return hands with one point more or fewer, within 0 to 40, and everything else the same."""
    able = (hands.hcp + by >= 0) & (hands.hcp + by <= MAX_PARTNERSHIP_HCP)
    return Hands(hands.words + (able * by).astype(np.int64).astype(np.uint32))


def _keeps(table: RuleTable[Any], decided: Decided[Any]) -> BoolArray:
    """Return where one point more or fewer leads to the same call by the same kind of rule."""
    same = np.ones(decided.rule.shape, dtype=np.bool_)
    for by in (1, -1):
        situation = decided.situation
        other = table.decide(replace(situation, hands=_moved(situation.hands, by)))
        same &= (other.bid == decided.bid) & ((other.name == decided.name) | (decided.bid >= 0))
    return same


def _off_the_limits(b: Batch) -> BoolArray:
    met = _keeps(RESPONSE, b.decided("response"))
    for stage, answer, end in _ENDS:
        after = b.at(stage)
        keeps = _keeps(answer, after.decided("answer")) & _keeps(end, after.decided("end"))
        met &= _elsewhere(b, stage, keeps)
    silent = b.at("passed_round")
    return met & _elsewhere(b, "passed_round", _keeps(REOPENING, silent.decided("reopening")))


def _by_every_step(b: Batch) -> BoolArray:
    deals, met = b["deal"], np.ones(len(b), dtype=np.bool_)
    calls = call_codes(b.root)[deals]
    for agreement in steps(b.agreement):
        left = np.flatnonzero(met)
        other = call_codes(Batch(b.root.cards[:, deals[left]], agreement))
        met[left] = (other == calls[left]).all(axis=1)
    return met


CLAUSES: dict[str, Callable[[Batch], BoolArray]] = {
    f"nobody has a suit of {LONGEST + 1} cards, except an overcaller at level 4": _no_freak,
    f"the opener has {OPENING} HCP or more": _opening,
    "neither opener nor responder has a singleton ace, king, queen or jack": _no_bare_honour,
    "the overcaller's suit has two of the top five cards": _overcall,
    f"a doubler has {DOUBLE} HCP or more, at most {IN_THEIRS} cards in the overcaller's suit, at most "
    f"{OTHER_SUIT} in any other suit that the double does not show, and at most {SHOWN_SUIT} in a suit "
    "that it does": _double,
    "a doubler who shows only the minors is not balanced with a stopper in the overcaller's suit": _minors,
    "opener answers in notrump only with two cards or more in each promised suit": _two_in_each,
    f"an overcaller with {LONGEST} cards bids again if the fourth hand bids": _long_suit_bid,
    f"a pair with {SOLD_OUT} HCP or more does not sell out": _not_sold_out,
    f"after a double, a pair with {GAME_POINTS} HCP or more does not stop in a part-score, and no pair has "
    f"the {SLAM_POINTS} HCP with which it would look for a slam": _game_bid,
    f"no game in a suit is bid on fewer than {GAME_TRUMPS} trumps": _trumps,
    "after a double, the other side's contract is not doubled, unless opener passes the double for "
    "penalties": _not_defended,
    "a responder who bids notrump has the ace, king or queen of the overcaller's suit": _stopper,
    "the hand would make the same call with a point more or a point fewer": _off_the_limits,
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
