"""The agreements that are shipped, and the rules under changed settings.

Every changed setting is compared with the slow, plain reading with the same number changed: on the
hands that the change makes call otherwise and on as many others. Agreement is asked of every hand,
so there is no tolerance and no false alarm. About ten seconds.
"""

import hashlib
from collections.abc import Iterator

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import (
    REFERENCE,
    SHIPPED,
    Agreement,
    condition,
    differences,
    load,
    origin,
    shipped,
    title,
)
from double_study.cards.bids import MAJORS, MINORS
from double_study.cards.deal import deal_block
from double_study.comparing import Step, steps
from double_study.rules.auction import call_codes
from double_study.rules.batch import Batch
from plain import response as plain_response
from published.published_values import rows
from shared.plain_agreement import plainly
from shared.step_codes import ALL, AUCTIONS, HANDS, STEP_CODES

MOST_COMPARED = 120
THROUGH_FOUR_SPADES = REFERENCE.changed("response.double_through", "4S")

# --- the shipped files ----------------------------------------------------------------------


def header(name: str) -> str:
    """The comment at the head of a shipped file, as one line."""
    text = (SHIPPED / f"{name}.toml").read_text(encoding="utf-8")
    head = text[: text.index("\n\n")]
    assert all(line.startswith("# ") for line in head.splitlines())
    return head.replace("\n# ", " ").removeprefix("# ")


@pytest.mark.parametrize("name", shipped()[1:])
def test_every_variant_names_its_source_or_says_that_it_has_none(name: str) -> None:
    said = header(name)
    named = [row for row in rows("teaching").values() if f"({row.id} in " in said]
    if said.endswith("Common practice, no source."):
        assert not named
        return
    (row,) = named
    assert row.source.partition(" (address not stored)")[0] in said
    assert said.endswith(f"({row.id} in tests/published/published_values.csv).")


@pytest.mark.parametrize("name", shipped()[1:])
def test_every_variant_is_called_by_a_condition_for_readers(name: str) -> None:
    assert header(name).startswith(f"If {title(name)}. {origin(name)}")
    assert condition(name) == f"if {title(name)}"
    assert "_" not in title(name)


def test_the_reference_and_an_agreement_of_ones_own_go_by_their_names() -> None:
    assert [condition(name) for name in ("reference", "my_own.toml")] == [
        "under reference",
        "under my_own.toml",
    ]


def test_the_variants_differ_from_the_reference_in_what_they_are_named_for() -> None:
    changed = {
        name: {line.partition(" (")[0] for line in differences(load(name))} for name in shipped()
    }
    assert changed == {
        "reference": set(),
        # M. Bergen: one level 6; two of a minor 8; two of a major 9; three and higher 10.
        "values_6_8_9_10": {"response.double_two_major = 9", "response.double_four = 10"},
        # R. Morton: 7+ points.
        "seven_throughout": {
            "response.double_one = 7",
            "response.double_two_minor = 7",
            "response.double_two_major = 7",
            "response.double_three = 7",
            "response.double_four = 7",
        },
        # Standard English Acol, Foundation Level: through 2S.
        "through_2s": {'response.double_through = "2S"'},
        "through_3s": set(),
        # M. L. French: through 4S.
        "through_4s": {'response.double_through = "4S"'},
        "weak_notrump": {"opening.one_notrump = [12, 14]"},
        "four_card_majors": {
            "opening.one_notrump = [12, 14]",
            "opening.major_cards = 4",
            "response.raise_cards = 4",
        },
        "two_card_club": {"opening.diamond_cards = 4"},
        "one_major_over_1d": {"response.both_majors = false", "response.one_level_cards = 5"},
        "penalty_on_four": {"response.penalty_cards = 4"},
        "reopening_on_two": {"reopening.high_double_cards = 2"},
        # Hand evaluation: usual minimum for an opening bid, 12 HCP.
        "sound_openings": {"opening.light = 12"},
        "light_overcalls": {
            "overcall.one_level_good = [6, 17]",
            "overcall.one_level = [10, 17]",
            "overcall.two_level_six = [8, 17]",
            "overcall.two_level_five = [10, 17]",
        },
        "sound_overcalls": {
            "overcall.one_level_good = [10, 17]",
            "overcall.one_level = [13, 17]",
            "overcall.two_level_six = [11, 17]",
            "overcall.two_level_five = [13, 17]",
        },
        "one_major_enough": {"response.both_majors = false"},
        "no_two_suited_calls": {"overcall.two_suited_calls = false"},
        "not_played": {"response.double = false"},
    }


def test_the_reference_calls_as_it_did_before_there_were_variants() -> None:
    """The digest changes with the reference's rules or the dealer, never with a new variant.

    The dealer's own golden test tells which of the two it was. Made by this very code.
    """
    calls = call_codes(Batch(deal_block(seed=1, block=0), REFERENCE))
    assert hashlib.sha256(calls.tobytes()).hexdigest() == (
        "f87f220fdbcfc7920461eabbc0d954a5a549e24405d1385fe45c646f29717038"
    )


# --- changed numbers, against the plain reading ---------------------------------------------


def compared(
    section: str, agreement: Agreement, standing: Agreement, among: np.ndarray = ALL
) -> int:
    """Hold ``agreement`` against the plain reading; returns how many hands it calls otherwise.

    Looked at are the first of ``among`` that call otherwise than by ``standing``, and as many that
    do not.
    """
    codes, told, plainly_told = STEP_CODES[section]
    ours = codes(agreement)
    otherwise = (ours != codes(standing)).any(axis=1)[among]
    looked_at = np.concatenate(
        [among[np.flatnonzero(which)[:MOST_COMPARED]] for which in (otherwise, ~otherwise)]
    )
    for at in looked_at.tolist():
        assert told(ours[at].tolist()) == plainly_told(at), (section, HANDS[at], at)
    return int(otherwise.sum())


AFTER_THE_ADVANCER = ("advancer", "contested_answer", "contested_end")
SECTIONS = {
    "hand": ("opening", "overcall", "response", "answer", "continuation", *AFTER_THE_ADVANCER),
    "opening": ("opening",),
    "overcall": ("overcall",),
    "response": ("response",),
    "answer": ("answer", "spade_raise", "contested_answer"),
    "continuation": ("continuation", "contested_end"),
    "advancer": ("advancer",),
    "contested_answer": ("contested_answer",),
    "contested_end": ("contested_end",),
    "reopening": ("reopening",),
}
NEVER_MATTERS = {
    # 22 HCP open 2♣ before 2NT is asked.
    ("opening.two_notrump.high", 1),
    # 11 HCP with six cards in a suit, and so nine or more in two, open one of it.
    ("opening.weak.high", 1),
    # 18 HCP double before an overcall is asked.
    ("overcall.one_level_good.high", 1),
    ("overcall.one_level.high", 1),
    ("overcall.two_level_six.high", 1),
    ("overcall.two_level_five.high", 1),
    # 17 HCP overcall at level one in any suit.
    ("overcall.one_level_good.high", -1),
}


@pytest.mark.parametrize(
    "step", steps(THROUGH_FOUR_SPADES), ids=lambda step: f"{step.setting} {step.after}"
)
def test_a_changed_number_is_read_as_the_plain_reading_reads_it(step: Step) -> None:
    among = ALL
    _, overcalled, level = AUCTIONS
    if step.setting in ("response.double_two_minor", "response.double_two_major"):
        # The plain reading has one number for both, as the text has.
        suits = MINORS if step.setting.endswith("minor") else MAJORS
        among = ALL[(level != 2) | np.isin(overcalled, suits)]
    with plainly(step.agreement):
        changed = [
            compared(section, step.agreement, THROUGH_FOUR_SPADES, among)
            for section in SECTIONS[step.setting.partition(".")[0]]
        ]
    assert (sum(changed) > 0) == ((step.setting, step.by) not in NEVER_MATTERS)


@pytest.fixture
def _plainly_through_four_spades() -> Iterator[None]:
    with plainly(THROUGH_FOUR_SPADES):
        yield


def test_either_major_is_the_promise_of_one_of_them() -> None:
    changed = THROUGH_FOUR_SPADES.changed("response.both_majors", False)
    with plainly(changed):
        assert compared("response", changed, THROUGH_FOUR_SPADES) > 100


@pytest.mark.usefixtures("_plainly_through_four_spades")
def test_a_double_that_is_not_played_is_a_promise_never_held(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(plain_response, "promise_held", lambda *_: False)
    changed = THROUGH_FOUR_SPADES.changed("response.double", False)
    assert compared("response", changed, THROUGH_FOUR_SPADES) > 100


def test_no_two_suited_calls_are_calls_that_no_hand_is_worth(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(plain.REFERENCE, "two_suited", 38)
    changed = REFERENCE.changed("overcall.two_suited_calls", False)
    assert compared("overcall", changed, REFERENCE) > 100
