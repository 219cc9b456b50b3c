"""What partner holds in a major that nobody has bid: the figure players quote, and the true one."""

from __future__ import annotations

import pandas as pd

from double_study.columns import COLUMNS
from double_study.combinatorics.table import opener_majors
from double_study.counting.counts import OPENER_MAJORS
from double_study.counting.run import Run
from double_study.rules.terms import SEQUENCE
from double_study.stats import compared, with_intervals


def opener_in_major(run: Run, responder_cards: int) -> pd.DataFrame:
    """Opener's holding in each unbid major opposite so many of responder's, opening in first seat.

    One row an auction, unbid major and holding (0 to 2, 3, 4 or more): ``opening``, ``overcall``,
    ``major``, ``opener_holds``, ``probability`` (of the auction, per deal, whatever anyone holds),
    ``naive``, ``after_opening``, ``exact`` (after the overcall as well), and the run's ``deals``,
    ``of``, ``estimate``, ``low``, ``high``, ``z``, ``p_value``. The auctions that come up most stand
    first; those that cannot be are left out.
    """
    table = opener_majors(run.agreement).assign(deals=run.tally[OPENER_MAJORS.name].ravel())
    of_auction = [*SEQUENCE.columns, "major"]
    table["probability"] = table.groupby(of_auction, observed=True)["probability"].transform("sum")
    table = table[table["responder_cards"] == responder_cards].drop(columns="responder_cards")
    table = table[table["after_overcall"].notna()].rename(columns={"after_overcall": "exact"})
    table = table.sort_values("probability", ascending=False, kind="stable")
    table["of"] = table.groupby(of_auction, observed=True)["deals"].transform("sum")
    table = with_intervals(table.reset_index(drop=True), "deals", "of")
    table = table.assign(**compared(table["deals"], table["of"], table["exact"]))
    first = [*of_auction, "opener_holds", "probability", "naive", "after_opening", "exact"]
    return table[[*first, "deals", "of", *COLUMNS["estimate"].columns, "z", "p_value"]]
