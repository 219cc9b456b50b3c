r"""Agreement files that cannot be used, each with what its complaint must name.

A complaint names the file, the key, the value and what is allowed; the fragments here are those
words. A line of the table is a section, or - for none, what a file says there (\n is the end of a
line), or several with ; between them, and the fragments, of which IT is the setting and what the
file says of it.
"""

from collections.abc import Iterator

from shared.table_rows import cases

ALLOWED = {
    "HCP": "allowed: a whole number from 0 to 37",
    "RANGE": "allowed: [lowest, highest], whole numbers from 0 to 37, the lowest first",
    "CEILING": "allowed: a suit bid from 1D to 4S",
    "SECTIONS": "allowed: hand, opening, overcall, response, answer, continuation",
}

TABLE = r"""
response      doubles_one = 6           | "doubles_one" in [response] | double_one
response      takeout = 12              | "takeout" in [response]
responses     double_one = 6            | section "responses" | SECTIONS
-             double_one = 6            | there is no section "double_one" | SECTIONS
-             response = 6              | response = 6 | allowed: a section, [response]
-             [[response]]\ndouble_one = 6 | response = [ | a section
-             name = "ours"             | there is no section "name" | SECTIONS
response      "a\u000ab" = 1            | there is no key "a\nb"
response      "" = 1                    | there is no key "" in [response]

response      double_one.x = 6          | double_one = {"x": 6} | HCP
response      double_one = nan          | double_one = NaN | HCP
response      double_one = inf          | double_one = Infinity | HCP
response      double_one = 2020-01-01   | "2020-01-01" | HCP
response      double_one = "6"; double_one = 6.5; double_one = 6.0; double_one = true | IT | HCP
response      double_one = [6, 9]; double_one = 38; raise_two = -1 | IT | HCP
response      double = 0; double = "no" | IT | true or false
hand          good_suit = 6; good_suit = 0 | IT | from 1 to 5
opening       light_sum = 51            | IT | from 0 to 50
opening       one_notrump = [17, 15]; weak = [5]; weak = [5, 8, 10]; weak = 5 | IT | RANGE
opening       weak = "5-10"; weak = [5, 38]; weak = [5, 9.5]; weak = [[5, 6], 7] | IT | RANGE
response      double_through = "3NT"; double_through = "5C"; double_through = "1C" | IT | CEILING
response      double_through = "8S"; double_through = "spades" | IT | CEILING
response      double_through = ""; double_through = 3 | IT | CEILING

opening       light = 13                | light = 13 contradicts opening.suit = 12
opening       suit = 9                  | opening.suit = 9 | no higher than
opening       one_notrump = [15, 20]    | 15–20 contradicts | 20–21
opening       two_notrump = [10, 12]    | 10–12 | that ends below that for 2NT
answer        raise_jump = 20           | IT | raise_game = 19
continuation  invite = 14               | continuation.invite = 14 | continuation.game = 13
continuation  settle_strong = 14        | IT | settle = 13
response      notrump_invite = 14       | IT | notrump_game = 13

response      double_one = 6\ndouble_one = 7 | not TOML | line 3
continuation  game = 13\n[continuation]\ninvite = 11 | not TOML | line 3
response      double_one 6              | not TOML | line 2 | double_one = 7
-             [response\ndouble_one = 6; {"response": {"double_one": 6}} | not TOML | line 1
response      double_through = "3S; double_one = 06 | not TOML | line 2
"""


def _files(contents: str, *fragments: str) -> Iterator[tuple[bytes, list[str]]]:
    section, several = contents.split(maxsplit=1)
    for said in several.split("; "):
        text = (said if section == "-" else f"[{section}]\n{said}\n").replace(r"\n", "\n")
        known = ALLOWED | {"IT": f"{section}.{said}"}
        yield text.encode(), [known.get(words, words) for words in fragments]


BAD_AGREEMENTS = [
    *(file for case in cases(TABLE) for file in _files(*case)),
    (b"[response]\ncue_bid = 1%s" % (b"0" * 40), ["cue_bid = 1000", ALLOWED["HCP"]]),
    (b"[response]\ncue_bid = 0x%s" % (b"f" * 5000), ["number that is too", ALLOWED["HCP"]]),
    (b"[response]\ndouble_one = %s" % (b"9" * 5000), ["not TOML", "digits"]),
    (b"[response]\ndouble_one = \x00", ["not TOML", "line 2"]),
    (b"a = " + b"[" * 100_000, ["not TOML", "double_one = 7"]),
    (b"[response]\ndouble_one = 6 # caf\xe9\n", ["not text in UTF-8", "byte 31"]),
    ("[response]\ndouble_one = 6\n".encode("utf-16"), ["not text in UTF-8"]),
    (b"\x89PNG\r\n\x1a\n\x00\x00", ["not text in UTF-8", "byte 0"]),
]
