"""The examples of the README and of each command's help work as they stand, and warn of nothing.

A minute or two. Only the deals are fewer, and reports and checks leave out the responder's exact
calls.
"""

import os
import re
import shlex
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest
from double_study.cli.main import COMMANDS

README = Path(__file__).parents[2] / "README.md"
EXAMPLE = re.compile(r"^(?!python3).*?\.venv/bin/double-study ([^`\n]+)", re.MULTILINE)
SHOWN = EXAMPLE.findall(README.read_text(encoding="utf-8"))
MODULES = [import_module(f"double_study.cli.{name.replace('-', '_')}") for name in COMMANDS]
EXAMPLES = [*map(shlex.split, dict.fromkeys([*SHOWN, *(each.EXAMPLE for each in MODULES)]))]
LEFT_OUT = "explore", "COMMAND", "--help"
RUN = [words for words in EXAMPLES if words[0] not in LEFT_OUT]
FEWER = {
    **{"report": "--deals 1e5 --no-exact", "check": "--deals 1e5 --no-exact"},
    **{"count": "--deals 1e5", "compare": "--deals 1e5", "how-often": "--deals 1e6"},
}

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("words", RUN, ids=" ".join)
def test_an_example_works_and_warns_of_nothing(words: list[str], tmp_path: Path) -> None:
    command = [sys.executable, "-W", "error", "-m", "double_study", *words]
    command += FEWER.get(words[0], "").split()
    path = os.pathsep.join([str(README.parent), os.environ.get("PYTHONPATH", "")])
    environment = os.environ | {"PYTHONWARNINGS": "error", "PYTHONPATH": path}
    done = subprocess.run(  # noqa: S603
        command, cwd=tmp_path, env=environment, input="\n" * 100, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout
    assert "arn" not in done.stderr
