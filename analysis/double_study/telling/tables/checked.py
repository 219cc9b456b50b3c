"""What partner holds in a major that nobody has bid: the figure players quote, and the true one."""

from __future__ import annotations

import pandas as pd

from double_study.combinatorics.responses import PROBABILITY
from double_study.combinatorics.table import AFTER_OPENING, AFTER_OVERCALL, NAIVE, opener_majors
from double_study.counting.counts import OPENER_MAJORS
from double_study.counting.run import Run
from double_study.counting.tally import DEALS
from double_study.rules.terms import MAJOR, OPENER_HOLDS, RESPONDER_CARDS, SEQUENCE
from double_study.stats import ESTIMATE, EXACT, OF, P_VALUE, Z, compared, with_intervals


def opener_in_major(run: Run, responder_cards: int) -> pd.DataFrame:
    """Opener's holding in each unbid major opposite so many of responder's, opening in first seat.

    One row an auction, unbid major and holding (0 to 2, 3, 4 or more): ``opening``, ``overcall``,
    ``major``, ``opener_holds``, ``probability`` (of the auction, per deal, whatever anyone holds),
    ``naive``, ``after_opening``, ``exact`` (after the overcall as well), and the run's ``deals``,
    ``of``, ``estimate``, ``low``, ``high``, ``z``, ``p_value``. The auctions that come up most stand
    first; those that cannot be are left out.
    """
    table = opener_majors(run.agreement).assign(**{DEALS: run.tally[OPENER_MAJORS.name].ravel()})
    of_auction = [*SEQUENCE.columns, MAJOR]
    table[PROBABILITY] = table.groupby(of_auction, observed=True)[PROBABILITY].transform("sum")
    table = table[table[RESPONDER_CARDS] == responder_cards].drop(columns=RESPONDER_CARDS)
    table = table[table[AFTER_OVERCALL].notna()].rename(columns={AFTER_OVERCALL: EXACT})
    table = table.sort_values(PROBABILITY, ascending=False, kind="stable")
    table[OF] = table.groupby(of_auction, observed=True)[DEALS].transform("sum")
    table = with_intervals(table.reset_index(drop=True), DEALS, OF)
    table = table.assign(**compared(table[DEALS], table[OF], table[EXACT]))
    first = [*of_auction, OPENER_HOLDS, PROBABILITY, NAIVE, AFTER_OPENING, EXACT]
    return table[[*first, DEALS, OF, *ESTIMATE.columns, Z, P_VALUE]]
