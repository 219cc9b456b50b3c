"""The tables of a run, as specifications.

A :class:`Table` says which count its deals come from, by which columns they are added up, and of what
they are a share; one builder makes it. To add a table, add a specification to :data:`TABLES` and any
new column to ``columns.toml``. A run builds each table once: ``run.table("doubles_by_level")``.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.cards.bids import DOUBLE, PASS, SUITS
from double_study.cards.deal import HAND_CARDS
from double_study.cards.hands import SHAPE
from double_study.checking.claims import claims
from double_study.checking.comparison import counterparts, families, joint_tests
from double_study.checking.families import Family
from double_study.columns import COLUMNS, Row, label_of, typed
from double_study.combinatorics.table import (
    ANY,
    doubles_table,
    exact_table,
    fours_table,
    next_hands_table,
    opener_majors,
)
from double_study.combinatorics.two_hands import PARTNERSHIP_CARDS, chance_of_holding
from double_study.counting import run as study
from double_study.counting.counts import (
    BEST_FITS,
    CALL_COUNTS,
    COMBINED_HCP,
    CONTRACTS,
    DOUBLE_COUNTS,
    DOUBLE_HCP,
    DOUBLE_POINTS,
    DOUBLE_SHAPES,
    EVERY_OPENING,
    LANDING_POINTS,
    NEXT_HANDS,
    OPENER_MAJORS,
    PASS_COUNTS,
    PENALTIES,
    PROMISED,
    RULE_COUNTS,
    SPADE_RAISES,
)
from double_study.counting.record import HANDED_OVER, Counted
from double_study.counting.sessions import with_sessions
from double_study.counting.tally import Count
from double_study.errors import DoesNotApply, InputError
from double_study.escape import markdown
from double_study.lessons.pitfalls import PITFALLS
from double_study.rules.advancer import ADVANCER
from double_study.rules.answer import ANSWER, SPADE_RAISE
from double_study.rules.contested import CONTESTED_ANSWER, CONTESTED_END, OVERCALLER
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION
from double_study.rules.explain import RULE_TABLES
from double_study.rules.opening import OPENING, opening_rules
from double_study.rules.overcall import OVERCALL
from double_study.rules.reopening import REOPENING
from double_study.rules.response import DOUBLE_CALL, PROMISED_CARDS, REASON, RESPONSE, double_needs
from double_study.rules.settle import FIT_TRUMPS
from double_study.rules.terms import (
    FOUR_OR_MORE,
    MANY,
    SEQUENCE,
    cheapest_level,
    every_sequence,
    opener_holds,
)
from double_study.stats import (
    CONFIDENCE,
    GoodnessOfFit,
    compared,
    goodness_of_fit,
    mean_reach,
    parts_differ,
    ratio,
    wilson,
    with_intervals,
)
from double_study.words import from_to, listed

AUCTION = SEQUENCE.columns
WITHIN_REACH = "call != 'above_ceiling'"
DOUBLED = f"call == '{DOUBLE}'"
QUANTILES = {"tenth": 0.1, "median": 0.5, "ninetieth": 0.9}
"""The columns of quantiles, and the share of the hands at which each stands."""


READING_DEALS = 2_000_000
"""Deals that a notebook counts for itself when it is opened by hand: a matter of seconds."""


class Run(Counted):
    """A counted run with its tables."""

    @cached_property
    def _built(self) -> dict[str, pd.DataFrame]:
        return {}

    @cached_property
    def families(self) -> list[Family]:
        """Every count that has an exact counterpart, and the tests of independence."""
        return families(self)

    @property
    def doubled(self) -> bool:
        """Whether the run has any double."""
        return bool(self.tally[CALL_COUNTS.name][..., DOUBLE_CALL].any())

    def needs_doubles(self) -> None:
        """Raise :class:`DoesNotApply`, which ends a notebook's page, if the run has no doubles."""
        if not self.agreement.response.double:
            raise DoesNotApply(
                f"*This page does not apply: under the agreement “{markdown(self.agreement.name)}” the "
                "negative double is not played.*"
            )
        if not self.doubled:
            raise DoesNotApply(
                f"*This page does not apply: in {self.tally.deals:,} deals the responder never doubled.*"
            )

    def table(self, name: str) -> pd.DataFrame:
        """Return one of :data:`TABLES`; raise :class:`InputError` for any other name."""
        if name not in SPECIFIED or SPECIFIED[name].left:
            known = (table.name for table in TABLES if not table.left)
            raise InputError(f"there is no table {name!r}; allowed: {', '.join(known)}")
        if name not in self._built:
            self._built[name] = SPECIFIED[name].build(self)
        return self._built[name].copy()


@lru_cache
def open_run(
    deals: int = READING_DEALS, seed: int = study.DEFAULT_SEED, agreement: str = REFERENCE.name
) -> Run:
    """Count a run, or return the run that a report passes to its notebooks.

    If the environment names a run (see :data:`double_study.counting.record.HANDED_OVER`), return that
    run whatever the arguments.
    """
    if path := os.environ.get(HANDED_OVER):
        return Run.handed_over(Path(path))
    by = load(agreement)
    tally = study.count(int(deals), seed, by, progress=False)
    return Run.of(tally, seed, by)


@dataclass(frozen=True)
class Table:
    """One table.

    Parameters
    ----------
    name, title
        What it is called in files, and for readers.
    count
        The count that its deals come from.
    by
        The columns by which those deals are added up; they are the table's primary key. A column that
        the count lacks is derived from those that it has (:data:`DERIVED`).
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
    make
        Function of the run that makes the whole table, if the other fields cannot specify it.
    key
        The primary key, if different from ``by``.
    whole, within
        In files the share is named by its whole, one of :data:`double_study.columns.WHOLES`:
        ``share_of_doubles``. ``within`` says of which of them, where ``of`` and ``by`` do not.
    file
        Whether a run writes the table to disk.
    left
        Whether a notebook of the report writes the table (:func:`double_study.datapackage.leave`).
    """

    name: str
    title: str
    count: Count | None = None
    by: Sequence[str] = ()
    of: Sequence[str] | None = None
    hits: str = ""
    where: str = ""
    sessions: bool = False
    then: Callable[[Run, pd.DataFrame], pd.DataFrame] | None = None
    make: Callable[[Run], pd.DataFrame] | None = None
    key: Sequence[str] = ()
    whole: str = ""
    within: str = ""
    file: bool = True
    left: bool = False

    @property
    def share_of(self) -> str:
        """Return in words the whole of the table's shares."""
        keys = self.by if self.hits else self.of
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
        return tuple(self.key or self.by)

    def build(self, run: Run) -> pd.DataFrame:
        if self.make:
            return self.make(run)
        assert self.count is not None  # noqa: S101 - for the type checker
        found = cells(
            run, self.count, [*self.by, *(c for c in DERIVED if re.search(rf"\b{c}\b", self.hits))]
        )
        if self.where:
            found = found.query(self.where)
        if self.hits:
            table = share(found, self.hits, self.by)
        elif self.of is not None:
            table = shares(found, self.by, self.of)
        else:
            table = summed(found, self.by)
        if self.sessions:
            table = with_sessions(table, run.tally.deals)
        return self.then(run, table) if self.then else table


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


_IN_SUIT = ("game", "part_score_fit", "part_score_no_fit")
_IN_NOTRUMP = ("three_notrump", "notrump_part_score")


def _outcome(found: pd.DataFrame) -> pd.DataFrame:
    """Add whether the pair had a fit of eight cards and whether it was found."""
    contract, there = found["final_contract"], found["longest_fit"] >= FIT_TRUMPS
    suit, notrump = contract.isin(_IN_SUIT), contract.isin(_IN_NOTRUMP)
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
    if of:
        table["of"] = table.groupby(list(of), observed=True)["deals"].transform("sum")
    else:
        table["of"] = table["deals"].sum()
    return with_intervals(table, "deals", "of")


def share(found: pd.DataFrame, hits: str, keys: Sequence[str]) -> pd.DataFrame:
    """Return the deals that meet the query ``hits``, as a share of all deals with the same ``keys``."""
    return share_where(found, found.index.isin(found.query(hits).index), keys)


def share_where(found: pd.DataFrame, chosen: Any, keys: Sequence[str]) -> pd.DataFrame:
    """Return the ``chosen`` deals as a share of all deals with the same ``keys``."""
    counted = found.assign(of=found["deals"], deals=found["deals"].where(chosen, 0))
    table = counted.groupby(list(keys), as_index=False, observed=True)[["deals", "of"]].sum()
    return with_intervals(table[table["of"] > 0].reset_index(drop=True), "deals", "of")


def merged(table: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Merge, by ``keys``, rows that are shares of different deals."""
    sums = table.groupby(list(keys), as_index=False, observed=True)[["deals", "of"]].sum()
    return with_intervals(sums, "deals", "of")


def rows(table: pd.DataFrame, **where: object) -> list[dict[Hashable, Any]]:
    """Return the rows of ``table`` with these values, each a mapping of column to value."""
    chosen = np.ones(len(table), dtype=np.bool_)
    for column, value in where.items():
        chosen &= (table[column] == value).to_numpy()
    return table[chosen].to_dict("records")


def auctions(table: pd.DataFrame) -> list[str]:
    """Return each row's opening and overcall as players write them: ``1♦ (1♠)``."""
    opening, overcall = (COLUMNS[column].wording for column in AUCTION)
    return [f"{opening(row[0])} ({overcall(row[1])})" for row in table[[*AUCTION]].to_numpy()]


def extremes(table: pd.DataFrame, column: str = "estimate") -> tuple[Row, Row]:
    """Return the rows with the lowest and the highest value of ``column``; a single row twice."""
    ranked = table.sort_values(column, kind="stable").to_dict("records")
    return ranked[0], ranked[-1]


def span(table: pd.DataFrame, said: str, column: str = "estimate") -> str:
    """Return in words what lies at both ends of ``column``: ``from 17% at level 2 to 24% at level 1``.

    ``said`` is a format of the table's columns, such as ``"{estimate:.0%} at level {level}"``;
    categories stand there as readers see them.
    """
    categories = table.select_dtypes("category").columns
    worded = table.copy()
    for name in categories:
        worded[name] = [label_of(str(name), value) for value in table[name]]
    return from_to(
        *(said.format_map({str(k): v for k, v in row.items()}) for row in extremes(worded, column))
    )


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
    for names, part in found.sort_values(value).groupby(list(keys), observed=True):
        deals, at = part["deals"].to_numpy(), part[value].to_numpy(dtype=np.float64)
        n = deals.sum()
        mean = float(deals @ at / n)
        spread = deals @ (at - mean) ** 2 / (n - 1) if n > 1 else np.nan
        reach = float(mean_reach(spread, n))
        reached = np.cumsum(deals) / n
        quantiles = (int(at[np.searchsorted(reached, part)]) for part in QUANTILES.values())
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


# --- the tables that no specification covers ---


def _steps(run: Run, opened: int, calls: pd.DataFrame) -> pd.DataFrame:
    """Return how far auctions went, each step as a share of the one before and of all deals."""
    deals = [opened, *(calls.query(q)["deals"].sum() for q in ("deals > 0", WITHIN_REACH, DOUBLED))]
    table = COLUMNS["step"].frame().assign(deals=deals)
    before = pd.DataFrame({"deals": deals, "of": [run.tally.deals, *deals[:-1]]})
    table["of"] = run.tally.deals
    table = with_intervals(table, "deals", "of")
    table[[*COLUMNS["given"].columns]] = (
        with_intervals(before, "deals", "of").iloc[:, 2:].to_numpy()
    )
    return with_sessions(table, run.tally.deals)


def _funnel(run: Run) -> pd.DataFrame:
    return _steps(run, run.tally[NEXT_HANDS.name].sum(), run.table("calls"))


def _funnel_by_seat(run: Run) -> pd.DataFrame:
    """Return the funnel by the opener's seat, with the exact value for seat 1."""
    opened, calls = run.tally[NEXT_HANDS.name].sum(axis=(1, 2)), run.table("calls")
    seats = COLUMNS["seat"].names
    parts = [
        _steps(run, deals, calls[calls["seat"] == seat])
        for seat, deals in zip(seats, opened, strict=True)
    ]
    table = pd.concat(parts, keys=seats, names=["seat"]).reset_index("seat").reset_index(drop=True)
    exact = exact_table(run.agreement, run.exact_calls)
    whole = exact[exact["call"] == ANY].merge(auction_facts(run.agreement), on=list(AUCTION))
    doubled = exact.query(DOUBLED)["probability"]
    known = {
        "opened": next_hands_table(run.agreement)["probability"].sum(),
        "overcalled": whole["probability"].sum(),
        "within_reach": whole[~whole["above"]]["probability"].sum(),
        "doubled": doubled.sum() if len(doubled) else np.nan,
    }
    table["exact"] = table["step"].map(known).astype(float).where(table["seat"] == 1)
    return with_exact(table)


def _first_seat_calls(run: Run) -> pd.DataFrame:
    """Return overcalls, and the responder's calls, in first seat beside their exact values."""
    keys = [*AUCTION, "call"]
    counted = run.table("calls").query("seat == 1")
    whole = summed(typed(counted.assign(call=ANY), "call_or_any"), keys)
    counted = pd.concat([typed(counted[[*keys, "deals"]], "call_or_any"), whole])
    exact = exact_table(run.agreement, run.exact_calls).rename(columns={"probability": "exact"})
    table = exact.merge(counted, on=keys, how="left")
    table["deals"] = table["deals"].fillna(0).astype(np.int64)
    table["of"] = run.tally.deals
    return with_exact(with_intervals(table[[*keys, "deals", "of", "exact"]], "deals", "of"))


def first_seat_fit(table: pd.DataFrame) -> GoodnessOfFit:
    """Return the joint test of the table ``first_seat_calls`` over its finest cells and the rest."""
    fine = table["call"] != ANY
    found = table[fine] if fine.any() else table
    seen, chances = found["deals"].to_numpy(), found["exact"].to_numpy()
    rest = found["of"].iloc[0] - seen.sum(), 1 - chances.sum()
    return goodness_of_fit(np.append(seen, rest[0]), np.append(chances, rest[1]))


def _with_of_all(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    of_all = with_intervals(table[["deals"]], "deals", run.tally.deals)
    table[[*COLUMNS["of_all"].columns]] = of_all[[*COLUMNS["estimate"].columns]]
    return table


def _meetings(run: Run) -> pd.DataFrame:
    """Return how often one partnership meets a double, and each kind of double."""
    found = cells(run, DOUBLE_COUNTS, ["level", "message"]).assign(call=DOUBLE)
    parts = [
        summed(found, [grouping]).rename(columns={grouping: "case"}).astype({"case": str})
        for grouping in COLUMNS["grouping"].names
    ]
    table = pd.concat(parts, keys=COLUMNS["grouping"].names, names=["grouping"])
    table = typed(table.reset_index("grouping").reset_index(drop=True), "grouping")
    return with_sessions(
        with_intervals(table.assign(of=run.tally.deals), "deals", "of"), run.tally.deals
    )


def _ranked(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    """Return a table of shares, most frequent first, with their cumulative share."""
    table = table.sort_values("deals", ascending=False, kind="stable", ignore_index=True)
    table.insert(0, "rank", np.arange(1, len(table) + 1))
    so_far = table["deals"].cumsum()
    table["cumulated"] = so_far / table["of"]
    table["cumulated_low"], table["cumulated_high"] = wilson(so_far, table["of"])
    return with_sessions(table, run.tally.deals)


def _by_size(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    return table.sort_values(["of", "deals"], ascending=False, kind="stable", ignore_index=True)


def _pitfalls(run: Run) -> pd.DataFrame:
    """Return the common mistakes whose case came up, ordered by how often their look-alikes did."""
    counted = [(case.name, case.deals(run), case.deals_alike(run)) for case in PITFALLS]
    table = pd.DataFrame(
        [row for row in counted if row[1] > 0], columns=["pitfall", "deals", "alike"]
    ).astype({"pitfall": COLUMNS["pitfall"].dtype, "deals": np.int64, "alike": np.int64})
    table = table.sort_values("alike", ascending=False, kind="stable", ignore_index=True)
    table.insert(2, "of", run.table("doubles")["deals"].sum())
    table = with_intervals(table, "deals", "of")
    both = table["deals"] + table["alike"]
    table["right"] = table["deals"] / both
    table["right_low"], table["right_high"] = wilson(table["deals"], both)
    return with_sessions(table, run.tally.deals)


_POINTS = {"total_points": DOUBLE_POINTS, "hcp": DOUBLE_HCP, "combined_hcp": COMBINED_HCP}


def _values(key: str) -> Callable[[Run], pd.DataFrame]:
    """Return mean and quantiles of the doubler's points, and the fewest with which the agreement
    doubles.
    """

    def make(run: Run) -> pd.DataFrame:
        parts = []
        for measure, count in _POINTS.items():
            found = cells(run, count, [key, "asked"])
            part = averages(found, [key], measure)
            asked = found.groupby(key, observed=True)["asked"].min()
            part.insert(1, "asked", asked.loc[part[key]].to_numpy())
            part.insert(0, "measure", measure)
            parts.append(part)
        return typed(pd.concat(parts, ignore_index=True), "measure")

    return make


def _lengths(run: Run) -> pd.DataFrame:
    """Return the responder's cards in each suit by the suit's part in the auction."""
    found = cells(run, DOUBLE_SHAPES, ["message", "level"])
    held = found[list(SHAPE.columns)].to_numpy()
    situation, sequence = every_sequence(run.agreement), SEQUENCE.codes(found)
    opening, overcall, _ = (part[sequence] for part in situation.auction)
    promised, suit = situation.promised.T[sequence], np.array(SUITS)
    other = ~promised & (suit != opening[:, None]) & (suit != overcall[:, None])
    rows = np.arange(len(found))
    everywhere = np.ones(len(found), dtype=np.bool_)
    by_role = {
        "promised": (np.where(promised, held, -1).max(axis=1), everywhere),
        "promised_shorter": (np.where(promised, held, 99).min(axis=1), promised.sum(axis=1) > 1),
        "opened": (held[rows, opening], everywhere),
        "overcalled": (held[rows, overcall], everywhere),
        "other": (np.where(other, held, 0).sum(axis=1), other.any(axis=1)),
    }
    parts = [
        found.assign(role=role, cards=cards)[there] for role, (cards, there) in by_role.items()
    ]
    keys = ["message", "level", "role"]
    return shares(typed(pd.concat(parts), "role"), [*keys, "cards"], keys)


def _spade_raises(run: Run) -> pd.DataFrame:
    found = run.tally.frame(SPADE_RAISES)
    held = COLUMNS["opener_spades_held"].filled(opener_holds(found["opener_spades"]))
    return shares(found.assign(**held), ["opening", "opener_spades", "answer"], ["opening"])


def _without_fit(run: Run) -> pd.DataFrame:
    """Return how often a suit without eight trumps is played, as a share of the doubles at a level."""
    found = run.tally.frame(CONTRACTS)
    found["bad"] = found["final_contract"].isin(_IN_SUIT) & (found["trumps"] < FIT_TRUMPS)
    table = shares(found, ["level", "bad", "last_level"], ["level"])
    return table[table["bad"]].drop(columns="bad").reset_index(drop=True)


def _part_scores(run: Run) -> pd.DataFrame:
    found = run.tally.frame(LANDING_POINTS)
    return found[found["final_contract"].isin(_IN_SUIT[1:])]


def _with_points(keys: Sequence[str]) -> Callable[[Run, pd.DataFrame], pd.DataFrame]:
    """Return both hands' HCP in the part-scores in a suit, beside a table by ``keys``."""

    def add(run: Run, table: pd.DataFrame) -> pd.DataFrame:
        points = averages(_part_scores(run), keys, "combined_hcp").drop(columns="deals")
        return table.merge(points, on=list(keys), validate="one_to_one")

    return add


def _doubles_beside(run: Run, table: pd.DataFrame) -> pd.DataFrame:
    """Add the doubles at each level, and how many there are for each penalty pass."""
    doubled = share(cells(run, CALL_COUNTS, ["level"]).query(WITHIN_REACH), DOUBLED, ["level"])
    table["doubles"] = doubled["deals"]
    table["ratio"], table["ratio_low"], table["ratio_high"] = ratio(
        table["doubles"], table["deals"]
    )
    return with_sessions(table, run.tally.deals)


_CHANCES = [
    *("overcalled", "of_openings", "of_overcalls", "doubled", "naive", "after_overcall"),
    *("given_double", "fit_given_double", "double_given_four"),
]


def _exact_by_auction(run: Run) -> pd.DataFrame:
    """Return the double by opening and overcall without dealing, in first seat.

    ``of_openings`` is the chance of the overcall once the opening is made, ``fit_given_double`` that
    of eight cards together in opener's longest promised suit once the double is, and
    ``double_given_four`` that of the double on exactly four cards in each suit that it promises.
    Three chances that opener has four or more in its longest promised suit stand side by side:
    ``naive``, given only that responder holds four cards in each promised suit; ``after_overcall``,
    given the two bids as well (missing if two suits are promised); and ``given_double``, given the
    double. There are no rows if the run has no exact calls of the responder.
    """
    facts = auction_facts(run.agreement)
    if not run.exact_calls:
        return facts[:0].reindex(columns=[*AUCTION, "message", *_CHANCES])
    table = facts.assign(naive=_naive(run.agreement))[~facts["above"]].set_index(list(AUCTION))
    exact, doubles = exact_table(run.agreement, calls=True), doubles_table(run.agreement)
    table["overcalled"] = _by_auction(exact[exact["call"] == ANY])
    table["doubled"] = _by_auction(exact.query(DOUBLED))
    many = _by_auction(doubles[doubles["opener_cards"] >= MANY])
    fours = fours_table(run.agreement).set_index(list(AUCTION))
    opened = next_hands_table(run.agreement).groupby("opening", observed=True)["probability"].sum()
    table = table[table["overcalled"] > 0].fillna({"doubled": 0.0})
    of_opening = table.index.get_level_values("opening").map(opened.to_dict()).astype(float)
    table["of_openings"] = table["overcalled"] / of_opening
    table["of_overcalls"] = table["doubled"] / table["overcalled"]
    table["fit_given_double"] = fours["fit"] / table["doubled"]
    table["double_given_four"] = fours["doubled_on_four"] / fours["four"]
    table["given_double"] = many.reindex(table.index) / table["doubled"]
    table["after_overcall"] = _after_overcall(run.agreement)
    return table.reset_index()[[*AUCTION, "message", *_CHANCES]]


def _naive(agreement: Agreement) -> list[float]:
    """Return for every auction the chance from the responder's cards alone."""
    unseen, elsewhere = HAND_CARDS - PROMISED_CARDS, PARTNERSHIP_CARDS
    few = range(MANY)
    one = sum(
        chance_of_holding(cards, unseen, HAND_CARDS, elsewhere)
        for cards in range(MANY, HAND_CARDS + 1)
    )
    two = 1 - sum(
        chance_of_holding(first, unseen, HAND_CARDS, elsewhere)
        * chance_of_holding(second, unseen, HAND_CARDS - first, elsewhere - unseen + first)
        for first in few
        for second in few
    )
    singles = every_sequence(agreement).one_suit_promised
    return [float(one if single else two) for single in singles]


def _after_overcall(agreement: Agreement) -> pd.Series[float]:
    """Return the chance with both bids known, by auction, if one suit, a major, is promised."""
    table = opener_majors(agreement)
    table = table[(table["responder_cards"] == PROMISED_CARDS) & table["after_overcall"].notna()]
    table = table[table["opener_holds"] == FOUR_OR_MORE]
    # If both majors are unbid, the double promises two suits.
    table = table[~table.duplicated(list(AUCTION), keep=False)]
    return table.set_index(list(AUCTION))["after_overcall"]


def _by_auction(table: pd.DataFrame) -> pd.Series[float]:
    return table.groupby(list(AUCTION), observed=True)["probability"].sum()


def opener_in_major(run: Counted, responder_cards: int) -> pd.DataFrame:
    """Return first-seat opener's holding in each unbid major, opposite a length of responder's.

    One row per auction, unbid major and holding (0 to 2, 3, 4 or more): ``opening``, ``overcall``,
    ``major``, ``opener_holds``, ``probability`` (of the auction, per deal, whatever anyone holds),
    ``naive``, ``after_opening``, ``exact`` (after the overcall as well), and the run's ``deals``,
    ``of``, ``estimate``, ``low``, ``high``, ``z``, ``p_value``. The most frequent auctions stand
    first; impossible cases are left out.
    """
    table = opener_majors(run.agreement).assign(deals=run.tally[OPENER_MAJORS.name].ravel())
    of_auction = [*AUCTION, "major"]
    table["probability"] = table.groupby(of_auction, observed=True)["probability"].transform("sum")
    table = table[table["responder_cards"] == responder_cards].drop(columns="responder_cards")
    table = table[table["after_overcall"].notna()].rename(columns={"after_overcall": "exact"})
    table = table.sort_values("probability", ascending=False, kind="stable")
    table["of"] = table.groupby(of_auction, observed=True)["deals"].transform("sum")
    table = with_intervals(table.reset_index(drop=True), "deals", "of")
    table = table.assign(**compared(table["deals"], table["of"], table["exact"]))
    first = [*of_auction, "opener_holds", "probability", "naive", "after_opening", "exact"]
    return table[[*first, "deals", "of", *COLUMNS["estimate"].columns, "z", "p_value"]]


def _four_against_five(run: Run) -> pd.DataFrame:
    """Return exactly four spades, which double, against five, which bid 1♠, after a minor and 1♥."""
    both = "overcall == '1H' and call in ('double', 'one_level_major')"
    exact = exact_table(run.agreement, run.exact_calls).query(both)
    chances = exact.pivot_table(
        "probability", "opening", "call", aggfunc="sum", observed=True
    ).reindex(columns=["double", "one_level_major"])
    table = share(run.table("calls").query(f"seat == 1 and {both}"), DOUBLED, ["opening"])
    known = chances["double"] / chances.sum(axis=1).where(lambda total: total > 0)
    table["exact"] = table["opening"].map(known).astype(float)
    return with_exact(table)


_USES: Mapping[str, tuple[tuple[str, str], ...]] = {
    RESPONSE.title: (("overcalled", "response"),),
    REASON.title: (("doubled", "reason"),),
    ANSWER.title: (("quiet", "answer"),),
    SPADE_RAISE.title: (("one_spade", "spade_answer"),),
    BIDS_AGAIN.title: (("quiet", "overcaller"),),
    CONTINUATION.title: (("quiet", "end"),),
    ADVANCER.title: (("doubled", "advancer"), ("passed", "advancer")),
    CONTESTED_ANSWER.title: (("contested", "answer"),),
    OVERCALLER.title: (("contested", "overcaller"),),
    CONTESTED_END.title: (("contested", "end"),),
    REOPENING.title: (("passed_round", "reopening"),),
}
"""Where the rules of a part of the agreement are counted."""


def _rules(run: Run) -> pd.DataFrame:
    """Return every rule in order: part, number, name, sentence, and how often it decides."""
    parts = []
    for table in RULE_TABLES:
        known = table.under(run.agreement).rules
        found = [
            (n, table.wordings[r.name] or r.name.replace("_", " "), r.sentence(run.agreement))
            for n, r in enumerate(known, 1)
        ]
        part = pd.DataFrame(found, columns=["rule", "rule_name", "sentence"])
        if table is OPENING:
            by_bid = run.tally[EVERY_OPENING.name].sum(axis=0)
            makers = opening_rules(run.agreement)
            deals = np.bincount(makers, by_bid[: len(makers)], len(known)).astype(np.int64)
        elif table is OVERCALL:
            by_name = run.tally.along(NEXT_HANDS, "action")
            deals = by_name[table.name_codes]
        else:
            uses = (run.tally[RULE_COUNTS[use].name] for use in _USES[table.title])
            deals = np.sum(list(uses), axis=0)[1 : len(known) + 1]
        part.insert(0, "part", table.title)
        parts.append(with_intervals(part.assign(deals=deals, of=deals.sum()), "deals", "of"))
    return pd.concat(parts, ignore_index=True)


_FEW = 60
"""Cells of a family that a reader may look at one by one."""

# --- the specifications ---

TABLES: tuple[Table, ...] = (
    Table(
        "rules",
        "Every rule of the agreement in order, and how often it decides",
        make=_rules,
        key=("part", "rule"),
        whole="hands",
        within="the hands that come to the part; of the opening, all deals",
    ),
    Table(
        "auctions",
        "What the double promises and needs after each opening and overcall, and its topic",
        make=lambda run: auction_facts(run.agreement),
        key=AUCTION,
    ),
    Table(
        "calls",
        "The responder's calls by seat of the opener, opening and overcall",
        CALL_COUNTS,
        ("seat", *AUCTION, "call"),
    ),
    Table(
        "doubles",
        "The doubles by seat, auction, message, reason, fourth hand's call, opener's answer, "
        "overcaller's second call and final contract",
        DOUBLE_COUNTS,
        (
            *("seat", *AUCTION, "message", "reason", "advancer", "answer"),
            *("overcaller_again", "final_contract"),
        ),
    ),
    Table(
        "passes",
        "The responder's passes by seat, auction, kind, fourth hand's call and opener's reopening",
        PASS_COUNTS,
        ("seat", *AUCTION, "call", "advancer", "reopening"),
    ),
    Table(
        "funnel",
        "Openings of one of a suit, overcalls, overcalls within reach of the double, doubles",
        make=_funnel,
        key=("step",),
        whole="deals",
    ),
    Table(
        "funnel_by_seat",
        "The steps to a double by seat of the opener, beside exact values for the first seat",
        make=_funnel_by_seat,
        key=("seat", "step"),
        whole="deals",
    ),
    Table(
        "first_seat_calls",
        "Overcalls and the responder's calls after an opening in first seat, beside exact values",
        make=_first_seat_calls,
        key=(*AUCTION, "call"),
        whole="deals",
    ),
    Table(
        "doubles_by_auction",
        "How often the responder doubles, by opening and overcall",
        CALL_COUNTS,
        (*AUCTION, "level", "message"),
        where=WITHIN_REACH,
        hits=DOUBLED,
        sessions=True,
        then=_with_of_all,
        key=AUCTION,
        whole="overcalls",
        within="the overcalls in the row",
    ),
    *(
        Table(
            f"doubles_by_{column}",
            f"How often the responder doubles, by {what}",
            CALL_COUNTS,
            (column,),
            where=WITHIN_REACH,
            hits=DOUBLED,
            sessions=True,
            whole="overcalls",
            within=f"the overcalls within the double's reach with the same {column}",
        )
        for column, what in (
            ("level", "level of the overcall"),
            ("message", "what the double promises"),
            ("seat", "seat of the opener"),
        )
    ),
    Table(
        "doubles_by_reason",
        "The doubles by reason",
        DOUBLE_COUNTS,
        ("reason",),
        of=(),
        sessions=True,
        whole="doubles",
    ),
    Table(
        "meetings",
        "How often one partnership meets each kind of double, and after how many sessions",
        make=_meetings,
        key=("grouping", "case"),
        whole="deals",
    ),
    Table(
        "topics",
        "The doubles by topic of a lesson, the most frequent first",
        DOUBLE_COUNTS,
        ("topic",),
        of=(),
        then=_ranked,
        key=("rank",),
        whole="doubles",
    ),
    Table(
        "topic_parts",
        "The reasons for the double within each topic",
        DOUBLE_COUNTS,
        ("topic", "reason"),
        of=("topic",),
        then=_by_size,
        whole="doubles",
    ),
    Table(
        "cases",
        "The doubles by message, level and reason, the most frequent first",
        DOUBLE_COUNTS,
        ("message", "level", "reason"),
        of=(),
        then=_ranked,
        key=("rank",),
        whole="doubles",
    ),
    Table(
        "pitfalls",
        "Cases that are easy to get wrong, and those that look like them",
        make=_pitfalls,
        key=("pitfall",),
        whole="doubles",
    ),
    Table(
        "points",
        "The doubler's total points by message and level of the overcall",
        DOUBLE_POINTS,
        ("message", "level", "total_points"),
        of=("message", "level"),
        whole="doubles",
    ),
    Table(
        "values",
        "Means and quantiles of the doubler's and both hands' points, by level of the overcall",
        make=_values("level"),
        key=("measure", "level"),
    ),
    Table(
        "values_by_message",
        "Means and quantiles of the doubler's and both hands' points, by what the double promises",
        make=_values("message"),
        key=("measure", "message"),
    ),
    Table(
        "patterns",
        "The doubler's shapes, suits aside, by message",
        DOUBLE_SHAPES,
        ("message", "pattern"),
        of=("message",),
        whole="doubles",
    ),
    Table(
        "lengths",
        "The doubler's cards in each suit by its part in the auction, message and level",
        make=_lengths,
        key=("message", "level", "role", "cards"),
        whole="doubles",
        within="the doubles with the same message, level and suit (role)",
    ),
    Table(
        "opener_lengths",
        "The opener's cards in its longest promised suit, by message",
        PROMISED,
        ("message", "opener_cards"),
        of=("message",),
        whole="doubles",
    ),
    Table(
        "promised_fits",
        "How often both hands have eight cards in opener's promised suit, by message and level",
        PROMISED,
        ("message", "level"),
        hits=f"responder_cards + opener_cards >= {FIT_TRUMPS}",
        whole="doubles",
    ),
    Table(
        "answers_by_auction",
        "The opener's answers to a double that the fourth hand passes, by opening and overcall",
        DOUBLE_COUNTS,
        (*AUCTION, "answer"),
        of=AUCTION,
        where="advancer == 'pass'",
        whole="doubles",
        within="the doubles after the same opening and overcall that the fourth hand passes",
    ),
    Table(
        "combined_hcp",
        "The points of opener and responder together opposite the double, by level of the overcall",
        COMBINED_HCP,
        ("level", "combined_hcp"),
        of=("level",),
        whole="doubles",
    ),
    Table(
        "answers",
        "The opener's answers to the double, by message",
        DOUBLE_COUNTS,
        ("message", "answer"),
        of=("message",),
        whole="doubles",
    ),
    Table(
        "final_contracts",
        "The final contract, by level of the overcall",
        DOUBLE_COUNTS,
        ("level", "final_contract"),
        of=("level",),
        whole="doubles",
    ),
    Table(
        "fits",
        "Whether a fit was there and whether it was found, by level of the overcall",
        BEST_FITS,
        ("level", "outcome"),
        of=("level",),
        whole="doubles",
    ),
    Table(
        "spade_raises",
        "The opener's spades and answer after a minor, (1♥) and 1♠, which shows five",
        make=_spade_raises,
        key=("opening", "opener_spades", "answer"),
        whole="bids",
        within="the bids of 1♠ after the same opening",
    ),
    Table(
        "without_fit",
        "Final contracts in a suit without eight trumps, by level",
        make=_without_fit,
        key=("level", "last_level"),
        whole="doubles",
        within="the doubles at the same level",
    ),
    Table(
        "over_trumps",
        "Part-scores in a suit by tricks bid above the combined trumps, with both hands' points",
        LANDING_POINTS,
        ("level", "over_trumps"),
        of=("level",),
        where=f"final_contract in {_IN_SUIT[1:]}",
        then=_with_points(("level", "over_trumps")),
        whole="part_scores",
        within="the part-scores in a suit after overcalls at the same level",
    ),
    Table(
        "above_trumps",
        "Part-scores in a suit above the level of the trumps, with both hands' points, by level",
        LANDING_POINTS,
        ("level",),
        where=f"final_contract in {_IN_SUIT[1:]}",
        hits="over_trumps > 0",
        then=_with_points(("level",)),
        whole="part_scores",
        within="the part-scores in a suit after overcalls at the same level",
    ),
    Table(
        "calls_by_level",
        "The responder's calls by level of the overcall",
        CALL_COUNTS,
        ("level", "call"),
        of=("level",),
        whole="overcalls",
    ),
    Table(
        "penalty_passes",
        "The responder's penalty passes compared with the doubles, by level of the overcall",
        CALL_COUNTS,
        ("level",),
        where=WITHIN_REACH,
        hits="call == 'penalty_pass'",
        then=_doubles_beside,
        whole="overcalls",
        within="the overcalls within the double's reach at the same level",
    ),
    Table(
        "doubles_passed",
        "Doubles that the opener passes for penalties, by level of the overcall",
        DOUBLE_COUNTS,
        ("level",),
        hits="answer == 'penalty_pass'",
        whole="doubles",
    ),
    Table(
        "advancer_calls",
        "The fourth hand's calls over the double, by level of the overcall",
        DOUBLE_COUNTS,
        ("level", "advancer"),
        of=("level",),
        whole="doubles",
    ),
    Table(
        "answers_by_advancer",
        "The opener's answers to the double, by level and the fourth hand's call",
        DOUBLE_COUNTS,
        ("level", "advancer", "answer"),
        of=("level", "advancer"),
        whole="doubles",
    ),
    Table(
        "ways_to_contract",
        "All doubles by the fourth hand's call, opener's answer and final contract",
        DOUBLE_COUNTS,
        ("advancer", "answer", "final_contract"),
        of=(),
        whole="doubles",
    ),
    Table(
        "contracts",
        "Final contracts with declarer and level of the last bid, by level and the fourth hand's call",
        CONTRACTS,
        ("level", "advancer", "declarer", "final_contract", "last_level"),
        of=("level", "advancer"),
        whole="doubles",
    ),
    Table(
        "fits_by_advancer",
        "Whether a fit was there, whether it was found and how high, by the fourth hand's call",
        BEST_FITS,
        ("advancer", "outcome", "last_level"),
        of=("advancer",),
        whole="doubles",
    ),
    Table(
        "trumps_by_level",
        "Our side's contracts in a suit by level of the last bid and trumps",
        CONTRACTS,
        ("last_level", "trumps"),
        of=("last_level",),
        where=f"final_contract in {_IN_SUIT}",
        whole="contracts",
        within="the contracts of our side in a suit at the same level",
    ),
    Table(
        "penalties",
        "What becomes of the penalty when a hand would double for it, by level and cards in their suit",
        PENALTIES,
        ("level", "cards_in_theirs", "penalty"),
        of=("level", "cards_in_theirs"),
        sessions=True,
        whole="hands",
        within="the hands that would double for penalties, at the same level and with as many cards",
    ),
    Table(
        "exact",
        "Exact probabilities of overcalls and the responder's calls after an opening in first seat",
        make=lambda run: exact_table(run.agreement, run.exact_calls),
        key=(*AUCTION, "call"),
    ),
    Table(
        "exact_by_auction",
        "The double by opening and overcall, exactly, and opener's cards opposite it, in first seat",
        make=_exact_by_auction,
        key=AUCTION,
    ),
    Table(
        "checks",
        "The joint tests of the counts against exact values, one row per family of cells",
        make=lambda run: joint_tests(run.families),
        key=("family",),
    ),
    Table(
        "checked_cells",
        "Counts and their exact values in families of few cells, such as splits, openings and overcalls",
        make=lambda run: counterparts([f for f in run.families if 0 < len(f.counts) <= _FEW]),
        key=("family", "case"),
        whole="deals",
        within="the deals that the row's case is about",
    ),
    Table(
        "four_opposite_four",
        "What the opener holds in an unbid major when the responder has four cards in it, in first "
        "seat, exactly and counted",
        make=lambda run: opener_in_major(run, PROMISED_CARDS),
        key=(*AUCTION, "major", "opener_holds"),
        whole="deals",
        within="the deals with the row's auction on which the responder has four cards in the major",
    ),
    Table("claims", "Published figures, beside what this study finds", make=claims, key=("id",)),
    Table(
        "agreements",
        "The agreements that come with the study on the same deals, each compared with the run's",
        key=("agreement",),
        whole="deals",
        left=True,
    ),
    Table(
        "fits_unmentioned",
        "Deals with a fit in an unbid major that the responder's call neither bids nor promises, with "
        "the double and without it",
        key=("double_played",),
        whole="deals",
        within="the deals within both agreements' reach",
        left=True,
    ),
    Table(
        "without_double",
        "What becomes of the doubles under the agreement that does not play the double",
        key=("came_to", "same_hand"),
        whole="doubles",
        left=True,
    ),
    Table(
        "no_longer_reached",
        "Deals that come to a responder under the run's agreement and to none under another",
        key=("agreement", "came_to"),
        left=True,
    ),
    Table(
        "penalties_lost",
        "Hands that would double for penalties and lose the penalty, by agreement",
        key=("agreement",),
        whole="hands",
        within="the hands that would double for penalties under the agreement",
        left=True,
    ),
    Table(
        "settings_moved",
        "Every setting moved by one: the gain or the loss in the measure that it can change",
        key=("moves", "setting", "by"),
        within="the deals, doubles or penalty passes that the step can move",
        left=True,
    ),
    Table(
        "settings_moved_exactly",
        "Deals opened in first seat that change if a responder setting moves by one, counted and exact",
        key=("setting", "moved"),
        whole="deals",
        left=True,
    ),
    Table(
        "overcalls_above",
        "Deals with an overcall above each ceiling, in first seat, counted and exact",
        key=("ceiling",),
        whole="deals",
        left=True,
    ),
    Table(
        "four_against_five",
        "Exactly four spades, which double, against five, which bid 1♠: after a minor and 1♥, first seat",
        make=_four_against_five,
        key=("opening",),
        file=False,
        whole="bids",
        within="the calls that show spades after the same opening",
    ),
    Table(
        "declarers",
        "Who plays the hand and in what, out of all doubles",
        CONTRACTS,
        ("declarer", "final_contract"),
        of=(),
        file=False,
        whole="doubles",
    ),
    Table(
        "found_by_advancer",
        "Fits found by the fourth hand's call, out of all doubles with that call",
        BEST_FITS,
        ("advancer",),
        hits="outcome == 'fit_found'",
        file=False,
        whole="doubles",
    ),
    Table(
        "two_kinds",
        "Final contracts of the doubles that the fourth hand passes and of the others, separately",
        DOUBLE_COUNTS,
        ("advancer", "final_contract"),
        of=("advancer",),
        file=False,
        whole="doubles",
    ),
    Table(
        "penalties_at_all_levels",
        "Penalties gained and lost at all levels together, by cards in their suit",
        PENALTIES,
        ("cards_in_theirs", "penalty"),
        of=("cards_in_theirs",),
        sessions=True,
        file=False,
        whole="hands",
    ),
)
"""Every table, in the order in which the data package lists those that a run leaves on disk."""

SPECIFIED = {table.name: table for table in TABLES}
TABLE_FILES = tuple(table for table in TABLES if table.file)
"""The tables that a whole report has on disk."""
