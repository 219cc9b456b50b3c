"""Tabulate deals: add up the cells of a count, take shares and averages, and put a table into words.

A :class:`Table` says which count its deals come from, by which columns they are added up, and of what
they are a share, and builds itself from a run. :mod:`double_study.tables` lists them all.
"""

import re
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, PASS
from double_study.cards.hands import SHAPE
from double_study.columns import COLUMNS, label_of, typed
from double_study.counting.record import Counted
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import Count
from double_study.numbers_in_words import from_to, listed
from double_study.rules.response import double_needs
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import SEQUENCE, cheapest_level, every_sequence, sequence_wording
from double_study.stats import CONFIDENCE, compared, mean_reach, parts_differ, with_intervals

AUCTION = SEQUENCE.columns
IN_SUIT = ("game", "part_score_fit", "part_score_no_fit")
"""Final contracts of our side in a suit."""
_IN_NOTRUMP = ("three_notrump", "notrump_part_score")
QUANTILES = {"tenth": 0.1, "median": 0.5, "ninetieth": 0.9}
"""The columns of quantiles, and the share of the hands at which each stands."""

# --- cells, and the columns derived from them ---


def cells(run: Counted, count: Count, columns: Sequence[str]) -> pd.DataFrame:
    """Return the cells of a count that have deals, with ``columns`` among theirs."""
    found = run.tally.frame(count)
    for column in columns:
        if column in FACTS and column not in found:
            found = with_facts(found, run.agreement, column)
        elif column in DERIVED and column not in found:
            found = DERIVED[column](found)
    return found


FACTS = ("level", "message", "asked", "topic", "jump", "above")
"""The columns of :func:`auction_facts`."""


def with_facts(found: pd.DataFrame, agreement: Agreement, *facts: str) -> pd.DataFrame:
    """Return ``found`` with some columns of :func:`auction_facts` beside their auction."""
    new = [fact for fact in facts if fact not in found]
    known = auction_facts(agreement)[[*AUCTION, *new]]
    return found.merge(known, on=list(AUCTION), how="left", validate="many_to_one")


def auction_facts(agreement: Agreement) -> pd.DataFrame:
    """Return what each opening and overcall settles, one row per auction.

    Columns ``opening``, ``overcall``, ``level``, ``message``, ``asked`` (total points that the double
    needs), ``topic`` (what a lesson has as one topic), ``jump`` and ``above`` (whether the overcall is a
    jump, and above the double's ceiling).
    """
    s = every_sequence(agreement)
    opening, overcall, level = s.auction
    facts = SEQUENCE.frame().assign(
        **COLUMNS["message"].filled(s.message),
        level=level,
        asked=double_needs(agreement, level, overcall),
        jump=level > cheapest_level(overcall, opening),
        above=s.overcall_bid > agreement.response.double_through.code,
    )
    pairs = zip(facts["message"], facts["level"], strict=True)
    return typed(facts.assign(topic=[f"{message}_{level}" for message, level in pairs]), "topic")


def _outcome(found: pd.DataFrame) -> pd.DataFrame:
    """Add whether the pair had a fit of eight cards and whether it was found."""
    contract, there = found["final_contract"], found["longest_fit"] >= FIT_TRUMPS
    suit, notrump = contract.isin(IN_SUIT), contract.isin(_IN_NOTRUMP)
    theirs = contract == "their_contract"
    outcome = {
        "fit_found": suit & (found["in_fit"] == 1),
        "fit_missed": suit & there,
        "no_fit_in_suit": suit,
        "fit_but_notrump": notrump & there,
        "no_fit_in_notrump": notrump,
        "fit_but_theirs": theirs & there,
        "no_fit_theirs": theirs,
    }
    chosen = np.select(list(outcome.values()), list(outcome), default=contract.astype(object))
    return typed(found.assign(outcome=chosen), "fit_outcome")


def _penalty(found: pd.DataFrame) -> pd.DataFrame:
    """Add whether a responder who wanted a penalty gets it."""
    advancer, opener = found["advancer"], found["reopening"]
    chosen = np.select(
        [advancer != PASS, opener == DOUBLE, opener == "double_taken_out", opener == PASS],
        ["advancer_bids", "had", "taken_out", "passed_out"],
        default="opener_bids",
    )
    return typed(found.assign(penalty=chosen), "penalty")


def _pattern(found: pd.DataFrame) -> pd.DataFrame:
    """Add the shape, suits aside, such as 4-4-3-2."""
    lengths = -np.sort(-found[list(SHAPE.columns)].to_numpy(), axis=1)
    return found.assign(pattern=["-".join(map(str, row)) for row in lengths.tolist()])


DERIVED: Mapping[str, Callable[[pd.DataFrame], pd.DataFrame]] = {
    "outcome": _outcome,
    "penalty": _penalty,
    "pattern": _pattern,
}
"""Columns that follow from a count's own columns."""

# --- sums, shares and averages ---


def summed(found: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Return the deals of some cells added up by ``keys``, in order."""
    return found.groupby(list(keys), as_index=False, observed=True)[["deals"]].sum()


def shares(found: pd.DataFrame, keys: Sequence[str], of: Sequence[str] = ()) -> pd.DataFrame:
    """Return deals by ``keys``, and their share of all deals with the same ``of``, a part of the keys.

    Columns: the keys, ``deals``, ``of``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise).
    """
    table = summed(found, keys)
    same = table.groupby(list(of) or np.zeros(len(table)), observed=True)
    return with_intervals(table.assign(of=same["deals"].transform("sum")))


def share(found: pd.DataFrame, hits: str, keys: Sequence[str]) -> pd.DataFrame:
    """Return the deals that meet the query ``hits``, as a share of all deals with the same ``keys``."""
    chosen = found.index.isin(found.query(hits).index)
    counted = found.assign(of=found["deals"], deals=found["deals"].where(chosen, 0))
    table = counted.groupby(list(keys), as_index=False, observed=True)[["deals", "of"]].sum()
    return with_intervals(table[table["of"] > 0].reset_index(drop=True))


def rows(table: pd.DataFrame, **where: object) -> list[dict[Hashable, Any]]:
    """Return the rows of ``table`` with these values, each a mapping of column to value."""
    for column, value in where.items():
        table = table[table[column] == value]
    return table.to_dict("records")


def auctions(table: pd.DataFrame) -> list[str]:
    """Return each row's opening and overcall as players write them: ``1♦ (1♠)``."""
    return [sequence_wording(row) for row in table[[*AUCTION]].to_dict("records")]


def span(table: pd.DataFrame, said: str, column: str = "estimate") -> str:
    """Return in words what lies at both ends of ``column``: ``from 17% at level 2 to 24% at level 1``.

    ``said`` is a format of the table's columns, such as ``"{estimate:.0%} at level {level}"``;
    categories stand there as readers see them.
    """
    ends = table.sort_values(column, kind="stable").iloc[[0, -1]].astype(object)
    for name in table.select_dtypes("category"):
        ends[name] = [label_of(str(name), value) for value in ends[name]]
    return from_to(*ends.apply(said.format_map, axis=1))


def most_frequent(table: pd.DataFrame, column: str) -> str:
    """Return in words the value of ``column`` with most deals, and those not distinguished from it.

    However many values are compared with the first, one that is just as frequent is left out at most
    one time in twenty (Bonferroni).
    """
    ranked = table.sort_values("deals", ascending=False, kind="stable")
    first, *others = (
        (label_of(column, value), deals)
        for value, deals in zip(ranked[column], ranked["deals"], strict=True)
    )
    confidence = 1 - (1 - CONFIDENCE) / max(len(others), 1)
    ties = [name for name, deals in others if not parts_differ(first[1], deals, confidence)]
    return f"{first[0]}, not distinguished here from {listed(ties)}" if ties else first[0]


def averages(found: pd.DataFrame, keys: Sequence[str], value: str) -> pd.DataFrame:
    """Return by ``keys``: deals, the mean of a whole number with its interval, and its quantiles.

    The interval is Student's; it is missing for a single deal, and if all deals have one value.
    A quantile is the smallest value that the stated share of the deals does not exceed.
    """
    rows = []
    for names, part in found.groupby(list(keys), observed=True):
        deals, at = part["deals"].to_numpy(), part[value].to_numpy()
        n, mean = deals.sum(), np.average(at, weights=deals)
        reach = mean_reach(np.cov(at, fweights=deals) if n > 1 else np.nan, n)
        quantiles = np.quantile(
            at, [*QUANTILES.values()], weights=deals, method="inverted_cdf"
        ).tolist()
        rows.append((*names, n, mean, mean - reach, mean + reach, *quantiles))
    columns = [*keys, "deals", *COLUMNS["mean"].columns, *QUANTILES]
    # An empty table does not infer its types.
    whole = {name: found[value].dtype for name in QUANTILES}
    kinds = {name: found[name].dtype for name in (*keys, "deals")}
    return pd.DataFrame(rows, columns=columns).astype({**kinds, **whole})


def with_exact(table: pd.DataFrame) -> pd.DataFrame:
    """Append ``z`` and ``p_value`` to a table and move ``exact`` in front of them."""
    exact = table.pop("exact")
    return table.assign(exact=exact, **compared(table["deals"], table["of"], exact))


# --- a table as a specification ---


@dataclass(frozen=True)
class Table:
    """One table.

    Parameters
    ----------
    name, title
        What it is called in files, and for readers.
    source
        The count that its deals come from; or a function of the run that makes the whole table, where
        the other fields cannot specify it; or :data:`LEFT`.
    by
        The columns by which those deals are added up, separated by spaces; they are the table's primary
        key. A column that the count lacks is derived from those that it has (:func:`cells`).
    of
        The columns within which a share is taken: of all deals with the same values there. Without
        ``of`` and ``hits`` the table has counts alone.
    hits, where
        Queries. The share is that of the deals that meet ``hits`` among those with the same values of
        ``by``; only deals that meet ``where`` count.
    sessions
        Whether the table says how often one partnership meets each row.
    then
        Function of the run and the table that makes the final table.
    key
        The primary key, if different from ``by``.
    whole, within
        In files the share is named by its whole, one of :data:`double_study.columns.WHOLES`:
        ``share_of_doubles``; by default by what the count is of (:data:`_COUNTED`). ``within`` says of
        which of them, where ``of`` and ``by`` do not.
    file
        Whether a run writes the table to disk.
    """

    name: str
    title: str
    source: Count | Callable[[Any], pd.DataFrame] | None
    by: str
    of: str | None = None
    hits: str = ""
    where: str = ""
    sessions: bool = False
    then: Callable[[Any, pd.DataFrame], pd.DataFrame] = lambda run, table: table
    key: str = ""
    whole: str = ""
    within: str = ""
    file: bool = True

    def __post_init__(self) -> None:
        if isinstance(self.source, Count) and (self.hits or self.of is not None):
            object.__setattr__(self, "whole", self.whole or _COUNTED[self.source.on])

    @property
    def left(self) -> bool:
        return self.source is LEFT

    @property
    def share_of(self) -> str:
        """Return in words the whole of the table's shares."""
        keys = (self.by if self.hits else self.of or "").split()
        noun = self.whole.replace("_", "-")
        return self.within or (
            f"the {noun} with the same {listed(keys)}" if keys else f"all {noun}"
        )

    @property
    def path(self) -> str:
        """The file's name in the folder of tables."""
        return f"{self.name}.csv"

    @property
    def primary_key(self) -> tuple[str, ...]:
        return tuple((self.key or self.by).split())

    def build(self, run: Counted) -> pd.DataFrame:
        if not isinstance(self.source, Count):
            assert self.source is not LEFT  # noqa: S101 - a notebook writes that table
            return self.source(run)
        keys = self.by.split()
        found = cells(run, self.source, [*keys, *re.findall(r"\w+", self.hits)])
        if self.where:
            found = found.query(self.where)
        if self.hits:
            table = share(found, self.hits, keys)
        elif self.of is not None:
            table = shares(found, keys, self.of.split())
        else:
            table = summed(found, keys)
        return self.then(run, with_sessions(table, run.tally.deals) if self.sessions else table)


LEFT = None
"""The source of a table that a notebook of the report writes (:func:`double_study.datapackage.leave`)."""

_COUNTED = {
    "overcalled": "overcalls",
    "doubled": "doubles",
    "in_a_suit": "part_scores",
    "would_defend": "hands",
}
"""What a count is of, by its stage."""
