"""An agreement: the settings of a partnership, read from TOML, checked and written.

A TOML file states only what differs from the reference; every key, type and value in it is checked,
and what cannot be used is named in one line. The first line of a shipped file says as a condition
what readers call the agreement.
"""

from __future__ import annotations

import hashlib
import json
import stat
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import Field, astuple, dataclass, fields, is_dataclass, replace
from functools import cache
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any, NamedTuple

from double_study.agreements.settings import (
    AdvancerSettings,
    AnswerSettings,
    ContestedAnswerSettings,
    ContestedEndSettings,
    ContinuationSettings,
    HandSettings,
    OpeningSettings,
    OvercallSettings,
    Range,
    ReopeningSettings,
    ResponseSettings,
)
from double_study.errors import InputError
from double_study.escape import terminal

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
class AddedRule:
    """A rule that a partnership adds to one of the tables of rules.

    ``table`` is the table's title. The rule stands before (or, if not ``before``, after) the rules
    called ``other`` and is itself called ``says``, like one of those that are there. It holds for
    hands that meet the expression ``when``, over :data:`double_study.rules.terms.TERMS`, and bids
    ``bid``, empty for a pass or a double. All of it is text, so an agreement can be sent to a worker.
    """

    table: str
    says: str
    when: str
    bid: str
    before: bool
    other: str


@dataclass(frozen=True)
class Agreement:
    """All settings of a partnership, by section, and its own rules; immutable and hashable."""

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
    rules: tuple[AddedRule, ...] = ()

    @property
    def digest(self) -> str:
        """SHA-256 of settings and own rules, whatever the agreement is called; 64 hexadecimal digits."""
        settings: dict[str, Any] = {key: str(value) for key, value in self.values.items()}
        if self.rules:
            settings["rules"] = [astuple(rule) for rule in self.rules]
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
    ("response.notrump_invite", "response.notrump_game"),
    ("advancer.notrump_jump", "advancer.notrump_game_one"),
    ("answer.raise_jump", "answer.raise_game"),
    ("answer.spade_jump", "answer.spade_game"),
    ("answer.own_suit_long_jump", "answer.own_suit_jump"),
    ("continuation.invite", "continuation.game"),
    ("continuation.notrump_invite", "continuation.notrump_game"),
    ("continuation.notrump_game_over_two", "continuation.notrump_game"),
    ("continuation.settle_strong", "continuation.settle"),
    ("continuation.settle_light", "continuation.settle"),
    ("continuation.opener", "continuation.opener_light"),
    ("contested_answer.raise_three", "contested_answer.game_three"),
    ("contested_answer.raise_three_short", "contested_answer.raise_three"),
    ("contested_answer.game_four_short", "contested_answer.game_four"),
    ("contested_answer.minor_four_short", "contested_answer.minor_four"),
    ("contested_answer.two_card_double", "contested_answer.strong_double"),
    ("contested_answer.short_double", "contested_answer.two_card_double"),
    ("contested_end.strong_enough_fit", "contested_end.strong_enough"),
    ("contested_end.settle_three", "contested_end.settle"),
    ("contested_end.compete_short", "contested_end.compete"),
    ("contested_end.second_double_two", "contested_end.second_double"),
    ("contested_end.second_double_short", "contested_end.second_double"),
    ("contested_end.high_double_short", "contested_end.high_double"),
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
    """Every setting as the lines of a TOML file that :func:`double_study.agreements.reader.load` reads.

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


@cache
def title(name: str) -> str:
    """A shipped agreement in words, such as ``the opponents overcall lighter``; any other by its name."""
    if not _has_title(name):
        return name
    with (SHIPPED / f"{name}.toml").open(encoding="utf-8") as file:
        return next(file).strip().removeprefix("# If ").removesuffix(".")


def condition(name: str) -> str:
    """An agreement as part of a sentence: ``if the opponents overcall lighter``, ``under reference``."""
    return f"{'if' if _has_title(name) else 'under'} {title(name)}"


def _has_title(name: str) -> bool:
    return name != REFERENCE.name and name in shipped()
