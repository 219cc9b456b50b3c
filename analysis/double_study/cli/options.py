"""Options that several commands share, and how their values are read.

Counting as the commands do it: with a store, on a cluster, or until a figure is precise.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from decimal import Decimal
from pathlib import Path

from double_study.agreements.reader import REFERENCE, load, shipped
from double_study.counting import sampling as study
from double_study.counting.cluster import cluster
from double_study.counting.run import ExactUsed
from double_study.counting.sampling import DEFAULT_DEALS, DEFAULT_SEED
from double_study.counting.stopping import DOUBLE_PER_OVERCALL, Precision, WatchedShare
from double_study.datapackage import RUN_FILE, TABLES_FOLDER, write_json
from double_study.errors import InputError
from double_study.files import staged
from double_study.tables import Run

SHIPPED_NAMES = f"the name of one that comes with the study: {', '.join(shipped())}"

MAX_DEALS = 10**13
MAX_SEED = 2**63 - 1
MAX_WORKERS = 1024
_LONGEST_NAME = 200
"""Bytes: file systems allow 255, of which the name written aside takes some."""
NUMBER = re.compile(r"(\d+(_\d+)*(\.\d+)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
"""A number as the options take it."""


def whole_number(option: str, low: int, high: int) -> Callable[[str], int]:
    """A reader of whole numbers from ``low`` to ``high``, such as 20000000, 2e7 or 20_000_000."""

    def read(text: str) -> int:
        if NUMBER.fullmatch(text):
            number = Decimal(text)
            if number == number.to_integral_value() and low <= number <= high:
                return int(number)
        raise InputError(f"{option} {text}: allowed: a whole number from {low} to {high}")

    return read


def add_run_options(parser: argparse.ArgumentParser, deals: int = DEFAULT_DEALS) -> None:
    """``--deals``, ``--seed`` and ``--workers``."""
    parser.add_argument(
        "--deals",
        metavar="N",
        type=whole_number("--deals", 1, MAX_DEALS),
        default=deals,
        help=f"deals to count (default {deals})",
    )
    add_seed_option(parser)
    parser.add_argument(
        "--workers",
        metavar="N",
        type=whole_number("--workers", 1, MAX_WORKERS),
        default=None,
        help="processes to use (default: every processor); the counts do not depend on it",
    )


def add_seed_option(parser: argparse.ArgumentParser) -> None:
    """``--seed``."""
    parser.add_argument(
        "--seed",
        metavar="N",
        type=whole_number("--seed", 0, MAX_SEED),
        default=DEFAULT_SEED,
        help=f"root seed of the deals (default {DEFAULT_SEED})",
    )


def add_agreement_option(parser: argparse.ArgumentParser) -> None:
    """``--agreement``: a TOML file or the name of a shipped agreement."""
    parser.add_argument(
        "--agreement",
        metavar="FILE.toml",
        type=load,
        default=REFERENCE,
        help=f"settings that differ from the reference agreement, or {SHIPPED_NAMES}",
    )


def usable_path(option: str, folder: bool = False) -> Callable[[str], Path]:
    """A reader of paths that a file, or a ``folder``, may be written to; nothing is created.

    What stands there already must be of that kind: a pipe or a device would be waited for, or
    written into.
    """
    kind = "folder" if folder else "file"

    def read(text: str) -> Path:
        path = Path(text)
        try:
            mode = os.stat(path).st_mode
            wrong = not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode))
            why = f"there is something that is no {kind}" if wrong else ""
        except (FileNotFoundError, NotADirectoryError) as error:
            # A link that leads nowhere would be replaced, or followed to a place nobody named.
            links = [one for one in (path, *path.parents) if os.path.islink(one)]
            why = "" if all(map(os.path.exists, links)) else (error.strerror or "")
        except (OSError, ValueError) as error:  # a loop of links, a name too long, a name with NUL
            why = getattr(error, "strerror", None) or str(error)
        if not path.name or len(os.fsencode(path.name)) > _LONGEST_NAME:
            why = why or f"no name for a {kind}"
        if why:
            raise InputError(f"{option} {text}: {why}; allowed: a {kind} that you may write")
        return path

    return read


def add_out_option(
    parser: argparse.ArgumentParser | argparse._MutuallyExclusiveGroup, default: str
) -> None:
    """``--out``: the folder that the command writes into."""
    parser.add_argument(
        "--out",
        metavar="DIR",
        type=usable_path("--out", folder=True),
        default=Path(default),
        help=f"folder to write into (default {default})",
    )


def add_force_option(
    parser: argparse.ArgumentParser, what: str = "tables that --out already holds"
) -> None:
    """``--force``, which overwrites ``what``: see :func:`refuse_to_overwrite`."""
    parser.add_argument("--force", action="store_true", help=f"overwrite {what}")


def refuse_to_overwrite(options: argparse.Namespace, files: Iterable[Path]) -> None:
    """Raise :class:`InputError` where ``--out`` holds one of ``files`` and ``--force`` was not given.

    A table of one run beside those of another would contradict them.
    """
    for file in files:
        if not options.force and os.path.lexists(options.out / file):
            raise InputError(
                f"--out {options.out}: {file} of another run is there; allowed: another folder, or "
                "--force to overwrite it"
            )


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
