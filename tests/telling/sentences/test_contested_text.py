"""Sentences about the fourth hand and about penalties, counted again deal by deal."""

from collections import Counter

import pytest
from double_study.telling.sentences import contested, given_up, in_words
from shared.small_runs import hands, outcome, run_of

played = pytest.mark.parametrize("agreement", ["reference", "one major will do"])
OURS = {"game", "three_notrump", "part_score_fit", "part_score_no_fit", "notrump_part_score"}


@played
def test_the_answer_leaves_nothing_out(agreement: str) -> None:
    doubled = [h for h in hands(agreement) if h.call == "double"]
    bid = [h for h in doubled if h.advancer != "pass"]
    text = run_of(agreement).table("answer")
    assert f"speaks over {in_words.share(len(bid) / len(doubled), 'double')}." in text
    for part in (bid, [h for h in doubled if h.advancer == "pass"]):
        ours = sum(h.final_contract in OURS for h in part) / len(part)
        assert f"on {in_words.share(ours, 'double')}" in text


@played
def test_fits_found_over_a_raise(agreement: str) -> None:
    raised = [h for h in hands(agreement) if h.call == "double" and "raise" in str(h.advancer)]
    ends = Counter(map(outcome, raised))
    text = run_of(agreement).table("found_text")
    found = in_words.share(ends["fit_found"] / len(raised), "double")
    lost = in_words.share(ends["fit_but_theirs"] / len(raised), "double")
    assert f"Over a raise of any kind, the pair plays in a fit of 8 or more on {found}." in text
    assert f"plays all the same, on {lost} over a raise of any kind." in text


def test_a_run_without_doubles_says_so() -> None:
    run = run_of("not played")
    for text in (contested.answer, contested.ways_text, contested.trumps_text, given_up.answer):
        assert "does not apply" in text(run)
    # A pair that has no such double may double for penalties: it gives nothing up.
    assert "does not apply" in given_up.outcomes_text(run)
