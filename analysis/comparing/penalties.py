"""What decides whether a penalty is had: an agreement with each length and shortness that may be set."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from analysis.agreements.agreement import Agreement
from analysis.agreements.setting_kinds import Number

_SETTINGS = "response.penalty_cards", "reopening.high_double_cards"
"""The cards of a penalty pass, and the most on which a minimum opener doubles again when high."""


def variants(agreement: Agreement) -> list[Agreement]:
    """The agreement with every pair of the two settings, its own among them; each with a name of its own.

    None for an agreement without the double, which gives up no penalty.
    """
    if not agreement.response.double:
        return []
    kinds = {setting.key: setting.field.metadata["kind"] for setting in agreement.settings()}
    found = []
    for values in product(*(_every(kinds[key]) for key in _SETTINGS)):
        varied = agreement
        for key, value in zip(_SETTINGS, values, strict=True):
            varied = varied.changed(key, value)
        name = f"{agreement.name}, penalties {' and '.join(map(str, values))}"
        found.append(replace(varied, name=name))
    return found


def _every(kind: Number) -> range:
    return range(kind.low, kind.high + 1)
