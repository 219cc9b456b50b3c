"""Tables of agreements compared: differences on the same deals, what hands did instead, the sweep."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement, title
from double_study.cards.bids import DOUBLE, Bid
from double_study.columns import COLUMNS, typed
from double_study.combinatorics.table import ANY, exact_table, serves
from double_study.comparing import DOUBLE_OUTCOME, MEASURED, NO_RESPONDER, Comparison, Moved, Paired
from double_study.rules.terms import SEQUENCE, SEQUENCES
from double_study.stats import p_value, paired_difference, with_intervals
from double_study.tables import Run
from double_study.tabulation import with_exact


def doubles_compared(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """Return how often each agreement doubles, and by how much that differs from the first.

    One row per agreement, the first on top: ``deals`` doubled, their share of all ``of`` with Wilson's
    interval, the difference from the first agreement's share with its paired interval, the
    deals doubled under the first only and under this one only, and the ``chance`` of such a
    difference if there is none: McNemar's test in its exact form, a binomial with probability 1/2.
    """
    table = compared(comparisons, [comparison.doubles for comparison in comparisons])
    # A double that is not played never comes up, so its share is exactly 0, not an estimate.
    never = [not agreement.response.double for agreement in _agreements(comparisons)]
    table.loc[never, [*COLUMNS["estimate"].columns]] = 0.0
    return table


def _agreements(comparisons: Sequence[Comparison]) -> list[Agreement]:
    return [comparisons[0].first, *(comparison.second for comparison in comparisons)]


def fits_compared(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """Return the table of :func:`doubles_compared` for deals with an unmentioned major fit.

    ``of`` is without the deals above either agreement's ceiling; the first agreement's row is that
    of the first comparison. See :mod:`double_study.comparing` for what a fit without mention is.
    """
    return compared(comparisons, [comparison.unmentioned_fits for comparison in comparisons])


def compared(comparisons: Sequence[Comparison], paired: Sequence[Paired]) -> pd.DataFrame:
    """Return a table of a yes-or-no property under each agreement, such as :func:`doubles_compared`."""
    rows = [(paired[0].first, paired[0].deals, 0, 0)]
    rows += [(p.second, p.deals, p.first_only, p.second_only) for p in paired]
    table = pd.DataFrame(rows, columns=["deals", "of", "first_only", "second_only"])
    table.insert(0, "agreement", [agreement.name for agreement in _agreements(comparisons)])
    table = with_intervals(table)
    # An agreement does not differ from itself, so the difference is exactly 0, not an estimate.
    differences = np.hstack([np.zeros((3, 1)), _differences(paired)])
    table[[*COLUMNS["difference"].columns]] = differences.T
    parted = table["first_only"] + table["second_only"]
    table["chance"] = np.where(parted > 0, p_value(table["second_only"], parted, 0.5), np.nan)
    first = ["agreement", "deals", "of", *COLUMNS["estimate"].columns]
    return table[[*first, *COLUMNS["difference"].columns, "first_only", "second_only", "chance"]]


def _differences(paired: Sequence[Paired]) -> np.ndarray:
    """Return second share minus first with its limits; shape (3, comparisons)."""
    both, first, second, neither = np.array(paired).T
    return np.stack(paired_difference(both, second, first, neither))


def instead(comparison: Comparison) -> pd.DataFrame:
    """Return the outcomes under the second agreement of the first's doubles, most frequent first.

    Columns ``came_to`` (a name of the column ``outcome``), ``same_hand`` (whether the
    hand that responded was the one that had doubled; nobody responded if the deal came to no responder),
    ``deals``, ``of`` (the first's doubles), ``estimate``, ``low``, ``high`` and ``unmentioned``:
    how many of the deals have a fit in a major that goes without mention under the second.
    """
    flow = comparison.counts[DOUBLE_OUTCOME].sum(axis=0)
    rows = [
        (name, bool(same), int(flow[at, :, same].sum()), int(flow[at, 1, same]))
        for at, name in enumerate(COLUMNS["outcome"].names)
        for same in (1, 0)
    ]
    table = pd.DataFrame(rows, columns=["came_to", "same_hand", "deals", "unmentioned"])
    table["of"] = table["deals"].sum()
    table = table[table["deals"] > 0].sort_values("deals", ascending=False, ignore_index=True)
    order = ["came_to", "same_hand", "deals", "of", *COLUMNS["estimate"].columns, "unmentioned"]
    return typed(with_intervals(table)[order], "came_to")


def no_longer_reached(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """Return deals that come to a responder under the first agreement and to none under another.

    One row per agreement and way of not getting there: ``came_to``, ``deals``, and how many of those
    the first agreement had doubled.
    """
    rows = []
    for comparison in comparisons:
        flow = comparison.counts.sum(axis=(1, 3, 4))
        for at, name in enumerate(NO_RESPONDER):
            lost = flow[len(NO_RESPONDER) :, at].sum(), flow[DOUBLE_OUTCOME, at]
            rows.append((comparison.second.name, name, *map(int, lost)))
    table = pd.DataFrame(rows, columns=["agreement", "came_to", "deals", "doubled_before"])
    return typed(table[table["deals"] > 0].reset_index(drop=True), "came_to")


def left_tables(
    run: Run, pairs: Sequence[Comparison], without: Comparison, moved: Sequence[Moved]
) -> dict[str, pd.DataFrame]:
    """Return the tables that the page on agreements writes, by name.

    ``pairs`` are comparisons with the agreements that come with the study, ``without`` is one with
    the same agreement without the double, and ``moved`` is the sweep over its settings.
    """
    ceilings = {run.agreement.response.double_through}
    ceilings |= {pair.second.response.double_through for pair in pairs}
    steps = {measure: sweep_table(moved, measure) for measure in MEASURED}
    return {
        "agreements": doubles_compared(pairs),
        "fits_unmentioned": fits_compared([without])
        .rename(columns={"agreement": "double_played"})
        .assign(double_played=[True, False]),
        "without_double": instead(without),
        "no_longer_reached": no_longer_reached(pairs),
        "penalties_lost": penalties_lost(pairs),
        "settings_moved": pd.concat(steps, names=["moves"]).reset_index("moves"),
        "settings_moved_exactly": exact_changes(moved, run),
        "overcalls_above": overcalls_above(run.table("first_seat_calls"), sorted(ceilings)),
    }


def overcalls_above(first_seat: pd.DataFrame, ceilings: Sequence[Bid]) -> pd.DataFrame:
    """Return deals with an overcall above each ceiling, after an opening in first seat, counted and
    exact.

    ``first_seat`` is the table ``first_seat_calls``. Columns
    ``ceiling``, ``deals``, ``of`` (all deals), the share with its interval, ``exact``, ``z`` and ``p_value``.
    """
    overcalls = first_seat[first_seat["call"] == ANY]
    bids = [SEQUENCES[code][1] for code in SEQUENCE.codes(overcalls)]
    above = [overcalls[[bid > ceiling for bid in bids]] for ceiling in ceilings]
    table = pd.DataFrame({"ceiling": [ceiling.symbol for ceiling in ceilings]}).assign(
        deals=[part["deals"].sum() for part in above],
        of=overcalls["of"].iloc[0],
        exact=[part["exact"].sum() for part in above],
    )
    table = with_exact(with_intervals(table))
    # The share of an impossible case is exactly 0, not an estimate.
    table.loc[table["exact"] == 0, [*COLUMNS["estimate"].columns]] = 0.0
    return table


def sweep_table(moved: Sequence[Moved], measure: str) -> pd.DataFrame:
    """Return the effect of each step, with the settings that move the measure most on top.

    One row per step: ``setting``, ``meaning``, ``standing`` and ``moved`` (its values), ``by`` (1 or
    -1), the deals gained (``second_only``) and lost (``first_only``), ``of`` (the deals or doubles
    compared), the difference with its paired interval, and ``reach``: the setting's larger
    difference, by which the rows are sorted.
    """
    chosen = [m for m in moved if m.step.measure == measure]
    table = _steps(chosen, "by").assign(
        of=[m.paired.deals for m in chosen],
        first_only=[m.paired.first_only for m in chosen],
        second_only=[m.paired.second_only for m in chosen],
    )
    table[[*COLUMNS["difference"].columns]] = _differences([m.paired for m in chosen]).T
    table["reach"] = table["difference"].abs().groupby(table["setting"]).transform("max")
    return table.sort_values(
        ["reach", "setting", "by"], ascending=[False, True, False], ignore_index=True
    )


def exact_changes(moved: Sequence[Moved], run: Run) -> pd.DataFrame:
    """Return deals that a step of the responder's settings changes, in first seat, counted and exact.

    A moved threshold only adds doubles or only removes some, so the number of deals that change is
    binomial, with the difference of two exact values as its probability. That number may be small, so
    there is no z, and the p-value is the binomial's own. There is one row per step with exact values
    (see :func:`double_study.combinatorics.table.serves`), and none if the run has no exact calls of
    the responder. Columns ``setting``, ``meaning``, ``standing``, ``moved``, ``deals`` (that change),
    ``of`` (all), their share with its interval, ``exact`` and ``p_value``.
    """
    known = [one for one in moved if run.exact_calls and one.step.section == "response"]
    known = [one for one in known if serves(run.agreement, one.step.agreement)]
    standing = _exact_doubles(run.agreement) if known else 0.0
    first = [one.first_seat for one in known]
    deals = [paired.first_only + paired.second_only for paired in first]
    table = with_intervals(_steps(known).assign(deals=deals, of=[one.deals for one in first]))
    table["exact"] = [abs(_exact_doubles(one.step.agreement) - standing) for one in known]
    table["p_value"] = p_value(table["deals"], table["of"], table["exact"])
    return table


def _steps(moved: Sequence[Moved], *more: str) -> pd.DataFrame:
    columns = ["setting", "meaning", "standing", "moved", *more]
    return pd.DataFrame([vars(one.step) for one in moved], columns=columns)


def _exact_doubles(agreement: Agreement) -> float:
    """Return the exact share of deals doubled after an opening in first seat."""
    table = exact_table(agreement, calls=True)
    return float(table.loc[table["call"] == DOUBLE, "probability"].sum())


def without_effect(table: pd.DataFrame) -> list[str]:
    """Return the settings of a sweep's table that changed no deal at all, either way."""
    changed = (
        (table["first_only"] + table["second_only"]).groupby(table["setting"], sort=False).sum()
    )
    return [str(setting) for setting in changed.index[changed == 0]]


def worded(table: pd.DataFrame) -> pd.DataFrame:
    """Return a table with its agreements as readers call them."""
    return table.assign(agreement=table["agreement"].map(title))


def with_effect(table: pd.DataFrame) -> pd.DataFrame:
    """Return the steps of the settings that changed some deal, one way or the other."""
    return table[~table["setting"].isin(without_effect(table))]


def penalties_lost(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """Return how many of the hands that would double for penalties lose the penalty.

    One row per agreement that plays the double, the first on top: ``deals`` with the penalty lost,
    ``of`` (all hands that would double for penalties), and their share with Wilson's interval.
    """
    table = compared(comparisons, [c.penalties_lost for c in comparisons])[["agreement", "deals"]]
    table["of"] = compared(comparisons, [c.penalties_wanted for c in comparisons])["deals"]
    played = [agreement.response.double for agreement in _agreements(comparisons)]
    return with_intervals(table[played].reset_index(drop=True))
