"""What the study's sentences have in common."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from analysis.bidding.response import DOUBLE_CALL
from analysis.counting.auction_counts import CALL_COUNTS
from analysis.counting.run import Run
from analysis.statistics.intervals import CONFIDENCE

P = ParamSpec("P")


def doubles_counted(run: Run) -> int:
    """How many doubles the run counted."""
    return int(run.tally[CALL_COUNTS.name][..., DOUBLE_CALL].sum())


def about_doubles(
    build: Callable[Concatenate[Run, P], str],
) -> Callable[Concatenate[Run, P], str]:
    """A sentence about doubles, which says that it does not apply to a run without any."""

    @wraps(build)
    def text(run: Run, /, *args: P.args, **kwargs: P.kwargs) -> str:
        if doubles_counted(run):
            return build(run, *args, **kwargs)
        if not run.agreement.response.double:
            return (
                f"*This does not apply: by the agreement “{run.agreement.name}” the responder's "
                "double is not played.*"
            )
        return f"*This does not apply: in {run.tally.deals:,} deals the responder never doubled.*"

    return text


INTERVALS = f"In brackets: {CONFIDENCE:.0%} intervals, each for its own number."
"""What the brackets of sentences and tables hold."""
