"""What the double costs under each agreement, beside how often it comes up: penalties waited for, and lost.

See :mod:`double_study.comparing` for what a lost penalty is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.columns import Difference, Share, WholeNumber
from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import AGREEMENT, ANY, exact_table, others_calls, serves
from double_study.comparing import Comparison
from double_study.counting.run import Run
from double_study.counting.sessions import SESSION, with_sessions
from double_study.counting.tally import DEALS
from double_study.rules.response import CALL, DOUBLE_CALL, PENALTY_PASS_CALL
from double_study.stats import ESTIMATE, OF, with_intervals
from double_study.telling.tables.agreements import DIFFERENCE, compared

_DOUBLE, _PENALTY_PASS = CALL.names[DOUBLE_CALL], CALL.names[PENALTY_PASS_CALL]


def _difference(name: str, heading: str) -> Difference:
    return Difference(
        f"{name}_difference",
        f"{heading}, percentage points",
        f"{heading.capitalize()}: the share of all deals less that of the first agreement.",
        "proportion",
    )


DOUBLES = _difference("doubles", "doubles")
WAITED = _difference("waited", "penalties waited for")
LOST = _difference("lost", "penalties lost")
EXACT_DOUBLES = Share(
    "exact_doubles",
    "doubles, the dealer opening, exact",
    "Exact share of all deals that the dealer opens and the responder doubles.",
    optional=True,
)
EXACT_WAITED = Share(
    "exact_waited",
    "penalties waited for, the dealer opening, exact",
    "Exact share of all deals that the dealer opens and the responder passes for penalties.",
    optional=True,
)
PASS_CARDS = WholeNumber(
    "pass_cards", "penalty pass on", "The fewest cards in their suit of a penalty pass.", "cards"
)
REOPENS_ON = WholeNumber(
    "reopens_on",
    "high reopening double on at most",
    "The most cards in their suit on which a minimum opener doubles again at level 3 or 4.",
    "cards",
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
    known = {str(name): table for name, table in others.groupby(AGREEMENT)}
    known |= {
        agreement.name: exact_table(agreement, calls=True)
        for agreement in agreements
        if serves(run.agreement, agreement)
    }
    found: dict[str, Mapping[str, float]] = {}
    for name, table in known.items():
        calls = table[table[CALL] != ANY].groupby(CALL, observed=True)[PROBABILITY].sum()
        found[name] = dict(zip(map(str, calls.index), calls, strict=True))
    return found


def schools(comparisons: Sequence[Comparison], exact: ExactCalls) -> pd.DataFrame:
    """How the double's frequency and its price differ from the first agreement's, on the same deals.

    A row an agreement, the first on top: the differences of the shares of deals doubled, waited on
    for a penalty, and with the penalty lost, with their paired intervals; and for an opening in first
    seat the exact shares of deals doubled and waited on, empty where they are not known.
    """
    matters = {
        DOUBLES: [comparison.doubles for comparison in comparisons],
        WAITED: [comparison.penalties_wanted for comparison in comparisons],
        LOST: [comparison.penalties_lost for comparison in comparisons],
    }
    table = pd.DataFrame()
    for column, paired in matters.items():
        of_one = compared(comparisons, paired)
        table[AGREEMENT] = of_one[AGREEMENT]
        table[[*column.columns]] = of_one[[*DIFFERENCE.columns]]
    for measure, call in ((EXACT_DOUBLES, _DOUBLE), (EXACT_WAITED, _PENALTY_PASS)):
        table[measure] = [exact.get(name, {}).get(call, float("nan")) for name in table[AGREEMENT]]
    # Where the double is not played nothing is given up for it.
    agreements = [comparisons[0].first, *(comparison.second for comparison in comparisons)]
    table.loc[[not agreement.response.double for agreement in agreements], EXACT_WAITED] = 0.0
    return table


def penalties_lost(comparisons: Sequence[Comparison]) -> pd.DataFrame:
    """On how many of the hands that would double for penalties the penalty is lost.

    A row an agreement that plays the double, the first on top: ``deals`` lost, ``of`` those wanted,
    and their share with Wilson's interval.
    """
    agreements = [comparisons[0].first, *(comparison.second for comparison in comparisons)]
    table = compared(comparisons, [c.penalties_lost for c in comparisons])[[AGREEMENT, DEALS]]
    table[OF] = compared(comparisons, [c.penalties_wanted for c in comparisons])[DEALS]
    played = [agreement.response.double for agreement in agreements]
    return with_intervals(table[played].reset_index(drop=True), DEALS, OF)


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
    table = pd.DataFrame(rows, columns=[PASS_CARDS, REOPENS_ON, DEALS, OF])
    every = comparisons[0].deals if comparisons else 0
    table = with_sessions(with_intervals(table, DEALS, OF), every)
    return table[[PASS_CARDS, REOPENS_ON, OF, DEALS, *ESTIMATE.columns, *SESSION.columns]]
