"""A thousand names that would be markup, code or cursor movements, were they not escaped."""

import random

PIECES = [
    *"</p><script>alert(1)</script> <!-- --> &lt; &#60; \" ' ` ``` | || * ** _ __ ~~".split(),
    *"[a](b) ![a](b) [ ] ( ) < > & # $ $$x$$ \\ \\\\ \\( { } }} {{ @misc{x, % ^ ~ = 7 name".split(),
    *"http://x.y <http://x.y> a@b.c www.x.y HTTPS://X.Y é ♠ 漢 🂡".split(),
    *("<img src=x onerror=alert(1)>", "# ", "- ", "+ ", "1. ", "> ", " ", "  "),
    *("\n", "\r\n", "\n\n", "\t", "\x00", "\x1b[31m", "\x1b]0;x\x07", "\x7f", "\x9b", "\u2028"),
    *("\u202e", "\u200f", "\ufeff", "\udcff", "\ud800"),
]


def hostile_names(number: int = 1000, seed: int = 12) -> list[str]:
    rng = random.Random(seed)  # noqa: S311 - nothing secret
    return ["".join(rng.choices(PIECES, k=rng.randint(1, 8))) for _ in range(number)]


HOSTILE_FILE = "<img src=x onerror=alert(1)> | } $x$ $ _a_ `b` &lt;.toml"
"""A name that a file can have."""
