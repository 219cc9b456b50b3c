"""The command ``how-often`` from the shell, beside the public functions and exact values."""

from pathlib import Path

import double_study as ds
import numpy as np
import pytest
from shared.commands import complaint, said

N = 12_000
VOID = "responder_in_overcalled == 0 and level == 1"
DOUBLED = "call == 'double'"


def told(*words: str) -> str:
    return " ".join(said(["how-often", *words]).split())


def test_the_command_says_what_the_public_functions_count() -> None:
    """These are held against the plain reading in test_questions."""
    row = ds.share(ds.count(N, by="call", where=VOID), DOUBLED).iloc[0]
    met, of = row["deals"], row["of"]
    assert 0 < met < of
    text = told(DOUBLED, "--given", VOID, "--deals", str(N))
    assert text.startswith(f"Of the {of:.0f} deals with an overcall on which {VOID}, ")
    assert f"These {met:.0f} are " in text
    assert f"{100 * met / of:.0f}" in text


def test_rows_add_up_and_the_command_that_it_prints_repeats_it() -> None:
    text = told(DOUBLED, "--by", "opening,level", "--deals", "60000", "--seed", "5")
    counts = ds.count(60_000, by=["opening", "level", "call"], seed=5)
    table = ds.share(counts, DOUBLED, by=["opening", "level"])
    for count in table["deals"]:
        assert f" {count:,} " in text
    repeated = "how-often \"call == 'double'\" --by opening,level --deals 60000"
    assert f"To repeat: double-study {repeated}" in text
    assert "seed 5, agreement reference (" in text
    assert "version " in text


def test_a_question_of_first_seat_is_answered_exactly() -> None:
    given = "seat == 1 and opening == '1D'"
    text = told("overcall == '1S'", "--given", given, "--deals", "200000")
    exact = ds.exact("overcalls").query("opening == '1D'")
    share = exact.loc[exact["overcall"] == "1S", "probability"].sum() / exact["probability"].sum()
    assert f"This share is known exactly: {share:.6%}." in text
    # The counts agree: a correct program would fail this once in 16,000 runs of other seeds.
    counts = ds.share(ds.count(200_000, by="overcall", where=given), "overcall == '1S'").iloc[0]
    error = np.sqrt(share * (1 - share) / counts["of"])
    assert abs(counts["share"] - share) < 4 * error
    by = told("overcall == '1S'", "--given", given, "--by", "level", "--deals", "1000")
    assert "These shares are known exactly:" in by


@pytest.mark.parametrize(
    "given", [None, "opening == '1D'", "seat <= 2", "seat == 1 and responder_hcp > 3"]
)
def test_other_questions_are_not_said_to_be_exact(given: str | None) -> None:
    words = ["--given", given] if given else []
    assert "exactly" not in told("overcall == '1S'", *words, "--deals", "1000")


def test_to_a_precision_over_a_store(tmp_path: Path) -> None:
    store = str(tmp_path / "asked.store")
    words = [DOUBLED, "--by", "level", "--given", "level <= 2", "--store", store]
    first = told(*words, "--to", "0.05")
    assert "Precision (half of each interval at most 0.05 of its share): reached." in first
    assert "all 1,000,000 deals" in first
    # The same command finds everything in the store; another question is refused it.
    assert told(*words, "--to", "0.05") == first
    other = ["how-often", "call == 'pass'", "--store", store, "--deals", "2e6"]
    assert "other counts, of another question" in complaint(other)
    finer = told(*words, "--to", "0.0001", "--deals", "1250000")
    assert "not reached in these deals" in finer
    assert "all 1,250,000 deals" in finer


def test_nothing_to_count() -> None:
    text = told(DOUBLED, "--given", "level == 1 and level == 2", "--deals", "1000")
    assert text.startswith("None of the 1,000 deals was one of ")
