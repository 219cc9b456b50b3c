"""Common mistakes: cases of the double, each with the case that looks like it."""

from typing import NamedTuple

from double_study.counting.counts import CALL_COUNTS, JUMP_TOO_WEAK
from double_study.counting.tally import Count


class Pitfall(NamedTuple):
    """A case that is easy to get wrong, and the case that looks like it.

    ``doubles`` and ``alike`` are queries: the first of the doubles, by auction and reason; the second of
    the deals of ``source``, by default the responder's calls. ``alike_title`` is for readers and holds
    under every agreement.
    """

    name: str
    alike_title: str
    doubles: str
    alike: str
    source: Count = CALL_COUNTS


_ONE_MAJOR = "message == 'other_major'"
_HEARTS = f"{_ONE_MAJOR} and (opening == '1S' or overcall in ['1S', '2S', '3S', '4S'])"
_EXACTLY_FOUR = "message == 'exactly_four_spades'"
_BOTH_MAJORS = "message == 'both_majors' and opening == '1C' and overcall == '1D'"
_BOTH_MINORS = "message == 'both_minors'"
_AT_ONE = "call == 'one_level_major'"

PITFALLS = (
    Pitfall(
        "five_hearts_too_light",
        "hearts bid at once",
        f"{_HEARTS} and reason == 'five_or_more'",
        f"{_HEARTS} and call == 'new_major'",
    ),
    Pitfall(
        "four_and_strong",
        "five cards or more and the points to bid the major",
        f"{_ONE_MAJOR} and reason == 'four_and_strong'",
        f"{_ONE_MAJOR} and call == 'new_major'",
    ),
    Pitfall(
        "exactly_four_spades",
        "five spades or more, which bid 1♠",
        f"{_EXACTLY_FOUR} and reason == 'exactly_four_spades'",
        f"{_EXACTLY_FOUR} and {_AT_ONE}",
    ),
    Pitfall(
        "both_majors_over_diamonds",
        "one major bid at level 1",
        f"{_BOTH_MAJORS} and reason == 'both_suits'",
        f"{_BOTH_MAJORS} and {_AT_ONE}",
    ),
    Pitfall(
        "both_minors",
        "one minor bid as a new suit",
        f"{_BOTH_MINORS} and reason == 'both_suits'",
        f"{_BOTH_MINORS} and call == 'new_minor'",
    ),
    Pitfall(
        "jump_overcall",
        "the right shape, with enough points over a simple overcall but too few over the jump",
        "jump",
        "jump",
        JUMP_TOO_WEAK,
    ),
)
