"""An agreement: the settings of a partnership, read from TOML and checked.

The defaults are the reference agreement. A TOML file states only what differs; every key, type and
value in it is checked, and what cannot be used is named in one line. The settings themselves are in
:mod:`analysis.agreements.settings`; the rules that use them, and the sentences that explain those, are in
:mod:`analysis.bidding`.
"""

from __future__ import annotations

import hashlib
import json
import stat
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import Field, dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

from analysis.agreements.setting_kinds import Range
from analysis.agreements.settings import (
    AdvancerSettings,
    AnswerSettings,
    ContestedAnswerSettings,
    ContestedEndSettings,
    ContinuationSettings,
    HandSettings,
    OpeningSettings,
    OvercallSettings,
    ReopeningSettings,
    ResponseSettings,
)
from analysis.errors import InputError
from analysis.runtime.escape import terminal

__all__ = ["REFERENCE", "SHIPPED", "Agreement", "Range", "load", "of_document", "shipped"]

SHIPPED = Path(__file__).parent
"""Where the agreements that come with the study are; any of them may be named without a path."""


class Stated(NamedTuple):
    """A setting of an agreement: where it stands, its field and its value."""

    section: str
    name: str
    field: Field[Any]
    value: Any

    @property
    def key(self) -> str:
        """The name that is its own among all settings, such as ``response.double_one``."""
        return f"{self.section}.{self.name}"


@dataclass(frozen=True)
class Agreement:
    """All settings of a partnership, by section; immutable and hashable."""

    name: str = "reference"
    hand: HandSettings = HandSettings()
    opening: OpeningSettings = OpeningSettings()
    overcall: OvercallSettings = OvercallSettings()
    response: ResponseSettings = ResponseSettings()
    answer: AnswerSettings = AnswerSettings()
    continuation: ContinuationSettings = ContinuationSettings()
    advancer: AdvancerSettings = AdvancerSettings()
    contested_answer: ContestedAnswerSettings = ContestedAnswerSettings()
    contested_end: ContestedEndSettings = ContestedEndSettings()
    reopening: ReopeningSettings = ReopeningSettings()

    @property
    def digest(self) -> str:
        """SHA-256 of the settings, whatever the agreement is called; 64 hexadecimal digits."""
        settings = {key: str(value) for key, value in self.values.items()}
        return hashlib.sha256(json.dumps(settings, sort_keys=True).encode()).hexdigest()

    def settings(self, *sections: str) -> Iterator[Stated]:
        """Every setting; only those of the ``sections``, if any are named."""
        for section in fields(self):
            part = getattr(self, section.name)
            if is_dataclass(part) and (not sections or section.name in sections):
                for entry in fields(part):
                    yield Stated(section.name, entry.name, entry, getattr(part, entry.name))

    @property
    def values(self) -> dict[str, Any]:
        """The value of every setting by its key."""
        return {setting.key: setting.value for setting in self.settings()}

    @property
    def document(self) -> dict[str, dict[str, Any]]:
        """The settings by section, as a TOML file would state them; for :func:`of_document`."""
        sections: dict[str, dict[str, Any]] = {}
        for section, name, entry, value in self.settings():
            sections.setdefault(section, {})[name] = entry.metadata["kind"].written(value)
        return sections

    def changed(self, key: str, value: Any) -> Agreement:
        """The same agreement with the setting ``key`` (``section.name``) at ``value``, checked."""
        return _checked(self, document_of({key: value}), source="setting")


REFERENCE = Agreement()

_LONGEST_FILE = 1_000_000
"""Bytes: a hundred times every setting there is."""


def shipped() -> tuple[str, ...]:
    """The names of the agreements that come with the study, the reference first."""
    return (REFERENCE.name, *sorted(path.stem for path in SHIPPED.glob("*.toml")))


def load(name: str) -> Agreement:
    """The agreement in the TOML file ``name``, a path or the name of a shipped one.

    One from a file is called by the file's name, which ends in ``.toml`` or is written as a place,
    ``./NAME``, so that it is never taken for a shipped one, nor is one whose name looks like it.
    Raises :class:`InputError` for a file that cannot be read and for any key, type or value that
    cannot be used.
    """
    if name == REFERENCE.name:
        return REFERENCE
    own = name not in shipped()
    path = Path(name) if own else SHIPPED / f"{name}.toml"
    source = terminal(str(path)) or '""'
    try:
        # A pipe or a terminal would be waited for.
        if not stat.S_ISREG(path.stat().st_mode):
            raise ValueError("a directory, a pipe or a device")
        with path.open("rb") as file:
            content = file.read(_LONGEST_FILE + 1)
        if len(content) > _LONGEST_FILE:
            raise ValueError(f"more than {_LONGEST_FILE} bytes")
        # A mark at the beginning, as some editors write it, is no part of the text.
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            f"agreement {source}: not text in UTF-8 ({error.reason} at byte {error.start}); "
            "allowed: a TOML file in UTF-8"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise InputError(
            f"agreement {source}: {reason}; allowed: a readable TOML file, or one of "
            f"{', '.join(shipped())}"
        ) from None
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        # Not only TOML's own error: a number of thousands of digits, brackets nested as deep.
        reason = " ".join(str(error).split())
        raise InputError(
            f"agreement {source}: not TOML ({reason}); allowed: lines such as double_one = 7 under "
            "a section such as [response]"
        ) from None
    called = terminal(path.name) if own else name
    is_place = own and path.suffix != ".toml"
    return of_document(document, f"./{called}" if is_place else called, source)


def document_of(values: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Values by the keys of their settings as a document by section, for :func:`of_document`."""
    document: dict[str, dict[str, Any]] = {}
    for key, value in values.items():
        section, _, name = key.partition(".")
        document.setdefault(section, {})[name] = value
    return document


def of_document(document: dict[str, Any], name: str, source: str) -> Agreement:
    """The agreement called ``name`` that ``document`` states, checked as :func:`load` checks."""
    return replace(_checked(REFERENCE, document, source), name=name)


def _checked(base: Agreement, document: dict[str, Any], source: str) -> Agreement:
    """``base`` with the settings of ``document`` in place of its own, all of them checked."""
    known: dict[str, dict[str, Field[Any]]] = {}
    for section, name, entry, _ in base.settings():
        known.setdefault(section, {})[name] = entry
    for section, values in document.items():
        if section not in known:
            raise InputError(
                f"{source}: unknown section {_shown(section)}; allowed: {', '.join(known)}"
            )
        if not isinstance(values, dict):
            raise InputError(
                f"{source}: {section} = {_shown(values)}; allowed: a section, [{section}]"
            )
        changes = {}
        for name, value in values.items():
            if name not in known[section]:
                raise InputError(
                    f"{source}: unknown key {_shown(name)} in [{section}]; allowed: "
                    f"{', '.join(known[section])}"
                )
            kind = known[section][name].metadata["kind"]
            changes[name] = kind.read(value)
            if changes[name] is None:
                raise InputError(
                    f"{source}: {section}.{name} = {_shown(value)}; allowed: {kind.allowed}"
                )
        base = replace(base, **{section: replace(getattr(base, section), **changes)})
    _consistent(base, source)
    return base


_LONGEST_SHOWN = 60


def _shown(value: Any) -> str:
    """A key or value as a complaint shows it: one line, not too long."""
    try:
        text = json.dumps(value, default=str)
    except ValueError:  # a whole number of thousands of digits
        text = "a number that is too large"
    return text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}..."


_NO_HIGHER = (
    ("opening.light", "opening.suit"),
    ("answer.raise_jump", "answer.raise_game"),
    ("answer.spade_jump", "answer.spade_game"),
    ("answer.own_suit_long_jump", "answer.own_suit_jump"),
    ("continuation.invite", "continuation.game"),
    ("continuation.notrump_invite", "continuation.notrump_game"),
    ("continuation.notrump_game_over_two", "continuation.notrump_game"),
    ("continuation.go_on_strong", "continuation.go_on"),
    ("contested_answer.raise_three", "contested_answer.game_three"),
    ("contested_answer.short_double", "contested_answer.strong_double"),
    ("contested_end.go_on_three", "contested_end.go_on"),
)
"""Pairs of settings of which the first, by what the rules say, is no higher than the second."""


def _consistent(agreement: Agreement, source: str) -> None:
    """Raise :class:`InputError` where two settings contradict each other."""
    values = agreement.values
    for lower, upper in _NO_HIGHER:
        if values[lower] > values[upper]:
            raise InputError(
                f"{source}: {lower} = {values[lower]} contradicts {upper} = {values[upper]}; "
                f"allowed: {lower} no higher than {upper}"
            )
    one, two = agreement.opening.one_notrump, agreement.opening.two_notrump
    if one.high >= two.low:
        raise InputError(
            f"{source}: opening.one_notrump = {one} contradicts opening.two_notrump = {two}; "
            "allowed: 1NT wholly below 2NT"
        )
