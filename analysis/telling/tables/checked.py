"""What partner holds in a major that nobody has bid: the figure players quote, and the true one."""

from __future__ import annotations

import pandas as pd

from analysis.bidding.after_overcall import SEQUENCE
from analysis.bidding.holdings import MAJOR, OPENER_HOLDS, RESPONDER_CARDS
from analysis.counting.auction_counts import OPENER_MAJORS
from analysis.counting.run import Run
from analysis.counting.tally import DEALS
from analysis.exact.opener_majors import AFTER_OPENING, AFTER_OVERCALL, NAIVE, opener_majors
from analysis.exact.responses import PROBABILITY
from analysis.statistics.goodness_of_fit import EXACT, P_VALUE, Z, compared
from analysis.statistics.intervals import ESTIMATE, OF, with_intervals


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
