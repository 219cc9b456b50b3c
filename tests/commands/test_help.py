"""The help texts. Five seconds."""

import shlex
import tomllib
from importlib import import_module

import pytest
from double_study.agreements.reader import shipped
from double_study.cli.main import COMMANDS, command_parser, main
from double_study.sources import CHECKOUT


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_s_help_has_an_example_that_is_read(name: str) -> None:
    command = import_module(f"double_study.cli.{name.replace('-', '_')}")
    said = " ".join(command_parser(name).format_help().split())
    assert f"example: double-study {command.EXAMPLE}" in said
    first, *rest = shlex.split(command.EXAMPLE)
    assert first == name
    assert command_parser(name).parse_intermixed_args(rest).run == command.run


@pytest.mark.parametrize("name", ["ask", "compare", "explore", "quiz", "agreement"])
def test_the_shipped_agreements_are_named(name: str) -> None:
    said = " ".join(command_parser(name).format_help().split())
    assert ", ".join(shipped()) in said


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["project"]
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == f"double-study {project['version']}\n"


def test_the_list_of_commands_says_what_each_does(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    for name, does in COMMANDS.items():
        assert f"{name} {does}" in said
