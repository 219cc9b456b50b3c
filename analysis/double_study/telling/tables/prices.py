"""What the double costs under each agreement, beside how often it comes up: penalties waited for, and lost.

See :mod:`double_study.comparing` for what a lost penalty is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.columns import COLUMNS
from double_study.combinatorics.table import ANY, exact_table, others_calls, serves
from double_study.comparing import Comparison
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.rules.response import DOUBLE_CALL, PENALTY_PASS_CALL
from double_study.stats import with_intervals
from double_study.telling.tables.agreements import compared

_DOUBLE, _PENALTY_PASS = (
    COLUMNS["call"].names[DOUBLE_CALL],
    COLUMNS["call"].names[PENALTY_PASS_CALL],
)


ExactCalls = Mapping[str, Mapping[str, float]]
"""By agreement, the exact probability of each of the responder's calls, the dealer opening."""


def exact_calls(agreements: Sequence[Agreement], run: Run) -> ExactCalls:
    """What the run knows exactly of some agreements' calls; nothing if it goes without them.

    Known are its own agreement, those that the same counts serve, and the others that come with
    the study.
    """
    if not run.exact_calls:
        return {}
    others = others_calls(run.agreement)
    known = {str(name): table for name, table in others.groupby("agreement")}
    known |= {
        agreement.name: exact_table(agreement, calls=True)
        for agreement in agreements
        if serves(run.agreement, agreement)
    }
    found: dict[str, Mapping[str, float]] = {}
    for name, table in known.items():
        calls = table[table["call"] != ANY].groupby("call", observed=True)["probability"].sum()
        found[name] = dict(zip(map(str, calls.index), calls, strict=True))
    return found


def schools(comparisons: Sequence[Comparison], exact: ExactCalls) -> pd.DataFrame:
    """How the double's frequency and its price differ from the first agreement's, on the same deals.

    A row an agreement, the first on top: the differences of the shares of deals doubled, waited on
    for a penalty, and with the penalty lost, with their paired intervals; and for an opening in first
    seat the exact shares of deals doubled and waited on, empty where they are not known.
    """
    matters = {
        "doubles_difference": [comparison.doubles for comparison in comparisons],
        "waited_difference": [comparison.penalties_wanted for comparison in comparisons],
        "lost_difference": [comparison.penalties_lost for comparison in comparisons],
    }
    table = pd.DataFrame()
    for column, paired in matters.items():
        of_one = compared(comparisons, paired)
        table["agreement"] = of_one["agreement"]
        table[[*COLUMNS[column].columns]] = of_one[[*COLUMNS["difference"].columns]]
    for measure, call in (("exact_doubles", _DOUBLE), ("exact_waited", _PENALTY_PASS)):
        table[measure] = [
            exact.get(name, {}).get(call, float("nan")) for name in table["agreement"]
        ]
    # Where the double is not played nothing is given up for it.
    agreements = [comparisons[0].first, *(comparison.second for comparison in comparisons)]
    table.loc[[not agreement.response.double for agreement in agreements], "exact_waited"] = 0.0
    return table


def penalties_lost(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """On how many of the hands that would double for penalties the penalty is lost.

    A row an agreement that plays the double, the first on top: ``deals`` lost, ``of`` those wanted,
    and their share with Wilson's interval.
    """
    agreements = [comparisons[0].first, *(comparison.second for comparison in comparisons)]
    table = compared(comparisons, [c.penalties_lost for c in comparisons])[["agreement", "deals"]]
    table["of"] = compared(comparisons, [c.penalties_wanted for c in comparisons])["deals"]
    played = [agreement.response.double for agreement in agreements]
    return with_intervals(table[played].reset_index(drop=True), "deals", "of")


def penalty_grid(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """The same for the second agreements of comparisons with :func:`double_study.comparing.variants`.

    In place of the agreement's name the cards of a penalty pass and those of a high reopening
    double; at the end how often one partnership loses a penalty in a session.
    """
    rows = [
        (
            comparison.second.response.penalty_cards,
            comparison.second.reopening.high_double_cards,
            comparison.penalties_lost.second,
            comparison.penalties_wanted.second,
        )
        for comparison in comparisons
    ]
    table = pd.DataFrame(rows, columns=["pass_cards", "reopens_on", "deals", "of"])
    every = comparisons[0].deals if comparisons else 0
    table = with_sessions(with_intervals(table, "deals", "of"), every)
    return table[
        [
            "pass_cards",
            "reopens_on",
            "of",
            "deals",
            *COLUMNS["estimate"].columns,
            *COLUMNS["per_session"].columns,
        ]
    ]
