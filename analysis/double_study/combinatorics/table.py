"""The tables of exact probabilities: calls, doubles, the opener's majors.

All are for an opening of one of a suit in first seat, per deal and unconditional. Each is computed
once for an agreement and cached (:mod:`double_study.combinatorics.cache`).

The responder's calls
---------------------
The count over three hands gives the deals by the responder's class of hand for every opening and
overcall. The responder's own rules, applied to the same classes, give the call of each class. So one
count serves every agreement with the same openings and overcalls (:func:`serves`).

The relative error is that of one class of hands, at most 1e-12 (see
:mod:`double_study.combinatorics.three_hands`), plus that of the sum over the classes that make a call:
up to 20,250 terms under the reference agreement, 2**-53 each. So at least eleven digits are correct. The
tests compare the sum of an auction's calls with the count of two hands, and find twelve.

Why exact values end with the responder's call
-----------------------------------------------
The advancer speaks next, and holds the fourth hand, which follows from the other three by subtraction,
but only from all three at once. The count over three hands adds up the opener's and the overcaller's
hands as soon as their bids are known, which leaves 85,120 numbers for each opening and overcall, by the
responder's shape, HCP and two flags. The advancer's rules would need as many classes of the advancer
for each of those numbers, and the opener's answer over the advancer's bid, its reopening and the final
contracts depend on the opener's whole hand as well. So everything after the responder's call is only
counted, except the opener's cards in the promised suit; all counts up to that call are compared with
exact values.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import prod

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import N_DEALS, SUITS, Bid
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS, every_cell, typed
from double_study.combinatorics.cache import cached, if_cached
from double_study.combinatorics.hands import one_of_a_suit, responder_hands
from double_study.combinatorics.suits import Floats, Ints
from double_study.combinatorics.three_hands import Pack, PairRules, ResponderWays, responder_ways
from double_study.combinatorics.two_hands import funnel, next_hand_calls, opener_major_chances
from double_study.rules.response import (
    ABOVE_CEILING,
    DOUBLE_CALL,
    PROMISED_CARDS,
    REASON,
    RESPONSE,
    decide_call,
)  # fmt: skip
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import SEQUENCE, SEQUENCES, Overcalled, messages_by_sequence
from double_study.workers import worker_count

ANY = "any"
"""The ``call`` of a row that stands for the overcall as a whole, whatever the responder does."""

Progress = Callable[[int, int], None]
"""Called with the number of parts done and of all parts."""


def _no_progress(done: int, of: int) -> None: ...


def up_to_overcall(agreement: Agreement) -> Agreement:
    """Return the agreement with all settings after the overcall as in the reference.

    Agreements that differ only in those have the same overcalls, which are then computed once.
    """
    return replace(
        REFERENCE, hand=agreement.hand, opening=agreement.opening, overcall=agreement.overcall
    )


def up_to_response(agreement: Agreement) -> Agreement:
    """Return the agreement with all settings after the responder's call as in the reference."""
    rules = tuple(rule for rule in agreement.rules if rule.table in (RESPONSE.title, REASON.title))
    return replace(up_to_overcall(agreement), response=agreement.response, rules=rules)


def serves(agreement: Agreement, other: Agreement) -> bool:
    """Return whether the counts for ``agreement`` give the other's calls as well.

    They do if the two agreements differ only in the settings of the responder and of later calls.
    """
    return up_to_overcall(other) == up_to_overcall(agreement)


def next_hands_table(agreement: Agreement) -> pd.DataFrame:
    """Return the probabilities of the next hand's calls over an opening of one of a suit.

    Columns ``opening``, ``action``, ``probability``; an opening's rows sum to its probability.
    """
    before = up_to_overcall(agreement)

    def compute() -> pd.DataFrame:
        table = every_cell(("opening", "action"))
        return table.assign(probability=funnel(before).actions.ravel())

    return typed(cached("next-hands", before, compute), "opening", "action")


def exact_table(agreement: Agreement, calls: bool) -> pd.DataFrame:
    """Return the probabilities of every overcall and, with ``calls``, of the responder's calls.

    Columns ``opening``, ``overcall``, ``call``, ``probability`` (float64, at least eleven correct
    digits); one row with the call :data:`ANY` for each of the 42 sequences, in their order, even if
    it is 0. The rows of the calls follow; those of a sequence sum to its ``any`` row.
    """
    before = up_to_overcall(agreement)

    def compute() -> pd.DataFrame:
        table = pd.DataFrame(SEQUENCE.names, columns=[*SEQUENCE.columns])
        return table.assign(call=ANY, probability=funnel(before).sequences)

    table = cached("overcalls", before, compute)
    if calls:
        # Above the ceiling there is only one call, so there is nothing to compute.
        above = table[[bid > agreement.response.double_through for _, bid in SEQUENCES]]
        above = above.assign(call=COLUMNS["call"].names[ABOVE_CEILING])
        table = pd.concat([table, _of_responder("calls", agreement), above], ignore_index=True)
    return typed(table, *SEQUENCE.columns, "call_or_any")


def doubles_table(agreement: Agreement) -> pd.DataFrame:
    """Return the probabilities of the double by message, reason and opener's cards.

    Columns ``opening``, ``overcall``, ``message``, ``reason``, ``opener_cards`` (in the promised suit,
    the longer of two) and ``probability``.
    """
    table = _of_responder("doubles", agreement)
    messages = dict(zip(SEQUENCE.names, messages_by_sequence(agreement), strict=True))
    sequences = zip(*(table[column] for column in SEQUENCE.columns), strict=True)
    position = table.columns.to_list().index("reason")
    table.insert(position, "message", [messages[sequence] for sequence in sequences])
    return typed(table, *SEQUENCE.columns, "message", "reason")


def fours_table(agreement: Agreement) -> pd.DataFrame:
    """Return how often a responder with four cards in each promised suit doubles and finds a fit.

    Columns ``opening`` and ``overcall``, and probabilities: ``four`` (exactly four cards in each suit
    that the double would promise), ``doubled_on_four`` (and the double) and ``fit`` (the double, and
    eight cards or more together in the opener's longest promised suit).
    """
    return typed(_of_responder("fours", agreement), *SEQUENCE.columns)


def opener_majors(agreement: Agreement) -> pd.DataFrame:
    """Return the opener's holding in each unbid major, by auction and by the responder's length.

    One row per cell of the count ``opener_majors``, in its order, with its columns, and
    ``probability`` (0 if the major was bid). ``naive``, ``after_opening`` and ``after_overcall`` are
    the chances given the responder's length: from its cards alone, which is the figure that players
    quote, given the opening, and given the overcall as well; NaN if the case is impossible.
    """
    before = up_to_overcall(agreement)

    def compute() -> pd.DataFrame:
        table = every_cell((SEQUENCE, "major", "responder_cards", "opener_holds"))
        chances = opener_major_chances(before)
        return table.assign(**{name: of.ravel() for name, of in chances.items()})

    table = cached("opener-majors", before, compute)
    return typed(table, *SEQUENCE.columns, "major", "opener_holds")


def compute_responder_calls(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = _no_progress,
    also: Iterable[Agreement] = (),
) -> None:
    """Compute the counts that :func:`exact_table` and :func:`doubles_table` need, unless cached.

    Agreements in ``also`` that the same counts serve get their calls at almost no cost. The work is
    done in ``workers`` processes, by default one per processor.
    """
    before = up_to_response(agreement)
    alike = {up_to_response(other): None for other in also if serves(agreement, other)}
    served = [before, *(other for other in alike if other != before)]
    if all(map(calls_cached, served)) and all(_cached(n, before) for n in ("doubles", "fours")):
        return
    ways = _ways(before, workers, progress)
    cached("doubles", before, lambda: _double_table(before, ways))
    cached("fours", before, lambda: _fours_table(before, ways))
    missing = [one for one in served if not calls_cached(one)]
    for one, calls in zip(missing, _call_tables(missing, ways), strict=True):
        cached("calls", one, lambda calls=calls: calls)  # type: ignore[misc]


def calls_cached(agreement: Agreement) -> bool:
    return _cached("calls", agreement)


def _cached(name: str, agreement: Agreement) -> bool:
    return if_cached(name, up_to_response(agreement)) is not None


def _of_responder(name: str, agreement: Agreement) -> pd.DataFrame:
    """Return a table of :func:`compute_responder_calls`, which is computed unless it is cached."""
    before = up_to_response(agreement)
    if (table := if_cached(name, before)) is None:
        compute_responder_calls(before)
        table = if_cached(name, before)
        assert table is not None, "just computed"  # noqa: S101
    return table


Ways = Mapping[tuple[int, int], ResponderWays]
"""The counts by the suit opened and the suit overcalled."""


def _ways(agreement: Agreement, workers: int | None, progress: Progress) -> Ways:
    rules = [*_pair_rules(agreement)]
    pack = Pack(agreement.hand.good_suit)
    counted = responder_ways(pack, rules, worker_count(workers), progress)
    pairs = [(of_pair.opened, of_pair.overcalled) for of_pair in rules]
    return dict(zip(pairs, counted, strict=True))


def _pair_rules(agreement: Agreement) -> Iterator[PairRules]:
    """Yield the pairs to count: each opening with each suit that may be overcalled.

    Through the double's ceiling the opener's lengths are counted as well, by the reason for a double
    and the responder's lengths.
    """
    opens = one_of_a_suit(agreement)
    through = agreement.response.double_through
    for opening in SUITS:
        _, bids = next_hand_calls(agreement, opening)
        for suit in (s for s in SUITS if s != opening):
            over = [bid for y, bid in SEQUENCES if (y, bid.denomination) == (opening, suit)]
            groups = {b.level: _groups(agreement, opening, b) for b in over if b <= through}
            overcalls = {bid.level: bids == bid.code for bid in over}
            yield PairRules(opening, suit, opens[opening], overcalls, groups)


def _situation(agreement: Agreement, opening: int, bid: Bid) -> Overcalled:
    hands = Hands(responder_hands(bid.denomination).words.ravel())
    return Overcalled.by(bid, hands, agreement, opening)


def responder_calls(agreement: Agreement, opening: int, bid: Bid) -> NDArray[np.int8]:
    """Return the call of every class of hands over the overcall ``bid``.

    Returns int8 of shape (560, 38, 2, 2), codes of the column ``call``: by shape, HCP, whether the
    suit overcalled is good and whether it is stopped.
    """
    calls = decide_call(_situation(agreement, opening, bid))
    return calls.reshape(responder_hands(bid.denomination).words.shape)


_MOST = FIT_TRUMPS
"""The responder's lengths in a suit are distinguished up to this one, which is a fit by itself."""
_GROUPS = (len(REASON.names), _MOST + 1, _MOST + 1)
"""The groups of hands that double: the reason, and cards in either unbid suit, the lower first."""


def _groups(agreement: Agreement, opening: int, bid: Bid) -> Ints:
    """Return the group of every class that doubles, -1 for the others; as :func:`responder_calls`."""
    situation, calls = _situation(agreement, opening, bid), responder_calls(agreement, opening, bid)
    unbid = _unbid(opening, bid.denomination)
    held = [np.minimum(situation.hands.lengths[s], _MOST) for s in unbid]
    groups = np.ravel_multi_index((REASON.decide(situation).name, *held), _GROUPS)
    return np.where(calls == DOUBLE_CALL, groups.reshape(calls.shape), -1)


def _unbid(opening: int, suit: int) -> list[int]:
    return [s for s in SUITS if s not in (opening, suit)]


def _by_group(agreement: Agreement, ways: Ways, opening: int, bid: Bid) -> Floats:
    """Return deals by reason, by the responder's two unbid suits and by the opener's."""
    fits = ways[opening, bid.denomination].fits[bid.level]
    whole = np.zeros((prod(_GROUPS), *fits.shape[1:]))
    whole[: len(fits)] = fits
    return whole.reshape(*_GROUPS, *fits.shape[1:])


def _in_reach(agreement: Agreement) -> Iterator[tuple[tuple[str, ...], int, Bid]]:
    """Yield each sequence through the ceiling: its names in tables, suit opened and overcall."""
    for (opening, bid), names in zip(SEQUENCES, SEQUENCE.names, strict=True):
        if bid <= agreement.response.double_through:
            yield names, opening, bid


def _call_tables(agreements: Sequence[Agreement], ways: Ways) -> list[pd.DataFrame]:
    """Return the calls under agreements that have the same overcalls."""
    rows: list[list[tuple[object, ...]]] = [[] for _ in agreements]
    known = COLUMNS["call"].names[:ABOVE_CEILING]
    for (opening, bid), names in zip(SEQUENCES, SEQUENCE.names, strict=True):
        in_class = ways[opening, bid.denomination].ways[bid.level].ravel()
        # Most classes are in no deal; the agreements share the properties of the others' hands.
        some = np.flatnonzero(in_class)
        hands = Hands(responder_hands(bid.denomination).words.ravel()[some])
        for agreement, of_agreement in zip(agreements, rows, strict=True):
            if bid <= agreement.response.double_through:
                calls = decide_call(Overcalled.by(bid, hands, agreement, opening))
                deals = np.bincount(calls, in_class[some], len(known)) / N_DEALS
                of_agreement += [(*names, *of_call) for of_call in zip(known, deals, strict=True)]
    columns = [*SEQUENCE.columns, "call", "probability"]
    return [pd.DataFrame(of_agreement, columns=columns) for of_agreement in rows]


def _double_table(agreement: Agreement, ways: Ways) -> pd.DataFrame:
    rows: list[tuple[object, ...]] = []
    for names, opening, bid in _in_reach(agreement):
        fits = _by_group(agreement, ways, opening, bid).sum(axis=(1, 2))
        lengths = _by_longest(fits, agreement, opening, bid)
        rows += [
            (*names, reason, cards, deals / N_DEALS)
            for reason, by_cards in zip(REASON.names, lengths, strict=False)
            for cards, deals in enumerate(by_cards)
            if deals
        ]
    columns = [*SEQUENCE.columns, "reason", "opener_cards", "probability"]
    return pd.DataFrame(rows, columns=columns)


def _by_longest(fits: Floats, agreement: Agreement, opening: int, bid: Bid) -> Floats:
    """Return deals by reason and by opener's cards in the promised suit, the longer of two."""
    promised = _situation(agreement, opening, bid).promised
    lengths = zip(_unbid(opening, bid.denomination), np.indices(fits.shape[1:]), strict=True)
    longest = np.maximum(*(np.where(promised[s].ravel()[0], of, 0) for s, of in lengths)).ravel()
    return np.array([np.bincount(longest, by.ravel(), HAND_CARDS + 1) for by in fits])


def _fours_table(agreement: Agreement, ways: Ways) -> pd.DataFrame:
    """Return a row for each sequence within the ceiling; see :func:`fours_table`."""
    rows: list[tuple[object, ...]] = []
    for names, opening, bid in _in_reach(agreement):
        situation = _situation(agreement, opening, bid)
        calls = responder_calls(agreement, opening, bid)
        in_class = ways[opening, bid.denomination].ways[bid.level]
        promised = [s for s in SUITS if situation.promised[s].ravel()[0]]
        four = np.all([situation.hands.lengths[s] == PROMISED_CARDS for s in promised], axis=0)
        four = four.reshape(calls.shape)
        deals = (
            in_class[four].sum(),
            in_class[four & (calls == DOUBLE_CALL)].sum(),
            _with_fit(
                _by_group(agreement, ways, opening, bid),
                _unbid(opening, bid.denomination),
                promised,
            ),
        )
        rows.append((*names, *(float(each) / N_DEALS for each in deals)))
    return pd.DataFrame(rows, columns=[*SEQUENCE.columns, "four", "doubled_on_four", "fit"])


def _with_fit(deals: Floats, unbid: Sequence[int], promised: Sequence[int]) -> float:
    """Return the deals with a fit in the opener's longest promised suit; of equals, the higher."""
    _, held_lower, held_higher, lower, higher = (
        np.arange(size).reshape(-1, *[1] * (deals.ndim - 1 - axis))
        for axis, size in enumerate(deals.shape)
    )
    in_lower = unbid[0] in promised and (unbid[1] not in promised)
    takes_lower = np.bool_(in_lower) if len(promised) == 1 else lower > higher
    together = np.where(takes_lower, held_lower + lower, held_higher + higher)
    return float((deals * (together >= FIT_TRUMPS)).sum())
