"""Agreements that differ in the responder's settings alone are served by the same counts.

The three-hand counts themselves stand in: made-up ways for every class of hand, so that the test
asks only what is done with them. A second.
"""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.combinatorics import table
from double_study.combinatorics.cache import if_cached
from double_study.combinatorics.three_hands import PairRules, ResponderWays

LOW = REFERENCE.changed("response.double_through", "1S")
"""A low ceiling: few auctions to go through."""

counted: list[int] = []


def made_up(pairs: Iterable[PairRules]) -> Iterator[ResponderWays]:
    for rules in pairs:
        source = np.random.default_rng([rules.opened, rules.overcalled])
        yield ResponderWays(
            {level: source.random((560, 38, 2, 2)) for level in rules.overcalls},
            {level: source.random((5, 14, 14)) for level in rules.groups},
        )


@pytest.fixture(autouse=True)
def _stand_in(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def ways_of_pairs(_: object, pairs: Sequence[PairRules], *more: object) -> list[ResponderWays]:
        counted.append(len(pairs))
        return list(made_up(pairs))

    counted.clear()
    monkeypatch.setattr(table, "responder_ways", ways_of_pairs)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))


CHANGES = {"double_one": 7, "raise_two": 8, "double_through": "1H", "double": False}
OTHERS = [LOW.changed(f"response.{name}", value) for name, value in CHANGES.items()]


def test_served_tables_are_as_counted_alone(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    table.compute_responder_calls(LOW, 1, also=OTHERS)
    assert len(counted) == 1
    own, *served = (if_cached("calls", agreement) for agreement in (LOW, *OTHERS))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "another"))
    for other, calls in zip(OTHERS, served, strict=True):
        assert if_cached("calls", other) is None
        table.compute_responder_calls(other, 1)
        alone = if_cached("calls", other)
        assert calls is not None and own is not None and alone is not None  # noqa: PT018
        pd.testing.assert_frame_equal(calls, alone)
        assert not calls.equals(own)


def test_only_agreements_with_the_same_counts_are_served() -> None:
    higher = LOW.changed("response.double_through", "2C")
    opens_otherwise = LOW.changed("opening.suit", 13)
    after = LOW.changed("continuation.game", 12)
    table.compute_responder_calls(LOW, 1, also=[*OTHERS, higher, opens_otherwise, after])
    assert len(counted) == 1

    def known(agreement: Agreement) -> bool:
        return table.calls_cached(agreement)

    assert all(map(known, [LOW, *OTHERS, higher, after]))
    assert not known(opens_otherwise)
    # All is cached, so nothing is counted again.
    table.compute_responder_calls(LOW, 1, also=OTHERS)
    assert len(counted) == 1
