"""The agreements that are shipped, and the rules under changed settings.

Every changed setting is compared with the slow, plain reading with the same setting changed: on the
hands that the change makes call otherwise and on as many others. Agreement is asked of every hand,
so there is no tolerance and no false alarm. Of either kind 60 are read: a fault that shows on one
hand in 13 of them is missed with chance 0.01.
"""

import hashlib
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from double_study.agreements import reader
from double_study.agreements.reader import REFERENCE, Agreement, load, shipped
from double_study.cards.deal import deal_block
from double_study.comparing import steps
from double_study.rules.auction import call_codes
from double_study.rules.batch import Batch
from edges import NEVER_MATTERS
from published.published_values import rows
from shared.plain_reading import plainly
from shared.steps import FEW, PLAINLY, TOLD, Codes
from shared.table_rows import cases

MOST_COMPARED = 60
THROUGH_FOUR_SPADES = REFERENCE.changed("response.double_through", "4S")

# --- the shipped files ----------------------------------------------------------------------


@pytest.mark.parametrize("name", shipped()[1:])
def test_every_variant_is_a_condition_and_names_its_source_or_that_it_has_none(name: str) -> None:
    text = (reader.SHIPPED / f"{name}.toml").read_text(encoding="utf-8")
    lines = text.partition("\n\n")[0].splitlines()
    assert all(line.startswith("# ") for line in lines)
    said = " ".join(line.removeprefix("# ") for line in lines)
    assert said.startswith(f"If {reader.title(name)}. ")
    assert reader.condition(name) == f"if {reader.title(name)}"
    assert "_" not in reader.title(name)
    named = [row for row in rows("teaching").values() if f"({row.id} in " in said]
    if said.endswith("Common practice, no source."):
        assert not named
        return
    (row,) = named
    assert row.source.partition(" (address not stored)")[0] in said
    assert said.endswith(f"({row.id} in tests/published/published_values.csv).")


def test_the_reference_and_an_agreement_of_ones_own_go_by_their_names() -> None:
    assert reader.condition("reference") == "under reference"
    assert reader.condition("my_own.toml") == "under my_own.toml"


def test_the_variants_differ_from_the_reference_in_what_they_are_named_for() -> None:
    changed = {
        name: {line.partition(" (")[0] for line in reader.differences(load(name))}
        for name in shipped()
    }
    expected = cases(Path(__file__).with_name("variants.txt"))
    assert changed == {name: {*settings} - {""} for name, *settings in expected}


def test_the_reference_calls_as_it_did_before_there_were_variants() -> None:
    """The digest changes with the reference's rules or the dealer, never with a new variant.

    The dealer's own golden test tells which of the two it was. Made by this very code.
    """
    calls = call_codes(Batch(deal_block(seed=1, block=0), REFERENCE))
    assert hashlib.sha256(calls.tobytes()).hexdigest() == (
        "b1599eb65ce57f9d804771ffabb3fcf2c509405ce0de561388d5dec2dfccfb1a"
    )


# --- changed numbers, against the plain reading ---------------------------------------------


@cache
def standing_codes(section: str, agreement: Agreement) -> Codes:
    codes: Codes = getattr(FEW, section)(agreement)
    return codes


def compared(section: str, agreement: Agreement, standing: Agreement) -> int:
    """Hold ``agreement`` against the plain reading; returns how many hands it calls otherwise.

    Looked at are the first that call otherwise than by ``standing``, and as many that do not.
    """
    ours = getattr(FEW, section)(agreement)
    otherwise = (ours != standing_codes(section, standing)).any(axis=1)
    few = [np.flatnonzero(which)[:MOST_COMPARED] for which in (otherwise, ~otherwise)]
    for at in np.concatenate(few).tolist():
        known = FEW.known[at]
        told = section, known, at, reader.differences(agreement)
        assert TOLD[section](ours[at].tolist()) == PLAINLY[section](*known), told
    return int(otherwise.sum())


ALSO_IN = {
    "hand": "opening overcall response answer continuation advancer contested_answer contested_end",
    "answer": "answer spade_raise contested_answer",
    "continuation": "continuation contested_end",
}
"""The steps of a section of the settings, if they are not the one of its name."""


@pytest.mark.parametrize("part", dict.fromkeys(one.section for one in REFERENCE.settings()))
def test_a_changed_number_is_read_as_the_plain_reading_reads_it(part: str) -> None:
    never = {(f"{key}{('.low', '.high')[end]}", by) for key, end, by in NEVER_MATTERS}
    for step in steps(THROUGH_FOUR_SPADES):
        if not step.setting.startswith(f"{part}."):
            continue
        with plainly(step.agreement):
            changed = [
                compared(section, step.agreement, THROUGH_FOUR_SPADES)
                for section in ALSO_IN.get(part, part).split()
            ]
        matters = (step.setting, step.by) not in never
        assert (sum(changed) > 0) == matters, (step.setting, step.moved)


CHOICES = [key for key, value in REFERENCE.values.items() if isinstance(value, bool)]


@pytest.mark.parametrize("key", CHOICES)
def test_a_choice_is_read_as_the_plain_reading_reads_it(key: str) -> None:
    agreement = THROUGH_FOUR_SPADES.changed(key, not REFERENCE.values[key])
    with plainly(agreement):
        assert compared(key.partition(".")[0], agreement, THROUGH_FOUR_SPADES) >= 10


@pytest.mark.parametrize("name", shipped()[1:])
def test_a_shipped_agreement_is_read_as_the_plain_reading_reads_it(name: str) -> None:
    with plainly(load(name)):
        for section in PLAINLY:
            compared(section, load(name), REFERENCE)
