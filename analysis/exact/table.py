"""The table of exact probabilities: ``exact.csv``."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import pandas as pd

from analysis.agreements.agreement import Agreement
from analysis.bidding.after_overcall import (
    MESSAGE,
    OPENING_BID,
    SEQUENCE,
    SEQUENCES,
    messages_by_sequence,
)
from analysis.bidding.double import REASON_GIVEN
from analysis.bidding.holdings import OPENER_CARDS
from analysis.bidding.overcall import ACTION
from analysis.bidding.response import ABOVE_CEILING, CALL
from analysis.exact.cache import KeptTable, if_kept, kept
from analysis.exact.overcall import funnel, up_to_overcall
from analysis.exact.responses import PROBABILITY as PROBABILITY
from analysis.exact.responses import Progress, responses, up_to_response
from analysis.vocabulary.dimension import Dimension, every_cell, typed

ANY = "any"
"""The ``call`` of a row that stands for the overcall as a whole, whatever the responder does."""

CALL_OR_ANY = Dimension(
    "call",
    CALL.heading,
    f"{CALL.description[:-1]}; {ANY} where the row is about the overcall, whatever the responder "
    "did.",
    {ANY: ANY} | CALL.wordings,
)

_CALLS = KeptTable("calls", (*SEQUENCE.columns, CALL, PROBABILITY))
_DOUBLES = KeptTable("doubles", (*SEQUENCE.columns, REASON_GIVEN, OPENER_CARDS, PROBABILITY))
_OVERCALLS = KeptTable("overcalls", _CALLS.columns, SEQUENCE.size)
_NEXT_HANDS = KeptTable(
    "next-hands", (OPENING_BID, ACTION, PROBABILITY), OPENING_BID.size * ACTION.size
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
        return typed(overcalls, *SEQUENCE.columns, CALL_OR_ANY)
    # Above the ceiling there is one call, and nothing to work out.
    above = overcalls[[bid > agreement.response.double_through for _, bid in SEQUENCES]]
    above = above.assign(**{CALL: CALL.names[ABOVE_CEILING]})
    table = pd.concat([overcalls, _kept(_CALLS, agreement), above], ignore_index=True)
    return typed(table, *SEQUENCE.columns, CALL_OR_ANY)


def responders_calls(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
    also: Iterable[Agreement] = (),
) -> None:
    """Work out the responder's calls, three hands at once, for :func:`exact_table` and
    :func:`doubles_table`; nothing is done where they are kept already. See
    :mod:`analysis.exact.three_hands_join` for what it takes.

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
    position = table.columns.to_list().index(REASON_GIVEN)
    table.insert(position, MESSAGE, [messages[sequence] for sequence in sequences])
    return typed(table, *SEQUENCE.columns, MESSAGE, REASON_GIVEN)


def next_hands_table(agreement: Agreement) -> pd.DataFrame:
    """Exact probabilities of the next hand's calls over an opening of one of a suit in first seat.

    Columns ``opening``, ``action`` (a name of ``ACTION``), ``probability`` (per deal,
    unconditional); an opening's rows sum to the probability of the opening. Kept like
    :func:`exact_table`.
    """
    return typed(_next_hands(up_to_overcall(agreement)), OPENING_BID, ACTION)


@lru_cache(maxsize=64)
def _overcalls(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        table = pd.DataFrame(SEQUENCE.names, columns=[*SEQUENCE.columns])
        table[CALL] = ANY
        table[PROBABILITY] = funnel(agreement).sequences
        return table

    return kept(_OVERCALLS, agreement, compute)


@lru_cache(maxsize=64)
def _next_hands(agreement: Agreement) -> pd.DataFrame:
    def compute() -> pd.DataFrame:
        table = every_cell((OPENING_BID, ACTION))
        table[PROBABILITY] = funnel(agreement).actions.ravel()
        return table

    return kept(_NEXT_HANDS, agreement, compute)
