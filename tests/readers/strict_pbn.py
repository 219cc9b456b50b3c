"""A strict reader of Portable Bridge Notation 2.1, export format, written from the standard's rules.

Rules marked (row) are those of tests/published/published_values.csv, kind `standard`; those marked
(memory) were written from memory of https://www.tistis.nl/pbn/pbn_v21.txt, the section beside them.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from published.published_values import rows

STANDARD = rows("standard")
# (row pbn.mts) the mandatory tags in their order
MANDATORY = tuple(STANDARD["pbn.mts"].published_value.split())
# (row pbn.line) characters a line at most
LONGEST_LINE = int(re.findall(r"at most (\d+)", STANDARD["pbn.line"].published_value)[0])
# (row pbn.deal) the order of the players, clockwise, and of the ranks
PLAYERS = "NESW"
RANKS = re.findall(r"ranks (\w+)", STANDARD["pbn.deal"].published_value)[0]
SUITS = "SHDC"
DENOMINATIONS = ("C", "D", "H", "S", "NT")  # (row law.18) in rank order
TAG = re.compile(r'\[([A-Z][A-Za-z0-9_]*) "((?:[^"\\]|\\["\\])*)"\]')  # 3.3; single space (row)


class NotStrict(Exception):
    """A rule of the standard, or a law of the game, that a file breaks."""


@dataclass
class Game:
    """One board: its tags, its hands by player, its auction, its comments."""

    tags: dict[str, str] = field(default_factory=dict)
    hands: dict[str, str] = field(default_factory=dict)
    calls: list[str] = field(default_factory=list)
    finished: bool = False
    comments: list[str] = field(default_factory=list)


def must(held: object, what: str) -> None:
    if not held:
        raise NotStrict(what)


def matched(pattern: str | re.Pattern[str], text: str, what: str) -> re.Match[str]:
    found = re.fullmatch(pattern, text)
    if not found:
        raise NotStrict(what)
    return found


def law_2(number: int) -> tuple[str, str]:
    """Return the dealer and the vulnerability of a board by Law 2, as PBN names them (row law.2)."""
    text = STANDARD["law.2"].published_value
    dealers = re.findall(r"dealer ([NESW,]+)", text)[0].split(",")
    listed = re.findall(r"(none|NS|EW|both) ([\d,]+)", text)
    within = (number - 1) % 16 + 1
    names = {"none": "None", "NS": "NS", "EW": "EW", "both": "All"}
    [side] = [names[side] for side, boards in listed if str(within) in boards.split(",")]
    return dealers[(number - 1) % 4], side


def read_pbn(data: bytes) -> list[Game]:
    """Return the games of a file given as bytes. Raises NotStrict."""
    must(data.isascii(), "characters that some readers do not have (2.2 allows ISO 8859-1)")
    text = data.decode("ascii")
    must(text.endswith("\r\n"), "the last line must end with CR LF (2.1)")
    lines = text.removesuffix("\r\n").split("\r\n")  # (row pbn.formats) CRLF
    for line in lines:
        must("\r" not in line, "CR without LF")
        must("\n" not in line, "LF without CR")
        must(len(line) <= LONGEST_LINE, "a line that is too long")
        must("\t" not in line and line == line.rstrip(), "tabs or spaces at the end of a line")
    # (memory, 2.4) the escape lines that name the version and the format come first
    must(lines[:2] == ["% PBN 2.1", "% EXPORT"], "the version and the format are not named")
    games: list[list[str]] = [[]]
    for line in lines[2:]:
        must(not line.startswith("%"), "an escape line within the games")
        if line:
            games[-1].append(line)
        else:
            must(games[-1], "more than one empty line between games")
            games.append([])
    return [read_game(game) for game in games]


def read_game(lines: list[str]) -> Game:
    """Return one game. Raises NotStrict."""
    game = Game()
    names: list[str] = []
    comment: list[str] | None = None
    for line in lines:
        in_auction = names[-1:] == ["Auction"]
        if comment is not None:
            must(line == "}" or not set("{}") & set(line), "a brace in a comment")
            must(not line.startswith("["), "a comment that looks like a tag")
            comment.append(line)
            if line == "}":
                game.comments.append("\n".join(comment[:-1]))
                comment = None
        elif line == "{":  # (memory, 3.1) a comment; braces do not nest
            comment = []
        elif line.startswith("["):
            found = matched(TAG, line, f"not a tag pair: {line}")
            must(not in_auction, "a tag after the auction")
            name, value = found[1], re.sub(r"\\(.)", r"\1", found[2])
            must(name not in game.tags, f"{name} twice")
            game.tags[name] = value
            names.append(name)
        else:
            must(in_auction, f"text outside a section: {line}")
            game.calls += line.split(" ")
            must(line.count(" ") <= 3, "more than four calls in a line (memory, 3.5)")
    must(comment is None, "a comment that does not end")
    must(tuple(names[: len(MANDATORY)]) == MANDATORY, "mandatory tags missing or out of order")
    must(names[-1] == "Auction", "no auction")
    supplements = names[len(MANDATORY) : -1]
    must(supplements == sorted(supplements), "supplemental tags out of order")
    _check_board(game)
    _check_auction(game)
    return game


def _check_board(game: Game) -> None:
    tags = game.tags
    must(re.fullmatch(r"[1-9]\d*", tags["Board"]), "Board is not a positive integer")  # (row)
    dealer, vulnerable = law_2(int(tags["Board"]))
    must(tags["Dealer"] == dealer, "not the dealer of Law 2")
    must(tags["Vulnerable"] == vulnerable, "not the vulnerability of Law 2")
    must(tags["Result"] == "?", "a result of a board that was not played")
    game.hands = read_deal(tags["Deal"])


def read_deal(value: str) -> dict[str, str]:
    """Return the hands of a Deal tag by player (row pbn.deal)."""
    found = matched(r"([NESW]):(\S+) (\S+) (\S+) (\S+)", value, "not a deal")
    first = PLAYERS.index(found[1])
    hands = {PLAYERS[(first + i) % 4]: found[2 + i] for i in range(4)}
    cards = []
    for hand in hands.values():
        suits = hand.split(".")
        must(len(suits) == 4, "a hand without four suits")
        for suit, ranks in zip(SUITS, suits, strict=True):
            must(all(rank in RANKS for rank in ranks), "an unknown rank")
            must(list(ranks) == sorted(ranks, key=RANKS.index), "ranks out of order")
            cards += [suit + rank for rank in ranks]
        must(sum(map(len, suits)) == 13, "a hand without 13 cards (Law 6B)")
    must(len(set(cards)) == 52, "not 52 cards once each (Law 1A)")
    return hands


def _check_auction(game: Game) -> None:
    """Laws 17 to 22: the calls in rotation from the dealer, each one legal, and the contract."""
    tags = game.tags
    must(tags["Auction"] == tags["Dealer"], "the dealer does not call first (Law 17B)")
    unfinished = game.calls[-1:] == ["*"]  # (memory, 3.5)
    game.calls = game.calls[: len(game.calls) - unfinished]
    contract, ended = legal(game.calls)
    must(ended != unfinished, "the auction ends and goes on")
    game.finished = ended
    if not ended:
        must(tags["Contract"] == tags["Declarer"] == "?", "a contract of an unfinished auction")
        return
    if contract is None:
        raise NotStrict("passed out, which no board of the study is")
    level_and_denomination, doubled, by = contract
    must(tags["Contract"] == level_and_denomination + doubled, "not the contract of the auction")
    declarer = PLAYERS[(PLAYERS.index(tags["Dealer"]) + by) % 4]
    must(tags["Declarer"] == declarer, "not the declarer of the auction")


def legal(calls: Sequence[str]) -> tuple[tuple[str, str, int] | None, bool]:
    """Return the contract (bid, X or nothing, position of declarer's first call) and whether it ended."""
    last: tuple[int, int] | None = None
    first_by: dict[tuple[int, str], int] = {}
    last_at, doubled, passes = 0, "", 0
    for at, call in enumerate(calls):
        must(not (passes == 3 and last) and passes < 4, "a call after the end (Law 22)")
        if call == "Pass":
            passes += 1
            continue
        if call == "X":
            must(last and not doubled and (at - last_at) % 2 == 1, "no double there (Law 19A1)")
            doubled = "X"
        else:
            found = matched(r"([1-7])(C|D|H|S|NT)", call, f"not a call: {call}")
            bid = int(found[1]), DENOMINATIONS.index(found[2])
            must(last is None or bid > last, "a bid that is not higher (Law 18)")
            last, last_at, doubled = bid, at, ""
            first_by.setdefault((at % 2, found[2]), at)
        passes = 0
    if not last:
        return None, passes == 4
    denomination = DENOMINATIONS[last[1]]
    return ((f"{last[0]}{denomination}", doubled, first_by[last_at % 2, denomination]), passes == 3)
