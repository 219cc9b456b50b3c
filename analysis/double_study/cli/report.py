"""Count, check, run the notebooks and write the report; if any step fails, nothing is written."""

import argparse

from double_study.checking.families import FALSE_ALARM, joint_tests
from double_study.cli.exact import compute_exact, warn_if_not_cached
from double_study.cli.options import add, count_run, staged_run
from double_study.combinatorics.cache import cached_somewhere
from double_study.counting.record import ExactUsed
from double_study.counting.run import DEFAULT_DEALS
from double_study.errors import Failure
from double_study.escape import terminal
from double_study.tables import Run

EXAMPLE = "report --agreement through_2s --out my_report"


def add_options(parser: argparse.ArgumentParser) -> None:
    names = "deals seed workers store cluster no-exact agreement out"
    add(parser, names, deals=DEFAULT_DEALS, out="reports")


def run(options: argparse.Namespace) -> None:
    with staged_run(options.out) as stage:
        # Imported here because it takes seconds, which --help should not wait for.
        from double_study.report import publish
        from double_study.report.pages import INDEX
        from double_study.report.sample import SAMPLE_FOLDER, write_sample

        def exact() -> ExactUsed | None:
            if options.no_exact:
                return None
            return compute_exact(options.agreement, options.workers)

        notebooks = publish.notebooks_in()
        warn_if_not_cached()
        with cached_somewhere(stage):
            counted = count_run(options, exact)
            _check(counted)
            publish.publish(counted, notebooks, stage, options.workers)
            write_sample(stage / SAMPLE_FOLDER, counted)
    print(
        f"Reported {counted.tally.deals} deals. Open {terminal(str(options.out / INDEX))} first: it "
        "leads to the lesson, the sentences to cite and the page to play on."
    )


def _check(counted: Run) -> None:
    """Raise :class:`Failure` unless the counts agree with the exact values."""
    tests = joint_tests(counted.families)
    failed = tests.loc[~tests["passes"], "family"]
    if len(failed):
        raise Failure(
            f"the check failed, so nothing was written: {', '.join(failed)} differ from the exact values "
            f"by more than a correct program does once in {1 / FALSE_ALARM:,.0f} runs; for details run "
            "double-study check"
        )
