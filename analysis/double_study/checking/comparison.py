"""Every counted quantity that has an exact counterpart, beside it.

Quantities come in families (:class:`~double_study.checking.families.Family`), each with one joint test: a
chi-square over all its cells, small ones pooled by the rule of
:func:`double_study.stats.goodness_of_fit`. The z of a single cell is for the eye;
what passes or fails is the family.

False alarms
------------
Each family is tested at the level :data:`FALSE_ALARM` divided by the number of families (Bonferroni:
they may hang together as they like), so that a correct program fails about once in
1 / :data:`FALSE_ALARM` checks. About, because chi-square is not exact where a cell expects few deals:
by simulation a family whose smallest cell expects five falls below that level 0.9 to 2 times as
often as it says. The test of deals that came twice, and that of calls deal by deal, fail less often.
"""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from double_study.checking import families as of_run
from double_study.checking.families import Family
from double_study.counting.record import Counted

FALSE_ALARM = 1e-3
"""The share of checks of a correct program that fail."""


def families(run: Counted) -> list[Family]:
    return [
        *of_run.dealt_families(run.tally),
        *of_run.independence_families(run.tally),
        *of_run.bid_families(run),
        of_run.deal_by_deal(run),
    ]


def counterparts(of: Sequence[Family]) -> pd.DataFrame:
    """Return counts beside their exact counterparts, one row per cell.

    Columns ``family``, ``case``, ``deals`` (in the case), ``of`` (the deals it is a share of),
    ``exact``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise), ``z`` (NaN where a cell expects
    too few deals for it to mean much) and ``p_value`` (of the binomial itself). Cells that cannot be
    and were not seen are left out.
    """
    return pd.concat([family.rows() for family in of], ignore_index=True)


def joint_tests(of: Sequence[Family]) -> pd.DataFrame:
    """Return the joint test of each family, one row per family, and whether it passes.

    Columns ``family``, ``deals`` (looked at), ``cells`` (compared: one more than ``df``), ``pooled``
    (small cells put together), ``statistic``, ``df``, ``p_value``, ``fails_below`` (a smaller p-value
    fails) and ``passes``. The test of the deals that came twice is no chi-square: its statistic is
    their number, its df 0. Families of deals that are independent have no exact values: their test
    is of independence.
    """
    rows = [
        (family.name, family.deals, test.cells, test.pooled, test.statistic, test.df, test.p_value)
        for family, test in ((family, family.joint) for family in of)
    ]
    columns = ["family", "deals", "cells", "pooled", "statistic", "df", "p_value"]
    table, level = pd.DataFrame(rows, columns=columns), FALSE_ALARM / len(of)
    return table.assign(fails_below=level, passes=table["p_value"] >= level)
