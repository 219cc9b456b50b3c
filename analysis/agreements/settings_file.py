"""The settings of an agreement as lines of a TOML file: all of them, or only what differs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import Field
from itertools import groupby
from typing import Any

from analysis.agreements.agreement import REFERENCE, Agreement


def differences(agreement: Agreement, base: Agreement = REFERENCE) -> list[str]:
    """Each setting that is not as in ``base``: its key, its value and that of ``base``."""
    standing = {key: value for key, _, value in base.settings()}
    return [
        f"{key} = {in_toml(entry, value)} ({base.name}: {in_toml(entry, standing[key])})"
        for key, entry, value in agreement.settings()
        if value != standing[key]
    ]


def in_words(agreement: Agreement, base: Agreement = REFERENCE) -> str:
    """An agreement's name, and in what it differs from ``base``, for readers."""
    changes = differences_in_words(agreement, base)
    return f"the agreement {agreement.name}, {'; '.join(changes) or 'as it stands'}"


def differences_in_words(agreement: Agreement, base: Agreement) -> list[str]:
    """Each setting that is not as in ``base``: what it means, its value and that of ``base``."""
    standing = {key: value for key, _, value in base.settings()}
    changed = [
        (entry.metadata, value, standing[key])
        for key, entry, value in agreement.settings()
        if value != standing[key]
    ]
    return [
        f"{about['meaning']}: {about['kind'].shown(value)} (not {about['kind'].shown(before)})"
        for about, value, before in changed
    ]


def in_toml(entry: Field[Any], value: Any) -> str:
    """The value of the setting ``entry`` as a TOML file states it."""
    return json.dumps(entry.metadata["kind"].written(value))


def settings_file(agreement: Agreement) -> list[str]:
    """Every setting as the lines of a TOML file that :func:`analysis.agreements.agreement.load` reads.

    Beside each stand, as comments, what it means and what it may be.
    """
    lines = [f"# The settings of the agreement {agreement.name}."]
    for section, entries in _by_section(agreement.settings()):
        lines += ["", f"[{section}]"]
        for name, entry, value in entries:
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
    changed = [setting for setting in agreement.settings() if setting[2] != setting[1].default]
    differs = "what differs from the reference" if changed else "nothing differs from the reference"
    lines = [f"# The agreement {agreement.name}: {differs}."]
    for section, entries in _by_section(changed):
        lines += ["", f"[{section}]"]
        for name, entry, value in entries:
            standing = in_toml(entry, entry.default)
            lines.append(f"# {entry.metadata['meaning']}; by the reference {standing}")
            lines.append(f"{name} = {in_toml(entry, value)}")
    return lines


def _by_section(
    settings: Iterable[tuple[str, Field[Any], Any]],
) -> Iterator[tuple[str, list[tuple[str, Field[Any], Any]]]]:
    """Each section with its settings, named as within it."""
    for section, entries in groupby(settings, lambda setting: setting[0].partition(".")[0]):
        yield section, [(key.partition(".")[2], entry, value) for key, entry, value in entries]
