"""Every page under every agreement that is shipped: it renders, and says no nonsense.

Each notebook runs in place on few deals; what is drawn is not looked at, its words are. About three
seconds an agreement, once the reference's exact chances are kept.
"""

import re
from functools import cache

import pytest
from readers.page_text import page_text

from analysis.agreements.agreement import load, shipped
from analysis.counting import sampling
from analysis.counting.run import Run
from analysis.publishing.publish import notebooks_in

DEALS, SEED = 30_000, 5

pytestmark = pytest.mark.slow


@cache
def pages(name: str) -> dict[str, str]:
    """What each page says under a shipped agreement."""
    agreement = load(name)
    tally = sampling.count(DEALS, SEED, agreement, workers=1, progress=False)
    run = Run.of(tally, SEED, agreement)
    return {path.stem: page_text(path, run) for path in notebooks_in()}


every_agreement = pytest.mark.parametrize("name", shipped())

NO_NUMBER = re.compile(r"\b(?:nan|inf|NaN|NaT)\b|\bNone\b(?! of)|<NA>|[{}]")


@every_agreement
def test_every_page_renders_and_every_number_is_one(name: str) -> None:
    for page, text in pages(name).items():
        assert not [line for line in text.splitlines() if NO_NUMBER.search(line)], page


@every_agreement
def test_no_table_is_empty(name: str) -> None:
    """A heading row, the rule below it, and then at least one row."""
    tables = 0
    for page, text in pages(name).items():
        lines = [*text.splitlines(), ""]
        rules = [at for at, line in enumerate(lines) if re.fullmatch(r"\|(?: ?:?-+:? ?\|)+", line)]
        assert all(lines[at + 1].startswith("|") for at in rules), page
        tables += len(rules)
    assert tables > len(
        pages(name)
    )  # pages have a table and more: the pattern of a rule still fits
