"""Settings: what they are by default, how they are read, and how an agreement is put in words.

A few seconds, most of them Hypothesis's. Random input is searched with a fixed seed.
"""

import os
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import plain.bidding as plain
import pytest
from double_study.agreements import reader
from double_study.agreements.reader import REFERENCE, load, shipped
from double_study.agreements.settings import Range
from double_study.cards.bids import Bid
from double_study.comparing import steps
from double_study.errors import InputError
from double_study.rules.explain import RULE_TABLES, sentences
from hypothesis import given, seed, settings
from hypothesis import strategies as st
from shared.commands import read_or_refused, said
from shared.plain_reading import plain_values
from shared.table_rows import cases


def test_every_number_of_the_reference_is_a_setting_with_that_default() -> None:
    """Held against the plain reading, which took its numbers from the reference's text alone.

    Settings beyond the text are marked, and do nothing by default.
    """
    assert plain_values(REFERENCE) == plain.settings()
    added = {one.key for one in REFERENCE.settings() if one.field.metadata["added"]}
    assert added == plain.ADDED
    listed = "\n".join(reader.settings_file(REFERENCE))
    assert listed.count("not in the reference's text") == len(added)


def written(folder: Path, content: bytes) -> str:
    """Write a file of one's own and return its name."""
    (folder / "ours.toml").write_bytes(content)
    return str(folder / "ours.toml")


@pytest.mark.parametrize("name", shipped())
def test_the_list_of_settings_is_a_file_that_reads_back(name: str, tmp_path: Path) -> None:
    listed = "\n".join(reader.settings_file(load(name)))
    again = load(written(tmp_path, listed.encode()))
    assert (again.digest, again.name) == (load(name).digest, "ours.toml")
    stated = tomllib.loads(listed)
    assert {f"{s}.{n}" for s, part in stated.items() for n in part} == set(again.values)


def test_a_short_file_changes_only_what_it_states(tmp_path: Path) -> None:
    assert load(written(tmp_path, b"")).digest == REFERENCE.digest
    # With the mark that some editors write first, and their ends of lines.
    short = "\ufeff# ours\r\n[response]\r\ndouble_two_major = 9\r\ndouble_through = '3♥'\r\n"
    values = load(written(tmp_path, short.encode())).values.items()
    changed = {key: value for key, value in values if value != REFERENCE.values[key]}
    assert changed == {"response.double_two_major": 9, "response.double_through": Bid.parse("3H")}


def refused(name: str) -> str:
    with pytest.raises(InputError) as caught:
        load(name)
    line = str(caught.value)
    assert "\n" not in line
    assert len(line) < 1_000
    return line


ALLOWED = {
    "HCP": "allowed: a whole number from 0 to 37",
    "RANGE": "allowed: [lowest, highest], whole numbers from 0 to 37, the lowest first",
    "CEILING": "allowed: a suit bid from 1D to 4S",
    "SECTIONS": "allowed: hand, opening, overcall, response, answer, continuation",
}


def bad_files() -> Iterator[tuple[bytes, list[str]]]:
    for contents, *fragments in cases(Path(__file__).with_name("bad_agreements.txt")):
        section, several = contents.split(maxsplit=1)
        for stated in several.split("; "):
            text = stated if section == "-" else f"[{section}]\n{stated}\n"
            known = ALLOWED | {"IT": f"{section}.{stated}"}
            yield text.replace(r"\n", "\n").encode(), [known.get(x, x) for x in fragments]


BAD_BYTES = [
    (b"[response]\ncue_bid = 1%s" % (b"0" * 40), ["cue_bid = 1000", ALLOWED["HCP"]]),
    (b"[response]\ncue_bid = 0x%s" % (b"f" * 5000), ["number that is too", ALLOWED["HCP"]]),
    (b"[response]\ndouble_one = %s" % (b"9" * 5000), ["not TOML", "digits"]),
    (b"[response]\ndouble_one = \x00", ["not TOML", "line 2"]),
    (b"a = " + b"[" * 100_000, ["not TOML", "double_one = 7"]),
    (b"[response]\ndouble_one = 6 # caf\xe9\n", ["not text in UTF-8", "byte 31"]),
    ("[response]\ndouble_one = 6\n".encode("utf-16"), ["not text in UTF-8"]),
    (b"\x89PNG\r\n\x1a\n\x00\x00", ["not text in UTF-8", "byte 0"]),
]


@pytest.mark.parametrize(("content", "fragments"), [*bad_files(), *BAD_BYTES])
def test_bad_files(content: bytes, fragments: list[str], tmp_path: Path) -> None:
    file = written(tmp_path, content)
    line = refused(file)
    for fragment in (file, "allowed: ", *fragments):
        assert fragment in line


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "long.toml").write_bytes(b"#" * 1_000_001)
    (tmp_path / "two\nlines.toml").write_text("a = 1")
    for file, what in (
        (tmp_path, "directory"),
        (tmp_path / "pipe.toml", "a pipe"),
        (tmp_path / "missing.toml", "No such file"),
        (tmp_path / "missing.toml", "or one of reference, "),
        ("x" * 300 + ".toml", "File name too long"),
        ("a\0b.toml", "null"),
        ("", "allowed"),
        (tmp_path / "two\nlines.toml", r"two\nlines.toml"),
        (tmp_path / "long.toml", "more than 1000000 bytes"),
        ("/dev/zero", "a device"),
    ):
        assert what in refused(str(file))


KEYS = [key.split(".") for key in REFERENCE.values]
SCALARS = st.none() | st.booleans() | st.integers(-5, 45) | st.integers() | st.floats()
WORDS = st.text() | st.sampled_from(["3S", "2♠", "4NT", "1C", "4S"]) | st.dates()
VALUES = st.recursive(
    SCALARS | WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=2),
    max_leaves=4,
)
DOCUMENTS = st.lists(st.tuples(st.sampled_from(KEYS), VALUES), max_size=4)


@seed(6)
@settings(max_examples=400, deadline=None, database=None)
@given(DOCUMENTS)
def test_settings_are_taken_or_refused_in_one_line(stated: list[tuple[list[str], object]]) -> None:
    document: dict[str, dict[str, object]] = {}
    for (section, name), value in stated:
        document.setdefault(section, {})[name] = value
    agreement = read_or_refused(lambda: reader.of_document(document, "ours", "ours.toml"))
    if agreement is not None:
        assert reader.of_document(agreement.document, "ours", "again").digest == agreement.digest


TOML_PIECES = st.sampled_from(
    ["[response]", "[", "]", "[[", "\n", "\r", "=", " = ", "double_one", '"', "'", '"""', "7", "-",
     "0x", ".", "1e9", "inf", "true", "{", "}", ",", "#", "\\u", "\\uD800", "é", "\x00", "\x1f",
     "1979-05-27", "07:32", "_", "99999999999999999999", "[continuation]\ngame = 12\n"]
)  # fmt: skip


@seed(6)
@settings(max_examples=600, deadline=None, database=None)
@given(st.one_of(st.lists(TOML_PIECES, max_size=12).map("".join).map(str.encode), st.binary()))
def test_files_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    file = tmp_path_factory.getbasetemp() / "any.toml"
    file.write_bytes(content)
    agreement = read_or_refused(lambda: load(str(file)))
    assert agreement is None or agreement.name == "any.toml"


@pytest.mark.parametrize(
    ("key", "value", "allowed"),
    [
        ("response.double_through", Bid.parse("3NT"), "a suit bid from 1D to 4S"),
        ("response.double_through", Bid.parse("5C"), "a suit bid from 1D to 4S"),
        ("response.double_through", Bid.parse("1C"), "a suit bid from 1D to 4S"),
        ("opening.weak", Range(10, 5), "the lowest first"),
        ("response.nothing", 1, "there is no key"),
    ],
)
def test_a_changed_setting_is_checked_as_a_file_is(key: str, value: Any, allowed: str) -> None:
    with pytest.raises(InputError, match=allowed):
        REFERENCE.changed(key, value)


def test_an_own_file_is_not_a_shipped_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in shipped():
        for file in (name, f"{name}.toml"):
            Path(file).write_text("[response]\ndouble_one = 9\n")
            own = load(f"./{file}")
            assert own.name not in shipped()
            # The name is what loads the file again from where it is, and nothing else.
            assert load(own.name) == own
            assert load(name).digest != own.digest


@pytest.mark.parametrize("name", ["Reference", "reference ", "ref\u0435rence", "through_2s."])
def test_a_file_named_like_a_shipped_one_is_called_a_file(name: str, tmp_path: Path) -> None:
    (tmp_path / name).touch()
    assert load(str(tmp_path / name)).name == f"./{name}"


WIDE = REFERENCE.changed("response.double_through", "4S")
"""With every level of the double in use, whose values are else not told."""


def test_every_setting_shows_in_the_sentences() -> None:
    """A figure that no sentence states would be a rule that readers cannot see."""
    standing = [line.strip() for line in sentences(WIDE)[1:] if line]
    for step in steps(WIDE):
        told = f"{step.setting.removesuffix('.low').removesuffix('.high')} = "
        moved = [line.strip() for line in sentences(step.agreement)[1:] if line]
        moved = [line for line in moved if not line.startswith((told, "It differs"))]
        assert moved != standing, (step.setting, step.moved)


def test_the_sentences_stand_in_the_order_in_which_the_rules_apply() -> None:
    printed, at = " ".join(said("agreement").split()), 0
    for table in RULE_TABLES:
        for words in (table.title, *(rule.sentence(REFERENCE) for rule in table.rules)):
            at = printed.index(" ".join(words.split()), at) + 1


def test_the_printed_agreement_says_what_differs() -> None:
    printed = said("agreement --agreement not_played")
    assert "response.double = false (reference: true)" in printed
    assert printed.count("does not apply: the responder's double is not played") == 7
    listed = said("agreement --agreement through_4s --settings")
    assert 'double_through = "4S"' in listed.splitlines()
