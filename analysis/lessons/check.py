"""The draw of a lesson, checked: the hands drawn beside all the deals that they were drawn from."""

from __future__ import annotations

import numpy as np
import pandas as pd

from analysis.counting.auction_counts import POINTS
from analysis.counting.tally import DEALS
from analysis.lessons.lesson import Lesson
from analysis.lessons.search import search
from analysis.statistics.goodness_of_fit import goodness_of_fit
from analysis.statistics.intervals import ESTIMATE
from analysis.vocabulary.measure import Measure, WholeNumber

EXPECTED = Measure(
    "expected", "boards expected", "Boards expected to have it.", "boards", form=".1f"
)
DRAWN = WholeNumber("drawn", "boards drawn", "Boards drawn that have it.", "boards")


def drawn_points(lesson: Lesson) -> pd.DataFrame:
    """Responder's total points: in all doubles of the lesson's search, and in the boards drawn.

    Meant for a lesson without cases or look-alikes, by the natural mix, which asks the responder.
    A row a number of points: ``deals`` that have it, their share (``estimate``), how many of the
    boards are ``expected`` to have it and how many ``drawn`` do.
    """
    lesson.check()
    found = search(lesson.seed, lesson.deals, lesson.agreement, progress=False)
    doubles = found.points[found.reason >= 0]
    points, deals = np.unique(doubles, return_counts=True)
    drawn = found.points[[pick.at for pick in lesson.draw(found)]]
    share = deals / deals.sum()
    return pd.DataFrame(
        {
            POINTS: points,
            DEALS: deals,
            ESTIMATE: share,
            EXPECTED: share * len(drawn),
            DRAWN: [int((drawn == number).sum()) for number in points],
        }
    )


def reading(table: pd.DataFrame) -> str:
    """What the table of :func:`drawn_points` says, in a sentence."""
    test = goodness_of_fit(table[DRAWN], table[ESTIMATE])
    return (
        f"{table[DRAWN].sum()} boards were drawn from {table[DEALS].sum():,} doubles. A fair draw "
        f"differs from the doubles' points by as much as this one, or by more, in "
        f"{test.p_value:.1%} of draws (chi-square, {test.df} degrees of freedom)."
    )
