"""What all tests share, and the workers that run them side by side: exact tables and one report."""

import os
from collections.abc import Iterator
from contextlib import redirect_stderr
from functools import lru_cache
from pathlib import Path

# Read when NumPy is loaded. The tests' own workers fill the processors already: with threads of
# linear algebra beside them the exact counts take three times the processor time.
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import pytest
from double_study.cli.main import main
from double_study.files import locked
from shared.hostile_names import HOSTILE_FILE


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Move the tests that need one of the two reports to the front.

    They come first, so that one worker runs them all and no other worker waits for a report.
    """
    for item in items:
        if {"report", "exact_report"} & {*getattr(item, "fixturenames", ())}:
            item.add_marker("whole")
    items.sort(key=lambda item: item.get_closest_marker("whole") is None)


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder that all workers of this run of the tests share."""
    folder = tmp_path_factory.getbasetemp()
    return folder.parent if "PYTEST_XDIST_WORKER" in os.environ else folder


@pytest.fixture(scope="session", autouse=True)
def _exact_tables(shared: Path) -> Iterator[None]:
    """Cache exact tables in a folder that all tests share, and leave the user's own cache alone."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(shared / "cache"))
        yield


@pytest.fixture(scope="session", autouse=True)
def _searches() -> Iterator[None]:
    """Search the same deals for boards once, however many tests of a worker draw from them."""
    from double_study.lessons import hour, practice, search

    once = lru_cache(search.search)
    with pytest.MonkeyPatch.context() as patch:
        for module in (hour, practice):
            patch.setattr(module, "search", once)
        yield


@pytest.fixture(scope="session")
def exact_report(shared: Path) -> Path:
    """The folder of a report of the first page, made while no exact calls of the reference were cached.

    They are cached from then on. Tests that need them request this report first, so that all tests
    together compute them once.
    """
    # Imported here, because at the top the process that distributes the tests would wait for seconds.
    from shared.exact_report import make_exact_report

    folder = shared / "exact report"
    with locked(shared / "exact-report-of-the-tests", "the exact report", wait=True):
        if not folder.exists():
            make_exact_report(folder)
    return folder


@pytest.fixture(scope="session")
def report(shared: Path, exact_report: Path) -> Path:
    """Return the folder of a small report from the real notebooks, beside the command's output.

    The agreement is the reference in a file of a name that would be markup. Its exact calls are
    cached by now, but ``--no-exact`` leaves them out.
    """
    folder, agreement = shared / "report", shared / HOSTILE_FILE
    agreement.touch()
    command = ["report", "--no-exact", "--deals", "120_000", "--seed", "31", "--out", str(folder)]
    command += ["--agreement", str(agreement), "--workers", "1"]
    with locked(shared / "report-of-the-tests", "the report of the tests", wait=True):
        if not folder.exists():
            with (shared / "stderr").open("w") as said, redirect_stderr(said):
                assert main(command) == 0
    return folder
