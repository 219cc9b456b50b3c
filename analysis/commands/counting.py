"""Counting as the commands do it: with a store, on a cluster, or until a figure is precise."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from analysis.commands.options import MAX_DEALS, NUMBER, add_run_options, usable_path
from analysis.counting import sampling as study
from analysis.counting.provenance import ExactUsed
from analysis.counting.run import Run
from analysis.counting.stopping import DOUBLE_PER_OVERCALL, Precision, WatchedShare
from analysis.errors import InputError
from analysis.runtime.cluster import cluster
from analysis.runtime.staging import staged
from analysis.telling.tables.files import RUN_FILE, TABLES_FOLDER
from analysis.telling.tables.writing import write_json

RECORD = Path(TABLES_FOLDER, RUN_FILE)
"""Where in its folder a run says what it was and what it left."""


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
        type=WatchedShare.parse,
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
    figure = float(text) if NUMBER.fullmatch(text) else 0.0
    if not 1e-6 <= figure < 1:
        raise InputError(f"--precision {text}: allowed: a number from 0.000001 to 1, 1 left out")
    return figure


def _precision(options: argparse.Namespace) -> Precision | None:
    if options.precision is not None:
        share = options.precision_of or WatchedShare.parse(DOUBLE_PER_OVERCALL)
        return Precision(share, options.precision, options.absolute)
    if options.precision_of or options.absolute:
        raise InputError("--precision-of and --absolute: allowed: together with --precision P")
    return None


@contextmanager
def staged_run(out: Path) -> Iterator[Path]:
    """:func:`staged` for a run, which takes the place of the run that ``out`` holds, if any.

    Its record names the files that it left, by which the next run knows them from the user's own.
    """
    with staged(out, _left_by_run) as stage:
        yield stage
        record = json.loads((stage / RECORD).read_bytes())
        files = sorted(p.relative_to(stage).as_posix() for p in stage.rglob("*") if p.is_file())
        write_json(stage / RECORD, {**record, "files": files})


def _left_by_run(folder: Path) -> set[Path]:
    """The files that the record of the run in ``folder`` names; none without such a record."""
    with suppress(OSError, ValueError, TypeError, KeyError, RecursionError):
        if (folder / RECORD).is_file():
            return {Path(name) for name in json.loads((folder / RECORD).read_bytes())["files"]}
    return set()


def count_run(
    options: argparse.Namespace, before: Callable[[], ExactUsed | None] = lambda: None
) -> Run:
    """The run that the options ask for; says on standard output what precision was reached.

    ``before`` the count the exact values are worked out: as soon as it is known that store and
    cluster can be used.
    """
    precision = _precision(options)
    deals = options.deals or (MAX_DEALS if precision else study.DEFAULT_DEALS)
    with ExitStack() as stack:
        executor, workers = None, options.workers
        if options.cluster is not None:
            executor, workers = stack.enter_context(cluster(options.cluster))
        with study.counted_so_far(deals, options.seed, options.agreement, options.store):
            exact = before()
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
