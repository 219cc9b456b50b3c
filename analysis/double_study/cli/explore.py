"""``double-study explore``: the explorer, the questions and the quiz as one page in the browser."""

from __future__ import annotations

import argparse
import signal
import sys
import webbrowser

from double_study.cli.options import add_agreement_option, whole_number
from double_study.errors import Failure

NAME = "explore"
HELP = "explorer, questions and quiz as one page in the browser, on this machine only"
EXAMPLE = "explore --agreement through_2s"
_ENDINGS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
"""Signals that end the page as Ctrl-C does: a closed terminal leaves nothing behind, either."""

LOWEST_PORT, HIGHEST_PORT = 1024, 65535


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of the command."""
    add_agreement_option(parser)
    parser.add_argument(
        "--port",
        metavar="N",
        type=whole_number("--port", LOWEST_PORT, HIGHEST_PORT),
        help="the port to serve at (default: one that is free)",
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address and open no browser"
    )


def run(options: argparse.Namespace) -> int:
    """Serve the page until Ctrl-C; nothing is left on disk."""
    # Notebooks take seconds to import, which a user who asks for help should not wait for.
    from double_study.app.server import served

    for ending in _ENDINGS:
        signal.signal(ending, _interrupt)
    try:
        with served(options.agreement, options.port) as (address, process):
            print(f"The page is at {address}\nCtrl-C ends it.")
            sys.stdout.flush()
            if not options.no_browser:
                webbrowser.open(address)
            status = process.wait()
    except KeyboardInterrupt:
        print("\nThe page has ended.")
        return 0
    raise Failure(f"the server of the page ended by itself (status {status})")


def _interrupt(*_: object) -> None:
    raise KeyboardInterrupt
