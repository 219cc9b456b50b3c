"""Compare every counted quantity that has an exact value with that value.

Quantities come in families (:class:`~double_study.checking.families.Family`), each with one joint test: a
chi-square over all its cells, small ones pooled by the rule of
:func:`double_study.stats.goodness_of_fit`. The z of a single cell is for orientation only: it is
families that pass or fail.

False alarms
------------
Each family is tested at the level :data:`FALSE_ALARM` divided by the number of families (a Bonferroni
correction, valid however the families depend on each other), so that a correct program fails about
once in 1 / :data:`FALSE_ALARM` checks. The rate is approximate because chi-square is not exact if a cell
expects few deals: by simulation, a family whose smallest cell expects five deals falls below its level
0.9 to 2 times as often as it should. The test for repeated deals and the comparison of calls deal by
deal fail less often.
"""

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
    ``exact``, ``estimate``, ``low``, ``high`` (Wilson's, pointwise), ``z`` (NaN if a cell expects
    too few deals for z to mean much) and ``p_value`` (of the binomial itself). Impossible cells that
    were not seen are left out.
    """
    return pd.concat([family.rows() for family in of], ignore_index=True)


def joint_tests(of: Sequence[Family]) -> pd.DataFrame:
    """Return the joint test of each family, one row per family, and whether it passes.

    Columns ``family``, ``deals`` (examined), ``cells`` (compared: one more than ``df``), ``pooled``
    (small cells put together), ``statistic``, ``df``, ``p_value``, ``fails_below`` (a smaller p-value
    fails) and ``passes``. The test for repeated deals is not a chi-square: its statistic is the
    number of repeats, its df 0. The independence families have no exact values; they are tested for
    independence.
    """
    rows = [
        (family.name, family.deals, test.cells, test.pooled, test.statistic, test.df, test.p_value)
        for family, test in ((family, family.joint) for family in of)
    ]
    columns = ["family", "deals", "cells", "pooled", "statistic", "df", "p_value"]
    table, level = pd.DataFrame(rows, columns=columns), FALSE_ALARM / len(of)
    return table.assign(fails_below=level, passes=table["p_value"] >= level)
