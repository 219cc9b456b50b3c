"""A reader who plays cards and knows no statistics: how much a paragraph asks of it."""

import re

_NAMES = re.compile(
    r"\([1-7][♣♦♥♠]\)|[1-7](?:NT|[♣♦♥♠])"  # calls, an overcall in brackets
    r"|[♣♦♥♠](?:10|[AKQJT2-9–])+"  # cards
    r"|\d(?:-\d){3}"  # shapes
    r"|\b(?:level|seat|Law|board|version) \d+"  # what is called by its number
)
"""What has figures or brackets and is a name: it tells no number."""
_NUMBER = re.compile(r"(?<!\w)[-+]?\d[\d,]*(?:\.\d+)?(?:e-?\d+)?%?")
_BRACKET = re.compile(r"\([^()]*\)")
_SENTENCE_END = re.compile(r"(?<=[.?!])\s+|:\s+(?=-)")
MOST_BRACKETS, MOST_NUMBERS = 1, 3


def _plain(text: str) -> str:
    return _NAMES.sub("a name", text.replace("\ufe0e", ""))


def crowded_brackets(paragraph: str) -> list[str]:
    """Return the brackets of a paragraph, if they are too many."""
    found = _BRACKET.findall(_plain(paragraph))
    return found if len(found) > MOST_BRACKETS else []


def crowded_sentences(paragraph: str) -> list[str]:
    """Return the sentences of a paragraph with too many numbers in figures."""
    sentences = _SENTENCE_END.split(_plain(paragraph))
    return [s for s in sentences if len(_NUMBER.findall(s)) > MOST_NUMBERS]
