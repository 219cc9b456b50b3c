"""The table of exact probabilities: ``exact.csv``.

What the opener holds in a major that nobody has bid, given the responder's length, exactly.

Three chances of the same thing: from the responder's cards alone, which is the figure that players
quote; with the opening taken into account; and with the overcall as well. Given opener's and
overcaller's lengths in the major, what is left of it lies between responder and the fourth hand by
vacant places, so two hands at once are enough. Precision is that of `double_study.combinatorics.two_hands`.

The responder's calls by the other agreements that come with the study, exactly.

A run's own counts serve the agreements that differ from its own in the responder's settings alone
(:func:`double_study.combinatorics.table.serves`). Those that open or overcall otherwise need counts of their own. They
are made together, since they have much in common, and only what each call comes to over all
auctions is kept: one table for all, so that its last digits never depend on which of them was worked out
before.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from math import comb, prod

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement, load, shipped
from double_study.cards.bids import MAJORS, NO_BID, SUITS
from double_study.columns import COLUMNS, axis_of, every_cell, typed
from double_study.combinatorics.cache import KeptTable, if_kept, kept
from double_study.combinatorics.hands import HAND_CARDS, hand_classes, one_of_a_suit, shapes
from double_study.combinatorics.responses import Progress, calls_of, responses, up_to_response
from double_study.combinatorics.two_hands import (
    N_TWO_HANDS,
    Floats,
    SecondHandWays,
    chance_of_holding,
    funnel,
    next_hand_calls,
    partner_length,
    up_to_overcall,
)
from double_study.rules.response import ABOVE_CEILING
from double_study.rules.terms import (
    SEQUENCE,
    SEQUENCE_CODE,
    SEQUENCES,
    messages_by_sequence,
    opener_holds,
)

ANY = "any"
"""The ``call`` of a row that stands for the overcall as a whole, whatever the responder does."""


_CALLS = KeptTable("calls", (*SEQUENCE.columns, "call", "probability"))
_DOUBLES = KeptTable("doubles", (*SEQUENCE.columns, "reason", "opener_cards", "probability"))
_OVERCALLS = KeptTable("overcalls", _CALLS.columns, SEQUENCE.size)
_NEXT_HANDS = KeptTable(
    "next-hands",
    ("opening", "action", "probability"),
    COLUMNS["opening"].size * COLUMNS["action"].size,
)


def exact_table(agreement: Agreement, calls: bool) -> pd.DataFrame:
    """Exact probabilities for an opening in first seat, per deal, unconditional.

    Columns ``opening``, ``overcall``, ``call``, ``probability`` (float64, at least eleven correct
    digits); one row with the call :data:`ANY` for each of the 42 sequences, in their order, also where
    it is 0. With the responder's ``calls`` their rows follow; the rows of a sequence sum to its
    ``any`` row. Worked out once for an agreement and kept on disk, the calls by
    :func:`responders_calls`. Do not change the table in place.
    """
    overcalls = _overcalls(up_to_overcall(agreement))
    if not calls:
        return typed(overcalls, *SEQUENCE.columns, "call_or_any")
    # Above the ceiling there is one call, and nothing to work out.
    above = overcalls[[bid > agreement.response.double_through for _, bid in SEQUENCES]]
    above = above.assign(call=COLUMNS["call"].names[ABOVE_CEILING])
    table = pd.concat([overcalls, _kept(_CALLS, agreement), above], ignore_index=True)
    return typed(table, *SEQUENCE.columns, "call_or_any")


def responders_calls(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
    also: Iterable[Agreement] = (),
) -> None:
    """Work out the responder's calls, three hands at once, for :func:`exact_table` and
    :func:`doubles_table`; nothing is done where they are kept already. See
    :mod:`double_study.combinatorics.three_hands` for what it takes.

    Of the agreements ``also``, those that the same counts serve get their calls as well.
    """
    before = up_to_response(agreement)
    alike = {up_to_response(other): None for other in also if serves(agreement, other)}
    served = [other for other in alike if other != before]
    known = [if_kept(_CALLS, one) is not None for one in (before, *served)]
    if not all(known) or if_kept(_DOUBLES, before) is None:
        found = responses(before, workers, progress, served)
        kept(_DOUBLES, before, lambda: found.doubles)
        for one, calls in zip((before, *served), (found.calls, *found.also), strict=True):
            kept(_CALLS, one, lambda calls=calls: calls)  # type: ignore[misc]


def calls_kept(agreement: Agreement) -> bool:
    """Whether the responder's calls were worked out before, so that they cost nothing now."""
    return if_kept(_CALLS, up_to_response(agreement)) is not None


def serves(agreement: Agreement, other: Agreement) -> bool:
    """Whether the counts for ``agreement`` tell the other's calls as well.

    They do where the two differ in the responder's settings alone, and in what comes after.
    """
    return up_to_overcall(other) == up_to_overcall(agreement)


def _kept(kind: KeptTable, agreement: Agreement) -> pd.DataFrame:
    """One of the tables of :func:`responders_calls`, worked out if need be."""
    before = up_to_response(agreement)
    table = if_kept(kind, before)
    if table is None:
        responders_calls(agreement)
        table = if_kept(kind, before)
        assert table is not None, "just worked out"  # noqa: S101
    return table


def doubles_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities of the double by message, reason and opener's cards in the promised suit.

    Columns ``opening``, ``overcall``, ``message``, ``reason``, ``opener_cards`` (the longer of two
    promised suits) and ``probability``, first seat, per deal, unconditional. Worked out and kept by
    :func:`responders_calls`.
    """
    table = _kept(_DOUBLES, agreement)
    messages = dict(zip(SEQUENCE.names, messages_by_sequence(agreement), strict=True))
    sequences = zip(*(table[column] for column in SEQUENCE.columns), strict=True)
    position = table.columns.to_list().index("reason")
    table.insert(position, "message", [messages[sequence] for sequence in sequences])
    return typed(table, *SEQUENCE.columns, "message", "reason")


def next_hands_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities of the next hand's calls over an opening of one of a suit in first seat.

    Columns ``opening``, ``action`` (a name of ``ACTION``), ``probability`` (per deal,
    unconditional); an opening's rows sum to the probability of the opening. Kept like
    :func:`exact_table`.
    """
    return typed(_next_hands(up_to_overcall(agreement)), "opening", "action")


@lru_cache(maxsize=64)
def _overcalls(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        table = pd.DataFrame(SEQUENCE.names, columns=[*SEQUENCE.columns])
        table["call"] = ANY
        table["probability"] = funnel(agreement).sequences
        return table

    return kept(_OVERCALLS, agreement, compute)


@lru_cache(maxsize=64)
def _next_hands(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        table = every_cell(("opening", "action"))
        table["probability"] = funnel(agreement).actions.ravel()
        return table

    return kept(_NEXT_HANDS, agreement, compute)


# The chance of opener's holding given responder's length, knowing more and more.
_AXES = (SEQUENCE, "major", "responder_cards", "opener_holds")

_KEPT = KeptTable(
    "opener-majors",
    (
        *(column for axis in _AXES for column in axis_of(axis).columns),
        *("probability", "naive", "after_opening", "after_overcall"),
    ),
    prod(axis_of(axis).size for axis in _AXES),
)

_LENGTHS = HAND_CARDS + 1
_HELD = opener_holds(np.arange(_LENGTHS))


def opener_majors(agreement: Agreement) -> pd.DataFrame:
    """Opener's holding in each unbid major, by auction and by responder's length.

    One row a cell of the count :data:`~double_study.counting.counts.OPENER_MAJORS`, in its
    order, with its columns, and ``probability`` (per deal, opening in first seat; 0 where the major was bid),
    ``naive``, ``after_opening``, ``after_overcall`` (given responder's length; NaN where that or
    the auction cannot be). Worked out once and kept on disk. Do not change the table in place.
    """
    return typed(
        _opener_majors_kept(up_to_overcall(agreement)), *SEQUENCE.columns, "major", "opener_holds"
    )


@lru_cache(maxsize=64)
def _opener_majors_kept(agreement: Agreement) -> pd.DataFrame:
    return kept(_KEPT, agreement, lambda: _table(agreement))


def _table(agreement: Agreement) -> pd.DataFrame:
    joint = _joint(agreement)
    naive = _grouped(np.array([partner_length(own) for own in range(_LENGTHS)], dtype=np.float64))
    opened = _after_opening(agreement)[[suit for suit, _ in SEQUENCES]]
    with np.errstate(invalid="ignore"):
        overcalled = joint / joint.sum(axis=-1, keepdims=True)
        opened /= opened.sum(axis=-1, keepdims=True)
    table = every_cell(_AXES)
    table["probability"] = joint.ravel()
    table["naive"] = np.broadcast_to(naive, joint.shape).ravel()
    table["after_opening"] = opened.ravel()
    table["after_overcall"] = overcalled.ravel()
    return table


def _grouped(by_length: Floats) -> Floats:
    """The last axis, opener's length, put together as 0 to 2, 3, and 4 or more."""
    return np.stack(
        [
            by_length[..., held == _HELD].sum(axis=-1)
            for held in range(COLUMNS["opener_holds"].size)
        ],
        axis=-1,
    )


def _after_opening(agreement: Agreement) -> Floats:
    """Opener's holding in each major, and responder's length in it, after each opening.

    Shape (4, 2, 14, 3), on the scale of ways for two hands: whole numbers until the last step.
    """
    responder = np.array(
        [
            [comb(HAND_CARDS - a, r) * comb(26 + a, HAND_CARDS - r) for a in range(_LENGTHS)]
            for r in range(_LENGTHS)
        ],
        dtype=object,
    )
    ways = np.zeros((len(SUITS), len(MAJORS), _LENGTHS, _LENGTHS), dtype=object)
    hands = hand_classes()
    for opening, opens in enumerate(one_of_a_suit(agreement)):
        for position, major in enumerate(MAJORS):
            length = np.zeros(_LENGTHS, dtype=object)
            np.add.at(length, shapes()[:, major], (hands * opens).sum(axis=1).astype(object))
            ways[opening, position] = responder * length
    return _grouped(ways.astype(np.float64))


def _joint(agreement: Agreement) -> Floats:
    """Probabilities by sequence, major, responder's length and opener's holding; (42, 2, 14, 3)."""
    left = np.array(
        [
            [[float(_responder(r, a, b)) for a in range(_LENGTHS)] for r in range(_LENGTHS)]
            for b in range(_LENGTHS)
        ]
    )
    opens, next_hands = one_of_a_suit(agreement), SecondHandWays(agreement.hand.good_suit)
    joint = np.zeros((len(SEQUENCES), len(MAJORS), _LENGTHS, _LENGTHS))
    for opening in SUITS:
        _, bid = next_hand_calls(agreement, opening)
        overcalls = bid != NO_BID
        sequence = SEQUENCE_CODE[opening, bid[overcalls]]
        for position, major in enumerate(MAJORS):
            if major == opening:
                continue
            in_major = shapes()[:, major]
            second = np.broadcast_to(in_major[:, np.newaxis, np.newaxis, np.newaxis], bid.shape)
            others = [suit for suit in SUITS if suit != major]
            for cards in range(_LENGTHS):
                some = opens[opening] & (in_major == cards)[:, np.newaxis]
                ways = next_hands.ways(some, opening, others)[overcalls]
                by_second = np.zeros((len(SEQUENCES), _LENGTHS))
                np.add.at(by_second, (sequence, second[overcalls]), ways)
                joint[:, position, :, cards] += by_second @ left[:, :, cards]
    return _grouped(joint) / N_TWO_HANDS


def _responder(held: int, opener: int, overcaller: int) -> Fraction:
    """Chance of responder's length in a suit, given opener's and overcaller's."""
    rest = HAND_CARDS - opener - overcaller
    return chance_of_holding(held, rest) if rest >= 0 else Fraction(0)


def others(agreement: Agreement) -> list[Agreement]:
    """The agreements that come with the study and need counts of their own beside the agreement's."""
    return [other for other in map(load, shipped()) if not serves(agreement, other)]


def others_calls(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
) -> pd.DataFrame:
    """Exact probability of each of the responder's calls by each of :func:`others`.

    Columns ``agreement`` (its name), ``call`` and ``probability`` (first seat, per deal,
    unconditional); calls above the ceiling have no row. Worked out once and kept on disk.
    """
    wanted = others(agreement)

    def compute() -> pd.DataFrame:
        tables = calls_of([up_to_response(other) for other in wanted], workers, progress)
        rows = [
            (other.name, call, float(of_call["probability"].sum()))
            for other, table in zip(wanted, tables, strict=True)
            for call, of_call in table.groupby("call", sort=False)
        ]
        return pd.DataFrame(rows, columns=["agreement", "call", "probability"])

    digest = hashlib.sha256(" ".join(other.digest for other in wanted).encode()).hexdigest()
    table = KeptTable(f"others-{digest[:16]}", ("agreement", "call", "probability"))
    return kept(table, up_to_response(agreement), compute)
