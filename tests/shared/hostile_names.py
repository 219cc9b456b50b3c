"""A thousand names that would be markup, code or cursor movements, were they not escaped."""

import random

PIECES = (
    *(
        "<img src=x onerror=alert(1)>",
        "</p><script>alert(1)</script>",
        "<!--",
        "-->",
        "&lt;",
        "&#60;",
    ),
    *('"', "'", "`", "```", "|", "||", "*", "**", "_", "__", "~~", "[a](b)", "![a](b)", "[", "]"),
    *(
        "(",
        ")",
        "<",
        ">",
        "&",
        "#",
        "# ",
        "- ",
        "+ ",
        "1. ",
        "> ",
        "$",
        "$$x$$",
        "\\",
        "\\\\",
        "\\(",
    ),
    *(
        "{",
        "}",
        "}}",
        "{{",
        "@misc{x,",
        "%",
        "^",
        "~",
        "=",
        "http://x.y",
        "<http://x.y>",
        "a@b.c",
        "www.x.y",
        "HTTPS://X.Y",
    ),
    *("\n", "\r\n", "\n\n", "\t", "\x00", "\x1b[31m", "\x1b]0;x\x07", "\x7f", "\x9b", "\u2028"),
    *(
        "\u202e",
        "\u200f",
        "\ufeff",
        "\udcff",
        "\ud800",
        "é",
        "♠",
        "漢",
        "🂡",
        " ",
        "  ",
        "name",
        "7",
    ),
)


def hostile_names(number: int = 1000, seed: int = 12) -> list[str]:
    rng = random.Random(seed)  # noqa: S311 - nothing secret
    return ["".join(rng.choices(PIECES, k=rng.randint(1, 8))) for _ in range(number)]


HOSTILE_FILE = "<img src=x onerror=alert(1)> | } $x$ $ _a_ `b` &lt;.toml"
"""A name that a file can have."""
