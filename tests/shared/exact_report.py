"""The report that works the exact values out, once for all tests."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from double_study.agreements.reader import REFERENCE, shipped
from double_study.cli import exact
from double_study.cli.main import main
from double_study.combinatorics.table import calls_cached
from double_study.comparing import steps
from double_study.report import publish, sample

EXACT_COMMAND = ["report", "--deals", "1e5", "--seed", "29"]


@contextmanager
def few_served() -> Iterator[None]:
    """Within it few of the other agreements that the reference's counts serve get their exact calls.

    All of them, some seventy, would take a sixth of the time again.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(exact, "steps", lambda agreement: steps(agreement)[::40])
        patch.setattr(exact, "shipped", lambda: shipped()[:3])
        yield


@contextmanager
def first_page_only(folder: Path) -> Iterator[None]:
    """Within it a report has its first page only, without lesson and sample, which are never exact.

    ``folder`` holds that page's notebook.
    """
    page = Path(shutil.copy(publish.NOTEBOOKS / "01_how_often.ipynb", folder))
    with few_served(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(publish, "notebooks_in", lambda: [page])
        patch.setattr(publish, "write_lessons", lambda *_: None)
        patch.setattr(sample, "write_sample", lambda *_: None)
        yield


def make_exact_report(folder: Path) -> None:
    """Return a report of the first page, made while no exact calls of the reference are cached."""
    assert not calls_cached(REFERENCE), "a test worked them out without this report"
    with first_page_only(folder.parent):
        assert main([*EXACT_COMMAND, "--out", str(folder)]) == 0
