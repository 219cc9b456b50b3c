"""Agreement files that cannot be used, each with what its complaint must name.

A complaint names the file, the key, the value and what is allowed; the fragments here are those
words. The contents are text, or bytes where they are no text.
"""

from typing import NamedTuple


class Bad(NamedTuple):
    """One file: what is wrong, its content, and fragments of the one line that must be said."""

    what: str
    content: str | bytes
    fragments: tuple[str, ...]


HCP = "allowed: a whole number from 0 to 37"
RANGE = "allowed: [lowest, highest], whole numbers from 0 to 37, the lowest first"
CEILING = "allowed: a suit bid from 1D to 4S"
SECTIONS = "allowed: hand, opening, overcall, response, answer, continuation"


def _response(line: str) -> str:
    return f"[response]\n{line}\n"


def _opening(line: str) -> str:
    return f"[opening]\n{line}\n"


BAD_AGREEMENTS = [
    # Keys
    Bad(
        "there is no key",
        _response("doubles_one = 6"),
        ('"doubles_one" in [response]', "double_one"),
    ),
    Bad("key of another section", _response("takeout = 12"), ('"takeout" in [response]',)),
    Bad("there is no section", "[responses]\ndouble_one = 6", ('section "responses"', SECTIONS)),
    Bad("key outside a section", "double_one = 6", ('there is no section "double_one"', SECTIONS)),
    Bad(
        "section given a value", "response = 6", ("response = 6", "allowed: a section, [response]")
    ),
    Bad("array of sections", "[[response]]\ndouble_one = 6", ("response = [", "a section")),
    Bad("name is no section", 'name = "ours"', ('there is no section "name"', SECTIONS)),
    Bad("key of two lines", '[response]\n"a\\nb" = 1', (r'there is no key "a\nb"',)),
    Bad("empty key", '[response]\n"" = 1', ('there is no key "" in [response]',)),
    Bad("key within a key", _response("double_one.x = 6"), ('double_one = {"x": 6}', HCP)),
    # Types
    Bad("points as text", _response('double_one = "6"'), ('double_one = "6"', HCP)),
    Bad("points with a fraction", _response("double_one = 6.5"), ("double_one = 6.5", HCP)),
    Bad("whole points as a fraction", _response("double_one = 6.0"), ("double_one = 6.0", HCP)),
    Bad("points that are no number", _response("double_one = nan"), ("double_one = NaN", HCP)),
    Bad("endless points", _response("double_one = inf"), ("double_one = Infinity", HCP)),
    Bad("points as yes or no", _response("double_one = true"), ("double_one = true", HCP)),
    Bad("points as a range", _response("double_one = [6, 9]"), ("double_one = [6, 9]", HCP)),
    Bad("points as a date", _response("double_one = 2020-01-01"), ('"2020-01-01"', HCP)),
    Bad("yes or no as a number", _response("double = 0"), ("double = 0", "true or false")),
    Bad("yes or no as text", _response('double = "no"'), ('double = "no"', "true or false")),
    # Points
    Bad("above all points", _response("double_one = 38"), ("double_one = 38", HCP)),
    Bad("below none", _response("raise_two = -1"), ("raise_two = -1", HCP)),
    Bad("far too many", _response(f"cue_bid = {10**40}"), ("cue_bid = 1000", HCP)),
    Bad("more than the pack", _response(f"cue_bid = 0x{'f' * 5000}"), ("number that is too", HCP)),
    Bad("good suit of six", "[hand]\ngood_suit = 6", ("hand.good_suit = 6", "from 1 to 5")),
    Bad("good suit of none", "[hand]\ngood_suit = 0", ("hand.good_suit = 0", "from 1 to 5")),
    Bad("sum too large", _opening("light_sum = 51"), ("light_sum = 51", "from 0 to 50")),
    # Ranges
    Bad("upside down", _opening("one_notrump = [17, 15]"), ("one_notrump = [17, 15]", RANGE)),
    Bad("one end", _opening("weak = [5]"), ("weak = [5]", RANGE)),
    Bad("three ends", _opening("weak = [5, 8, 10]"), ("weak = [5, 8, 10]", RANGE)),
    Bad("a number for a range", _opening("weak = 5"), ("weak = 5", RANGE)),
    Bad("text for a range", _opening('weak = "5-10"'), ('weak = "5-10"', RANGE)),
    Bad("range above all points", _opening("weak = [5, 38]"), ("weak = [5, 38]", RANGE)),
    Bad("range with a fraction", _opening("weak = [5, 9.5]"), ("weak = [5, 9.5]", RANGE)),
    Bad("range of ranges", _opening("weak = [[5, 6], 7]"), ("weak = [[5, 6], 7]", RANGE)),
    # Ceilings
    Bad("ceiling of notrump", _response('double_through = "3NT"'), ('= "3NT"', CEILING)),
    Bad("ceiling too high", _response('double_through = "5C"'), ('= "5C"', CEILING)),
    Bad("ceiling too low", _response('double_through = "1C"'), ('= "1C"', CEILING)),
    Bad("ceiling of no level", _response('double_through = "8S"'), ('= "8S"', CEILING)),
    Bad("ceiling that is no bid", _response('double_through = "spades"'), ('"spades"', CEILING)),
    Bad("empty ceiling", _response('double_through = ""'), ('double_through = ""', CEILING)),
    Bad("ceiling as a number", _response("double_through = 3"), ("double_through = 3", CEILING)),
    # Contradictions
    Bad("light above full", _opening("light = 13"), ("light = 13 contradicts opening.suit = 12",)),
    Bad("full below light", _opening("suit = 9"), ("opening.suit = 9", "no higher than")),
    Bad("1NT into 2NT", _opening("one_notrump = [15, 20]"), ("15–20 contradicts", "20–21")),
    Bad(
        "2NT under 1NT",
        _opening("two_notrump = [10, 12]"),
        ("10–12", "that ends below that for 2NT"),
    ),
    Bad("jump above game", "[answer]\nraise_jump = 20", ("raise_jump = 20", "raise_game = 19")),
    Bad(
        "invitation above game",
        "[continuation]\ninvite = 14",
        ("continuation.invite = 14", "continuation.game = 13"),
    ),
    Bad(
        "strength needs more",
        "[continuation]\nsettle_strong = 14",
        ("settle_strong = 14", "settle = 13"),
    ),
    Bad(
        "2NT above 3NT",
        _response("notrump_invite = 14"),
        ("notrump_invite = 14", "notrump_game = 13"),
    ),
    # Not TOML, or not text
    Bad("a key twice", _response("double_one = 6\ndouble_one = 7"), ("not TOML", "line 3")),
    Bad(
        "a section twice",
        "[continuation]\ngame = 13\n[continuation]\ninvite = 11",
        ("not TOML", "line 3"),
    ),
    Bad("no equals sign", _response("double_one 6"), ("not TOML", "line 2", "double_one = 7")),
    Bad("a section left open", "[response\ndouble_one = 6", ("not TOML", "line 1")),
    Bad("text left open", _response('double_through = "3S'), ("not TOML", "line 2")),
    Bad("a leading nought", _response("double_one = 06"), ("not TOML", "line 2")),
    Bad("JSON", '{"response": {"double_one": 6}}', ("not TOML", "line 1")),
    Bad("brackets without end", "a = " + "[" * 100_000, ("not TOML", "double_one = 7")),
    Bad("digits without end", _response("double_one = " + "9" * 5000), ("not TOML", "digits")),
    Bad("not UTF-8", b"[response]\ndouble_one = 6 # caf\xe9\n", ("not text in UTF-8", "byte 31")),
    Bad("UTF-16", "[response]\ndouble_one = 6\n".encode("utf-16"), ("not text in UTF-8",)),
    Bad("a picture", b"\x89PNG\r\n\x1a\n\x00\x00", ("not text in UTF-8", "byte 0")),
    Bad("control characters", "[response]\ndouble_one = \x00", ("not TOML", "line 2")),
]
