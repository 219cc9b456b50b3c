"""The settings of an agreement as lines of a TOML file: all of them, or only what differs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import Field
from itertools import groupby
from operator import attrgetter
from typing import Any

from analysis.agreements.agreement import REFERENCE, Agreement, Stated


def differences(agreement: Agreement, base: Agreement = REFERENCE) -> list[str]:
    """Each setting that is not as in ``base``: its key, its value and that of ``base``."""
    return [
        f"{one.key} = {in_toml(one.field, one.value)} ({base.name}: {in_toml(one.field, before)})"
        for one, before in _moved(agreement, base)
    ]


def in_words(agreement: Agreement, base: Agreement = REFERENCE) -> str:
    """An agreement's name, and in what it differs from ``base``, for readers."""
    changes = differences_in_words(agreement, base)
    return f"the agreement {agreement.name}, {'; '.join(changes) or 'as it stands'}"


def differences_in_words(agreement: Agreement, base: Agreement) -> list[str]:
    """Each setting that is not as in ``base``: what it means, its value and that of ``base``."""
    return [
        f"{about['meaning']}: {about['kind'].shown(value)} (not {about['kind'].shown(before)})"
        for (*_, field, value), before in _moved(agreement, base)
        for about in [field.metadata]
    ]


def _moved(agreement: Agreement, base: Agreement) -> Iterator[tuple[Stated, Any]]:
    """Each setting that is not as in ``base``, and what it is there."""
    for setting, before in zip(agreement.settings(), base.values.values(), strict=True):
        if setting.value != before:
            yield setting, before


def in_toml(entry: Field[Any], value: Any) -> str:
    """The value of the setting ``entry`` as a TOML file states it."""
    return json.dumps(entry.metadata["kind"].written(value))


def settings_file(agreement: Agreement) -> list[str]:
    """Every setting as the lines of a TOML file that :func:`analysis.agreements.agreement.load` reads.

    Beside each stand, as comments, what it means and what it may be.
    """
    lines = [f"# The settings of the agreement {agreement.name}."]
    for section, entries in groupby(agreement.settings(), attrgetter("section")):
        lines += ["", f"[{section}]"]
        for _, name, entry, value in entries:
            lines.append(
                f"# {entry.metadata['meaning']}; allowed: {entry.metadata['kind'].allowed}"
            )
            if entry.metadata["added"]:
                lines.append("# not a figure of the reference's text; the default is what it does")
            lines.append(f"{name} = {in_toml(entry, value)}")
    return lines


def short_file(agreement: Agreement) -> list[str]:
    """The settings that are not as in the reference as the lines of such a file.

    Beside each stand, as a comment, what it means and what the reference has.
    """
    changed = [one for one in agreement.settings() if one.value != one.field.default]
    differs = "what differs from the reference" if changed else "nothing differs from the reference"
    lines = [f"# The agreement {agreement.name}: {differs}."]
    for section, entries in groupby(changed, attrgetter("section")):
        lines += ["", f"[{section}]"]
        for _, name, entry, value in entries:
            standing = in_toml(entry, entry.default)
            lines.append(f"# {entry.metadata['meaning']}; by the reference {standing}")
            lines.append(f"{name} = {in_toml(entry, value)}")
    return lines
