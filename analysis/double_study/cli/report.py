"""``double-study report``: the main job, from deals to a report that can be read and cited."""

from __future__ import annotations

import argparse

from double_study.checking.comparison import FALSE_ALARM, families, joint_tests
from double_study.cli.exact import add_no_exact_option, say_what_is_not_kept, worked_out
from double_study.cli.options import (
    add_agreement_option,
    add_count_options,
    add_out_option,
    count_run,
    staged_run,
)
from double_study.combinatorics.cache import cached_somewhere
from double_study.counting.run import ExactUsed
from double_study.errors import Failure
from double_study.escape import terminal
from double_study.tables import Run

NAME = "report"
HELP = "the main job: count, check, run the notebooks, write the report"
EXAMPLE = "report --agreement through_2s --out my_report"


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_count_options(parser)
    add_no_exact_option(parser)
    add_agreement_option(parser)
    add_out_option(parser, "reports")


def run(options: argparse.Namespace) -> int:
    """Count, check and publish; nothing is written unless all of it went well."""
    with staged_run(options.out) as stage:
        # Notebooks take seconds to import, for which nobody should wait who asks for help or whose
        # folder another run holds.
        from double_study.report import publish
        from double_study.report.pages import INDEX

        def exact() -> ExactUsed | None:
            if options.no_exact:
                return None
            return worked_out(options.agreement, options.workers, compared=True)

        notebooks = publish.notebooks_in()
        say_what_is_not_kept()
        with cached_somewhere(stage):
            counted = count_run(options, exact)
            _check(counted)
            publish.publish(counted, notebooks, stage, options.workers)
    print(f"{counted.tally.deals} deals reported; open {terminal(str(options.out / INDEX))}")
    return 0


def _check(counted: Run) -> None:
    """Raise :class:`Failure` unless the counts agree with what is known exactly."""
    tests = joint_tests(families(counted))
    failed = tests.loc[~tests["passes"], "family"]
    if len(failed):
        raise Failure(
            f"the check failed, nothing was written: {', '.join(failed)} differ from the exact "
            f"values more than one right run in {1 / FALSE_ALARM:,.0f} would; see double-study check"
        )
