"""The README's examples work as they stand there, and warn of nothing. A minute or two.

Only the deals are fewer, and reports and checks leave out the responder's exact calls.
"""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from double_study.cli.main import COMMANDS

README = Path(__file__).parents[2] / "README.md"
EXAMPLE = re.compile(r"`\.venv/bin/double-study (.+?)`")
EXAMPLES = [shlex.split(words) for words in EXAMPLE.findall(README.read_text(encoding="utf-8"))]
RUN = [words for words in EXAMPLES if words[:1] != ["explore"] and "COMMAND" not in words]
FEWER = {
    "report": ["--deals", "1e5", "--no-exact"],
    "count": ["--deals", "1e5"],
    "check": ["--deals", "1e5", "--no-exact"],
    "compare": ["--deals", "1e5"],
}

pytestmark = pytest.mark.slow


def test_every_command_has_an_example() -> None:
    assert {words[0] for words in EXAMPLES} - {"COMMAND"} == set(COMMANDS)


@pytest.mark.parametrize("words", RUN, ids=" ".join)
def test_an_example_works_and_warns_of_nothing(words: list[str], tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-W",
        "error",
        "-m",
        "double_study",
        *words,
        *FEWER.get(words[0], []),
    ]
    path = os.pathsep.join([str(README.parent), os.environ.get("PYTHONPATH", "")])
    environment = os.environ | {"PYTHONWARNINGS": "error", "PYTHONPATH": path}
    done = subprocess.run(  # noqa: S603
        command, cwd=tmp_path, env=environment, input="\n" * 100, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout
    assert "arn" not in done.stderr
