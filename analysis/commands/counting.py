"""Counting as the commands do it: with a store, on a cluster, or until a figure is precise."""

from __future__ import annotations

import argparse
from contextlib import ExitStack

from analysis.commands.options import MAX_DEALS, add_run_options, usable_path
from analysis.counting import sampling as study
from analysis.counting.provenance import ExactUsed
from analysis.counting.run import Run
from analysis.counting.stopping import DOUBLE_PER_OVERCALL, Precision, Share
from analysis.errors import InputError
from analysis.runtime.cluster import cluster


def add_count_options(parser: argparse.ArgumentParser) -> None:
    """The options of a run, and those on how it is kept, where it is done and how long it goes on."""
    add_run_options(parser)
    # Without --deals a run to a precision has no end but that.
    parser.set_defaults(deals=None)
    parser.add_argument(
        "--store",
        metavar="FILE",
        type=usable_path("--store"),
        help="keep what is counted in this file, and go on from what it holds",
    )
    parser.add_argument(
        "--cluster",
        metavar="ADDRESS",
        help="count on the Dask cluster whose scheduler is there, such as tcp://host:8786",
    )
    parser.add_argument(
        "--precision",
        metavar="P",
        type=_figure,
        help="go on until the half-width of a share's 95%% interval is P of the share or less, such "
        "as 0.001; --deals, where given, is the most that is counted",
    )
    parser.add_argument(
        "--precision-of",
        metavar="CELL",
        type=Share.parse,
        help=f"the share that --precision asks for, as TABLE:COLUMN=LABEL,...: of the deals that "
        f"meet all conditions but the last, those that meet it, too (default {DOUBLE_PER_OVERCALL}, "
        "the double's frequency per overcall)",
    )
    parser.add_argument(
        "--absolute",
        action="store_true",
        help="P is the half-width itself, not a part of the share; a run that stops at few hits then "
        "states too low a share, by a tenth of it at ten hits and less than a hundredth from a hundred "
        "on",
    )


def _figure(text: str) -> float:
    try:
        figure = float(text)
    except ValueError:
        figure = 0.0
    if not 1e-6 <= figure < 1:
        raise InputError(f"--precision {text}: allowed: a number from 0.000001 to 1, 1 left out")
    return figure


def _precision(options: argparse.Namespace) -> Precision | None:
    if options.precision is not None:
        share = options.precision_of or Share.parse(DOUBLE_PER_OVERCALL)
        return Precision(share, options.precision, options.absolute)
    if options.precision_of or options.absolute:
        raise InputError("--precision-of and --absolute: allowed: together with --precision P")
    return None


def count_run(options: argparse.Namespace, exact: ExactUsed | None = None) -> Run:
    """The run that the options ask for; says on standard output what precision was reached."""
    precision = _precision(options)
    deals = options.deals or (MAX_DEALS if precision else study.DEFAULT_DEALS)
    with ExitStack() as stack:
        executor, workers = None, options.workers
        if options.cluster is not None:
            executor, workers = stack.enter_context(cluster(options.cluster))
        tally = study.count(
            deals,
            options.seed,
            options.agreement,
            workers,
            executor,
            store=options.store,
            precision=precision,
        )
    if precision:
        print(precision.line(tally))
    return Run.of(tally, options.seed, options.agreement, exact)
