"""What several tests share: one whole report, made once by the main command."""

from contextlib import redirect_stderr
from pathlib import Path

import pytest

from analysis.__main__ import main


@pytest.fixture(scope="session")
def report(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a small report from the real notebooks; beside it what the command said."""
    folder = tmp_path_factory.mktemp("report") / "out"
    command = ["report", "--deals", "120_000", "--seed", "31", "--out", str(folder)]
    with (folder.parent / "stderr").open("w") as said, redirect_stderr(said):
        assert main(command) == 0
    return folder
