"""Bad input: status 2, one line that says what is wrong and what is allowed, nothing written."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from double_study.cli import report
from double_study.cli.main import COMMANDS
from shared.commands import complaint
from shared.table_rows import cases


def bad_commands() -> Iterator[tuple[str, str]]:
    """Yield commands, each with a piece of the one line that says what is wrong."""
    command = ""
    for first, *more in cases(Path(__file__).with_name("bad_commands.txt")):
        if not more:
            command = first.strip("[]")
        elif command == "numbers":
            for value in more[0].split():
                yield f"{first} {value}", f"{first.split()[-1]} {value} is not {more[1]}"
        else:
            *given, several, said = first, *more
            for one in several.split(";"):
                yield command.format(*given, one.strip()), said
    yield 'ask "K752.AJ64.83.T9\n" "1D 1S"', "12 cards"
    yield f"agreement --new {'x' * 300}.toml", "File name too long; allowed: "
    for name in COMMANDS:
        yield f'{name} "--no\x1b[31m\n\t\u202e{"x" * 10_000}"', "double-study: "


LONG = "x" * 300
DEEP = "/".join(["x" * 100] * 50)

BAD_FOLDERS = [
    *"/ // taken taken/inside pipe pipe/inside loop loop/in nowhere nowhere/inside".split(),
    *"/dev/null /dev/full /dev/null/inside /proc/self/mem /proc/none/out".split(),
    *("", ".." * 200, LONG, DEEP, f"folder/{LONG}", f"{LONG}/inside", "a\0b", "\udcff" * 250),
]

BAD_FILES = [
    *"/ . .. folder folder/ pipe pipe/inside loop loop/inside nowhere missing/run.store".split(),
    *"taken/inside /dev/null /dev/full /dev/zero /dev/stdin /proc/self/mem /proc/none".split(),
    *("", LONG, DEEP, "a\0b"),
]

BAD_ADDRESSES = [
    *"here tcp tcp: tcp:// tls:// tls://127.0.0.1:1 tcp://127.0.0.1:1 tcp://127.0.0.1:0".split(),
    *"tcp://127.0.0.1:99999 tcp://127.0.0.1:-1 tcp://127.0.0.1:x tcp://[::1 tcp://[::1]:1".split(),
    *"ucx://127.0.0.1:1 inproc:// inproc://1/1/1 ws://x:1 http://127.0.0.1:1".split(),
    *"file:///etc/passwd tcp://a..b:1 127.0.0.1:1 :1 1".split(),
    *("", " ", "a\0b", "\x1b[31m", "tcp://\udcff:1", "x" * 5000, f"tcp://{'x' * 5000}:1"),
    *("\n", "\u202e"),
]


@pytest.fixture(autouse=True)
def _places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Make the folder that the commands are run in, which stays as it is."""
    monkeypatch.chdir(tmp_path)
    Path("taken").write_text("a file")
    Path("folder").mkdir()
    os.mkfifo("pipe")
    Path("loop").symlink_to("loop")
    Path("nowhere").symlink_to("missing")
    before = set(tmp_path.rglob("*"))
    yield
    assert set(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(("command", "expected"), list(bad_commands()))
def test_bad_commands(command: str, expected: str) -> None:
    assert expected in complaint(command)


REFUSED = {"out": BAD_FOLDERS, "store": BAD_FILES, "cluster": BAD_ADDRESSES}


@pytest.mark.parametrize(
    ("option", "place"), [(option, place) for option in REFUSED for place in REFUSED[option]]
)
def test_places_that_are_refused(option: str, place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    # What is not there stays silent.
    monkeypatch.setattr("double_study.counting.cluster.SECONDS", 0.2)
    line = complaint(["count", "--deals", "100", "--out", "out", f"--{option}={place}"])
    assert option in line
    assert "; allowed: " in line


@pytest.mark.parametrize("options", ["--store taken", "--store missing/x", "--cluster here"])
def test_reports_are_refused_before_the_work(options: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(report, "compute_exact", lambda *_, **__: pytest.fail("begun"))
    assert options.split()[0].lstrip("-") in complaint(f"report {options}")
