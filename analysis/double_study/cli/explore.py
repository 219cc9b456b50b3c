"""Serve a page in the browser, until Ctrl-C, on which you call hands, ask, explore and count."""

import argparse
import signal
import sys
import webbrowser

from double_study.cli.options import Options, add, whole_number

EXAMPLE = "explore --agreement through_2s"
_ENDINGS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
"""Signals that end the page as Ctrl-C does, such as the one a closed terminal sends."""


def add_options(parser: argparse.ArgumentParser) -> None:
    own: Options = {
        "port": ("N", whole_number(1024, 65535), "port to serve on (default: any free port)"),
        "no-browser": "print the address and open no browser",
    }
    add(parser, "agreement port no-browser", own)


def run(options: argparse.Namespace) -> None:
    # Imported here because it takes seconds, which --help should not wait for.
    from double_study.app.server import served

    for ending in _ENDINGS:
        signal.signal(ending, _interrupt)
    try:
        with served(options.agreement, options.port) as (address, thread):
            print(f"The page is at {address}\nCtrl-C ends it.")
            sys.stdout.flush()
            if not options.no_browser:
                webbrowser.open(address)
            thread.join()
    except KeyboardInterrupt:
        print("\nThe page has ended.")


def _interrupt(*_: object) -> None:
    raise KeyboardInterrupt
