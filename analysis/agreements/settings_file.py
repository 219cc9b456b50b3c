"""The settings of an agreement as lines of a TOML file: all of them, or only what differs."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import Field
from typing import Any

from analysis.agreements.agreement import REFERENCE, Agreement
from analysis.agreements.setting_kinds import Setting


def differences(agreement: Agreement, base: Agreement = REFERENCE) -> list[str]:
    """Each setting that is not as in ``base``: its key, its value and that of ``base``."""
    standing = {key: value for key, _, value in base.settings()}
    return [
        f"{key} = {in_toml(entry, value)} ({base.name}: {in_toml(entry, standing[key])})"
        for key, entry, value in agreement.settings()
        if value != standing[key]
    ]


def in_toml(entry: Field[Any], value: Setting) -> str:
    """The value of the setting ``entry`` as a TOML file states it."""
    return json.dumps(entry.metadata["kind"].written(value))


def settings_file(agreement: Agreement) -> list[str]:
    """Every setting as the lines of a TOML file that :func:`analysis.agreements.agreement.load` reads.

    Beside each stand, as comments, what it means and what it may be.
    """
    lines = [f"# The settings of the agreement {agreement.name}."]
    section = ""
    for key, entry, value in agreement.settings():
        of, _, name = key.partition(".")
        if of != section:
            section = of
            lines += ["", f"[{section}]"]
        told: Sequence[str] = [
            f"{entry.metadata['meaning']}; allowed: {entry.metadata['kind'].allowed}"
        ]
        if entry.metadata["added"]:
            told = [*told, "not a figure of the reference's text; the default is what it does"]
        lines += [*(f"# {said}" for said in told), f"{name} = {in_toml(entry, value)}"]
    return lines
