"""Options and helpers that several commands share."""

import argparse
import json
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import Any

from double_study.agreements.reader import REFERENCE, load, shipped
from double_study.counting.cluster import cluster
from double_study.counting.record import ExactUsed
from double_study.counting.run import DEFAULT_SEED, MAX_DEALS, MAX_SEED, count, counted_so_far
from double_study.datapackage import RUN_FILE, TABLES_FOLDER, write_json
from double_study.errors import InputError
from double_study.files import staged
from double_study.tables import Run

SHIPPED_NAMES = f"the name of one that comes with the study: {', '.join(shipped())}"
_LONGEST_NAME = 200
"""In bytes. File systems allow 255, but the name of the unfinished file is longer than the final one."""
_NUMBER = re.compile(r"(\d+(_\d+)*(\.\d+)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)


def whole_number(low: int, high: int) -> Callable[[str], int]:
    """Return a reader of whole numbers from ``low`` to ``high``, such as 20000000, 2e7 or 20_000_000."""

    def read(text: str) -> int:
        if _NUMBER.fullmatch(text):
            number = Decimal(text)
            if number == number.to_integral_value() and low <= number <= high:
                return int(number)
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from {low} to {high}")

    return read


def usable_path(folder: bool = False) -> Callable[[str], Path]:
    """Return a reader of paths to which a file, or a ``folder``, may be written; it creates nothing.

    Other kinds of files are refused, because a pipe or a device would block or be overwritten.
    """
    kind = "folder" if folder else "file"

    def read(text: str) -> Path:
        path, why = Path(text), ""
        try:
            mode = os.stat(path).st_mode
            if not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode)):
                why = f"this is not a {kind}"
        except (FileNotFoundError, NotADirectoryError):
            # A dangling link would be replaced, or followed to a place the user did not name.
            if any(os.path.islink(one) and not one.exists() for one in (path, *path.parents)):
                why = "this link leads nowhere"
        except (OSError, ValueError) as error:  # a loop of links, a name too long, a name with NUL
            why = getattr(error, "strerror", None) or str(error)
        if not path.name or len(os.fsencode(path.name)) > _LONGEST_NAME:
            why = why or f"this is not a name for a {kind}"
        if why:
            allowed = f"allowed: a {kind} that you may write to"
            raise argparse.ArgumentTypeError(f"{text}: {why}; {allowed}")
        return path

    return read


def _share(text: str) -> float:
    number = float(text) if _NUMBER.fullmatch(text) else 0.0
    if not 1e-6 <= number < 1:
        raise argparse.ArgumentTypeError(f"{text} is not a number from 0.000001 to below 1")
    return number


Options = Mapping[str, str | tuple[Any, ...]]
"""By name the help of a flag; or choices and help; or a placeholder, the reader of a value, and help."""

# fmt: off
_SHARED: Options = {
    "deals": ("N", whole_number(1, MAX_DEALS), "number of deals (default: %(default)s)"),
    "seed": ("N", whole_number(0, MAX_SEED), "root seed of the deals (default: %(default)s)"),
    "workers": ("N", whole_number(1, 1024),
                "number of processes; the counts do not depend on it (default: one per processor)"),
    "agreement": ("FILE.toml", load, "agreement to bid by: a file of settings that differ from the "
                  f"reference, or {SHIPPED_NAMES} (default: reference)"),
    "out": ("DIR", usable_path(folder=True), "folder to write to (default: %(default)s)"),
    "store": ("FILE", usable_path(),
              "file to save the counts in after each task, and to resume from (default: none)"),
    "to": ("P", _share, "relative precision, such as 0.01: count until half the 95%% interval of each "
           "share is at most this fraction of the share; --deals is then the maximum (default: none)"),
    "cluster": ("ADDRESS", str, "Dask scheduler to count on, such as tcp://host:8786 (default: count on "
                "this computer)"),
    "force": "overwrite existing results",
    "no-exact": "skip the responder's exact calls, which take half a minute on two processors "
                "unless they are cached; the pages then say so",
}
# fmt: on
_DEFAULTS = {"seed": DEFAULT_SEED, "agreement": REFERENCE}


def add(
    parser: argparse._ActionsContainer,
    names: str,
    own: Options = MappingProxyType({}),
    **defaults: Any,
) -> None:
    """Add the options called ``names``, in this order: a command's ``own`` or those shared by several.

    ``defaults`` are by name, with ``_`` for a hyphen.
    """
    for name in names.split():
        option, more = {**_SHARED, **own}[name], dict[str, Any]()
        default = (_DEFAULTS | defaults).get(name.replace("-", "_"))
        match option:
            case str():
                more, text = {"action": "store_true"}, option
            case choices, text:
                more = {"choices": choices, "default": default}
            case metavar, read, text:
                more = {"metavar": metavar, "type": read, "default": default}
        parser.add_argument(f"--{name}", help=text, **more)


def refuse_to_overwrite(options: argparse.Namespace, files: Iterable[Path]) -> None:
    """Raise :class:`InputError` if ``--out`` holds one of ``files`` and ``--force`` is not given.

    Otherwise the tables of two runs would stand side by side and contradict each other.
    """
    for file in files:
        if not options.force and os.path.lexists(options.out / file):
            there = f"--out {options.out}: the folder holds {file} of another run"
            raise InputError(f"{there}; allowed: another folder, or --force to overwrite it")


RECORD = Path(TABLES_FOLDER, RUN_FILE)
"""Path, within a run's folder, of the record that describes the run and lists the files it wrote."""


@contextmanager
def staged_run(out: Path) -> Iterator[Path]:
    """Stage the results of a run, which replace the files listed in the record of the last run."""
    with staged(out, _files_of_run) as stage:
        yield stage
        record = json.loads((stage / RECORD).read_bytes())
        files = sorted(p.relative_to(stage).as_posix() for p in stage.rglob("*") if p.is_file())
        write_json(stage / RECORD, {**record, "files": files})


def _files_of_run(folder: Path) -> set[Path]:
    """Return the files listed in the record in ``folder``; none without a record."""
    with suppress(OSError, ValueError, TypeError, KeyError, RecursionError):
        if (folder / RECORD).is_file():  # a pipe would block
            return {Path(name) for name in json.loads((folder / RECORD).read_bytes())["files"]}
    return set()


def count_run(
    options: argparse.Namespace, before: Callable[[], ExactUsed | None] = lambda: None
) -> Run:
    """Count the run that the options specify.

    ``before`` computes the exact values; it is called once the store and the cluster are known to
    be usable.
    """
    deals = options.deals
    where: dict[str, Any] = {"workers": options.workers}
    with ExitStack() as stack:
        if options.cluster is not None:
            where = stack.enter_context(cluster(options.cluster))._asdict()
        with counted_so_far(deals, options.seed, options.agreement, options.store):
            exact = before()
        tally = count(deals, options.seed, options.agreement, store=options.store, **where)
    return Run.of(tally, options.seed, options.agreement, exact)
