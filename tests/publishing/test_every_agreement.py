"""Every page under every agreement that is shipped: it renders, and what it says is true there.

Each notebook runs in place on few deals; every figure is drawn, and its words are read. Ten seconds an
agreement, once the reference's exact chances are cached. An agreement is one test, so that workers
share them.
"""

import re
from collections.abc import Callable, Iterator

import pytest
from double_study.agreements.reader import REFERENCE, Agreement, load, shipped
from double_study.counting import run as study
from double_study.lessons import hour
from double_study.numbers_in_words import number
from double_study.report.lesson_plan import lessons
from double_study.report.publish import notebooks_in
from double_study.report.text_pages import decision, text_pages
from double_study.tables import TABLE_FILES, Run
from matplotlib.figure import Figure
from readers.page_text import page_text

DEALS, SEED = 30_000, 5
OF_OTHERS = ("07_agreements_compared", "changes")
"""Pages that speak of other agreements, or of version 1.0."""

pytestmark = pytest.mark.slow


def drawn(figure: Figure, alt: str) -> None:
    """Draw a figure, which may not warn, and have words for it: fewer than five only name it."""
    assert len(alt.split()) >= 5
    figure.draw_without_rendering()


def pages_of(run: Run) -> dict[str, str]:
    """Return what each page says: notebooks, text pages, the front page's decision, the lesson and
    its handout.
    """
    pages = {path.stem: page_text(path, run, drawn) for path in notebooks_in()}
    pages |= {
        name: re.sub(r"```.*?```", "", text, flags=re.DOTALL)  # BibTeX has braces
        for name, (_, text) in text_pages(run, [], TABLE_FILES).items()
    }
    for lesson in lessons(run, SEED) if run.doubled else ():
        [hour] = lesson.hours
        pages |= {"plan": lesson.plan(hour), "handout": lesson.handout(hour)}
    return pages | {"front page": decision(run)}


@pytest.mark.parametrize("name", shipped())
def test_every_page_is_true(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hour, "SEARCHED_DEALS", 200_000)
    agreement = load(name)
    tally = study.count(DEALS, SEED, agreement, workers=1, progress=False)
    pages = pages_of(Run.of(tally, SEED, agreement))
    found = {page: [*nonsense(text)] for page, text in pages.items()}
    for page, text in pages.items():
        if page not in OF_OTHERS:
            found[page] += [*untrue(text, agreement)]
    assert not {page: wrong for page, wrong in found.items() if wrong}
    # The patterns still fit what the pages say.
    whole = "\n".join(pages.values())
    assert len(RULE.findall(whole)) > len(pages)
    unsaid = [words for words in STATED if not re.search(words, whole)]
    assert agreement != REFERENCE or not unsaid


NO_NUMBER = re.compile(r"\b(?:nan|inf|NaN|NaT)\b|\bNone\b(?! of)|<NA>|[{}]")
RULE = re.compile(r"^\|(?: ?:?-+:? ?\|)+$", re.MULTILINE)
"""What stands below the headings of a table."""
IMPOSSIBLE = re.compile(r"(?<![\d.])\d{4,}(?:\.\d+)?%")


def nonsense(text: str) -> Iterator[str]:
    """Yield the lines with what is no number or no share, and tables that are a heading and no row."""
    yield from (x for x in text.splitlines() if NO_NUMBER.search(x) or IMPOSSIBLE.search(x))
    lines = [*text.splitlines(), ""]
    rules = [at for at, line in enumerate(lines) if RULE.fullmatch(line)]
    yield from (lines[at - 1] for at in rules if not lines[at + 1].startswith("|"))


def untrue(text: str, agreement: Agreement) -> Iterator[str]:
    """Yield the statements that the agreement's settings contradict."""
    for words, holds in ONLY_WHERE.items():
        if not holds(agreement):
            yield from (found.group() for found in re.finditer(words, text))
    for words, setting in STATED.items():
        wanted = str(setting(agreement))
        yield from (f[0] for f in re.finditer(words, text) if f[1] != wanted)


def reaches(level: int) -> Callable[[Agreement], bool]:
    return lambda a: a.response.double and a.response.double_through.level >= level


ONLY_WHERE: dict[str, Callable[[Agreement], bool]] = {
    r"Double with|asks partner to bid: counted|Teach the double after": reaches(1),
    r"three-level overcalls|over level 3\b|[♣♦♥♠] \(3[♣♦♥♠]\): ": reaches(3),
    r"four-level overcalls|over level 4\b": reaches(4),
    r"four or more in each major": lambda a: a.response.both_majors,
    r"four or more in a major": lambda a: not a.response.both_majors,
    r"or the one four-card major": lambda a: a.response.one_level_cards == 4,
    r"if four were enough; the agreement asks for five": lambda a: a.response.penalty_cards == 5,
    r"Under this agreement four good cards are enough": lambda a: a.response.penalty_cards == 4,
}
"""Words, and the agreements under which alone a page may say them."""

STATED: dict[str, Callable[[Agreement], object]] = {
    r"The double always needs (\d+) HCP": lambda a: a.response.double_hcp,
    r"is made on at most (\d+) cards": lambda a: a.response.double_cards,
    r"\| exactly four spades \| 1 \| (\d+) \|": lambda a: a.response.double_one,
    r"\| the (?:one )?unbid major \| 3 \| (\d+) \|": lambda a: a.response.double_three,
    r"three-level overcalls the agreement asks (\d+) points more": lambda a: (
        a.response.double_three - a.response.double_one
    ),
    r"penalties on (\w+) good cards": lambda a: number(a.response.penalty_cards),
    r"1♦ \(1♥\): exactly four spades\n\n.*The rule\.\*\* Double with [^.]* and (\d+)\+": lambda a: (
        a.response.double_one
    ),
}
"""Statements that have a number in them, and the setting that it must be."""
