"""Text from a stranger is never run: fifty ways out of a condition, each refused with one line."""

import pytest
from double_study.errors import InputError
from double_study.expressions import parse
from double_study.how_often import checked

WAYS_OUT = [
    "__import__('os').system('true')",
    "exec('1')",
    "eval('level == 1')",
    "open('x')",
    "print(level)",
    "call.name == 'double'",
    "call.__class__ == 'double'",
    "level.__class__.__mro__[1]",
    "().__class__.__bases__[0].__subclasses__()",
    "'x'.format(level) == 'x'",
    "'{0.__class__}'.format(level) == call",
    "f'{level}' == call",
    "call[0] == 'd'",
    "'abc'[0] == call",
    "level[level == 1]",
    "@level == 1",
    "@pd.read_pickle('x')",
    "`level` == 1",
    "lambda: level == 1",
    "(lambda: 1)() == level",
    "[x for x in call] == level",
    "level in [x for x in (1, 2)]",
    "level in {x for x in (1, 2)}",
    "level in (x for x in (1, 2))",
    "level in {1: 2}",
    "level in [*(1, 2)]",
    "level in range(3)",
    "(x := level) == 1",
    "level == 1 if level else 2",
    "level == 9 ** 9 ** 9",
    "level == 10 ** 10",
    "level == 1e308 + 1e308",
    "level == 2000000000",
    "level == 1 << 99",
    "level * 2 == 2",
    "level / 0 == 1",
    "level // 1 == 1",
    "level % 2 == 1",
    "level @ level == 1",
    "level == 1 & seat == 1",
    "level == 1 | seat == 1",
    "~(level == 1)",
    "level ^ 1 == 1",
    "level is None",
    "level == None",
    "level == ...",
    "level == 1j",
    "call == b'double'",
    "__builtins__ == 1",
    "__name__ == '__main__'",
    "await level == 1",
    "(yield level) == 1",
    "level == 1; import os",
    "level == 1\nimport os",
    "import os",
    "level = 1",
    "del level",
    "assert level == 1",
    "call == '\\d'",
    "level == 1\x00",
    "(" * 5000 + "level == 1" + ")" * 5000,
    "not " * 400 + "level == 1",
    "level == " + "-" * 1000 + "1",
    "level == 1" + " or level == 1" * 200,
    "level == " + "9" * 1900,
    "",
    " ",
    "1",
    "'double'",
    "level",
    "level + 1",
    "1 == 1",
    "not level",
    "level == call",
    "call == 'nobody'",
    "call == 3",
    "level == 'one'",
    "level in 1",
    "level in [[1]]",
    "level in ['one']",
    "[1, 2] == level",
    "call + 1 == 2",
    "level == -'x'",
    "level == 1 and call",
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
