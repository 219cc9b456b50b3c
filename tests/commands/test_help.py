"""The help texts and what a reader is told there. Five seconds."""

import shlex
from importlib import import_module, metadata

import pytest
from double_study.agreements.reader import shipped
from double_study.cli.main import COMMANDS, command_parser, main
from double_study.counting import run as provenance


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_s_help_has_an_example_that_is_read(name: str) -> None:
    command = import_module(f"double_study.cli.{name}")
    assert command.NAME == name
    said = " ".join(command_parser(name).format_help().split())
    assert f"example: double-study {command.EXAMPLE}" in said
    first, *rest = shlex.split(command.EXAMPLE)
    assert first == name
    assert command_parser(name).parse_intermixed_args(rest).run == command.run


@pytest.mark.parametrize("name", ["ask", "compare", "explore", "quiz", "agreement"])
def test_the_shipped_agreements_are_named(name: str) -> None:
    said = " ".join(command_parser(name).format_help().split())
    assert ", ".join(shipped()) in said


def test_the_version(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(provenance, "versions", lambda: {"study": "9.8.7"})
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == "double-study 9.8.7\n"

    def not_installed() -> dict[str, str]:
        raise metadata.PackageNotFoundError

    monkeypatch.setattr(provenance, "versions", not_installed)
    assert main(["--version"]) == 1
    assert capsys.readouterr().err == "double-study: a copy that is not installed has no version\n"


def test_the_list_of_commands_says_what_each_does(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    for name in COMMANDS:
        assert import_module(f"double_study.cli.{name}").HELP in said
