"""Print the reference to a report: in words, and as BibTeX, CSL-JSON and CITATION.cff."""

import argparse
import json
from pathlib import Path

from double_study.cli.options import usable_path
from double_study.datapackage import RUN_FILE, TABLES_FOLDER
from double_study.errors import InputError
from double_study.sources import CHECKOUT

EXAMPLE = "cite"


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "report",
        metavar="FOLDER",
        nargs="?",
        type=usable_path(folder=True),
        default=CHECKOUT / "reports",
        help="folder of the report (default: the one that comes with the study)",
    )


def run(options: argparse.Namespace) -> None:
    # Imported here because it takes seconds, which --help should not wait for.
    from double_study.report.cite import Citation

    try:
        about = json.loads(Path(options.report, TABLES_FOLDER, RUN_FILE).read_bytes())
        citation = Citation(about)
        text, files = citation.text, citation.files
    except (OSError, ValueError, KeyError, TypeError):
        raise InputError(
            f"FOLDER {options.report}: no report is there; allowed: a folder that double-study report wrote"
        ) from None
    print(text)
    for name, entry in files.items():
        print(f"\n{name}:\n{entry}", end="")
