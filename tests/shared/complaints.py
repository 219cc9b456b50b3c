"""What a command says of input that it cannot use."""

import pytest
from double_study.cli.main import BAD_INPUT, LONGEST_LINE, main


def complaint(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Return the one line with which a command refuses bad input."""
    assert main(arguments) == BAD_INPUT
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("double-study: ")
    assert said.err.count("\n") == 1
    assert said.err.rstrip("\n").isprintable()
    assert len(said.err) <= LONGEST_LINE + 1
    return said.err
