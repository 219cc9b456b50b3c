"""Text from a stranger is never run: fifty ways out of a condition, each refused with one line."""

from pathlib import Path

import pytest
from double_study.conditions import parse
from double_study.errors import InputError
from double_study.how_often import checked

WAYS_OUT = [
    *Path(__file__).with_name("ways_out.txt").read_text(encoding="utf-8").splitlines(),
    *("", " ", "level == 1\nimport os", "level == 1\x00", "not " * 400 + "level == 1"),
    "(" * 5000 + "level == 1" + ")" * 5000,
    "level == " + "-" * 1000 + "1",
    "level == 1" + " or level == 1" * 200,
    "level == " + "9" * 1900,
]


@pytest.mark.parametrize("text", WAYS_OUT, ids=lambda text: ascii(text)[:40])
def test_a_way_out_is_refused_with_one_line(text: str) -> None:
    with pytest.raises(InputError) as refused:
        checked(text, "where")
    assert "\n" not in str(refused.value)
    assert str(refused.value).startswith("where ")


def test_there_are_fifty_ways_and_no_way_is_there_twice() -> None:
    assert len({*WAYS_OUT}) == len(WAYS_OUT) >= 50


def test_what_is_not_text_is_refused() -> None:
    for what in (1, None, ["level == 1"], b"level == 1"):
        with pytest.raises(InputError, match="this is not text; allowed: a condition"):
            parse(what)  # type: ignore[arg-type]
