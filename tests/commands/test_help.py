"""The help texts. Five seconds."""

import shlex
import tomllib
from importlib import import_module

import pytest
from double_study.agreements.reader import shipped
from double_study.cli.main import COMMANDS, command_parser
from double_study.sources import CHECKOUT
from shared.commands import said


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_s_help_has_an_example_that_is_read(name: str) -> None:
    command = import_module(f"double_study.cli.{name.replace('-', '_')}")
    first, *rest = shlex.split(command.EXAMPLE)
    assert f"example: double-study {command.EXAMPLE}" in " ".join(said([name, "--help"]).split())
    assert first == name
    assert command_parser(name).parse_intermixed_args(rest).run == command.run


@pytest.mark.parametrize("name", ["ask", "compare", "explore", "quiz", "agreement"])
def test_the_shipped_agreements_are_named(name: str) -> None:
    assert ", ".join(shipped()) in " ".join(said([name, "--help"]).split())


def test_the_version() -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["project"]
    assert said("--version") == f"double-study {project['version']}\n"


def test_the_list_of_commands_says_what_each_does() -> None:
    told = " ".join(said("--help").split())
    for name, does in COMMANDS.items():
        assert f"{name} {does}" in told
