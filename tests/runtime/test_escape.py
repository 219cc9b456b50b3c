"""Text from outside stays text in every language into which it is written and read back."""

import pytest
from double_study import escape
from nbconvert.filters import markdown2html
from readers.pages import read_page
from shared.hostile_names import hostile_names

NAMES = hostile_names()


def test_a_terminal_shows_one_line_and_does_nothing_else() -> None:
    for name in NAMES:
        assert escape.terminal(name).isprintable()
    assert escape.terminal("a\x1b[31m\n\t\u202e\udcff") == r"a\x1b[31m\n\t\u202e\udcff"
    assert escape.terminal("1♥ é 漢 \\") == "1♥ é 漢 \\"


def test_html_shows_the_text() -> None:
    for name in NAMES:
        escaped = escape.html(name)
        read = read_page(f'<p title="{escaped}">{escaped}</p>')
        lines = "\n".join(map(escape.terminal, name.split("\n")))
        assert (read.text, read.tags) == (lines, [("p", {"title": lines})])


@pytest.mark.parametrize(
    ("before", "after", "tags"),
    [
        ("The agreement “", "”, as it stands.", "p"),
        ("*This does not apply: by “", "” it is not played.*", "p em"),
        ("| a | b |\n| --- | --- |\n| x", " | y |", "table thead tr th th tbody tr td td"),
        ("By ", "", "p"),
    ],
    ids=["sentence", "emphasis", "table", "last"],
)
def test_markdown_shows_the_text(before: str, after: str, tags: str) -> None:
    expected = read_page(markdown2html(f"{before}name{after}"))
    assert [tag for tag, _ in expected.tags] == tags.split()
    for name in NAMES:
        shown = escape.terminal(name)
        read = read_page(markdown2html(before + escape.markdown(name) + after))
        assert read.tags == expected.tags, name
        # Spaces at the ends of a line or a cell are not shown.
        assert read.text.split() == expected.text.replace("name", shown).split(), name


def test_bibtex_keeps_its_braces() -> None:
    for name in NAMES:
        depth, escaped = 0, iter(escape.bibtex(name))
        for each in escaped:
            assert each not in "#$%&_~^"
            if each == "\\":
                next(escaped)
            depth += (each == "{") - (each == "}")
            assert depth >= 0
        assert depth == 0
    assert escape.bibtex("a_b}{%") == r"a\_b\}\{\%"
