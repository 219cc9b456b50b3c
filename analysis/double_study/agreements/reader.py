"""An agreement: the settings of a partnership, read from TOML, checked and written.

A TOML file states only what differs from the reference. Every key, type and value in it is checked,
and one line names anything that cannot be used. The first line of a shipped file is what readers
call the agreement, written as a condition.
"""

from __future__ import annotations

import hashlib
import json
import stat
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import Field, astuple, dataclass, fields, is_dataclass, replace
from functools import cache
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from double_study.agreements import settings as of
from double_study.agreements.settings import Range
from double_study.errors import InputError
from double_study.escape import quoted, shortened, terminal

__all__ = ["REFERENCE", "SHIPPED", "Agreement", "Range", "load", "of_document", "shipped"]

SHIPPED = Path(__file__).parent
"""Where the agreements that come with the study are; any of them may be named without a path."""


class Stated(NamedTuple):
    """A setting of an agreement: its section, its field and its value."""

    section: str
    name: str
    field: Field[Any]
    value: Any

    @property
    def key(self) -> str:
        """The unique name of the setting, such as ``response.double_one``."""
        return f"{self.section}.{self.name}"


@dataclass(frozen=True)
class AddedRule:
    """A rule that a partnership adds to one of the tables of rules.

    ``table`` is the table's title. The rule stands before (or, if not ``before``, after) the rules
    named ``other``. Its own name, ``says``, must be one that the table already has. The rule holds
    for hands that meet the expression ``when``, over :data:`double_study.rules.terms.TERMS`, and
    bids ``bid``, which is empty for a pass or a double. All fields are text, so that an agreement
    can be sent to a worker.
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
    hand: of.HandSettings = of.HandSettings()
    opening: of.OpeningSettings = of.OpeningSettings()
    overcall: of.OvercallSettings = of.OvercallSettings()
    response: of.ResponseSettings = of.ResponseSettings()
    answer: of.AnswerSettings = of.AnswerSettings()
    continuation: of.ContinuationSettings = of.ContinuationSettings()
    advancer: of.AdvancerSettings = of.AdvancerSettings()
    contested_answer: of.ContestedAnswerSettings = of.ContestedAnswerSettings()
    contested_end: of.ContestedEndSettings = of.ContestedEndSettings()
    reopening: of.ReopeningSettings = of.ReopeningSettings()
    rules: tuple[AddedRule, ...] = ()

    @property
    def digest(self) -> str:
        """SHA-256 of the settings and added rules, but not of the name; 64 hexadecimal digits."""
        settings: dict[str, Any] = {key: str(value) for key, value in self.values.items()}
        if self.rules:
            settings["rules"] = [astuple(rule) for rule in self.rules]
        return hashlib.sha256(json.dumps(settings, sort_keys=True).encode()).hexdigest()

    def settings(self, *sections: str) -> Iterator[Stated]:
        for section, entries in _FIELDS.items():
            if not sections or section in sections:
                part = getattr(self, section)
                for name, entry in entries.items():
                    yield Stated(section, name, entry, getattr(part, name))

    @property
    def values(self) -> dict[str, Any]:
        return dict(zip(_KEYS, _values(self), strict=True))

    @property
    def document(self) -> dict[str, dict[str, Any]]:
        """The settings by section, in the form that :func:`of_document` reads."""
        sections: dict[str, dict[str, Any]] = {}
        for section, name, entry, value in self.settings():
            sections.setdefault(section, {})[name] = entry.metadata["kind"].written(value)
        return sections

    def changed(self, key: str, value: Any) -> Agreement:
        """Return a copy with the setting ``key`` (``section.name``) changed to ``value``, checked."""
        return _checked(self, document_of({key: value}), source="setting")


REFERENCE = Agreement()

_FIELDS = {
    section.name: {entry.name: entry for entry in fields(part)}
    for section in fields(REFERENCE)
    if is_dataclass(part := getattr(REFERENCE, section.name))
}
"""The fields of the settings, by section and name: the same for every agreement."""
_KEYS = tuple(one.key for one in REFERENCE.settings())
_values = attrgetter(*_KEYS)

_LONGEST_FILE = 1_000_000
"""Limit in bytes, a hundred times the length of a file with every setting."""


def shipped() -> tuple[str, ...]:
    return (REFERENCE.name, *sorted(path.stem for path in SHIPPED.glob("*.toml")))


def load(name: str) -> Agreement:
    """Return the agreement in the TOML file ``name``, a path or the name of a shipped one.

    An agreement from a file has the name of the file, which ends in ``.toml`` or is written as a
    path, ``./NAME``, so that it is never confused with a shipped one. Raises :class:`InputError` for
    a file that cannot be read and for any key, type or value that cannot be used.
    """
    if name == REFERENCE.name:
        return REFERENCE
    own = name not in shipped()
    path = Path(name) if own else SHIPPED / f"{name}.toml"
    source = terminal(str(path)) or '""'
    try:
        # Reading a pipe or a terminal would block.
        if not stat.S_ISREG(path.stat().st_mode):
            raise ValueError("this is a directory, a pipe or a device")
        with path.open("rb") as file:
            content = file.read(_LONGEST_FILE + 1)
        if len(content) > _LONGEST_FILE:
            raise ValueError(f"the file has more than {_LONGEST_FILE} bytes")
        # utf-8-sig, because some editors write a byte-order mark first.
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        why = f"this is not text in UTF-8 ({error.reason} at byte {error.start})"
        raise InputError(f"agreement {source}: {why}; allowed: a TOML file in UTF-8") from None
    except (OSError, ValueError) as error:
        why = (
            f"{getattr(error, 'strerror', None) or error}; allowed: a readable TOML file, or one of"
        )
        raise InputError(f"agreement {source}: {why} {', '.join(shipped())}") from None
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        # A number with thousands of digits raises ValueError; deeply nested brackets, RecursionError.
        why = f"this is not TOML ({' '.join(str(error).split())}); allowed: lines such as double_one = 7"
        raise InputError(f"agreement {source}: {why} under a section such as [response]") from None
    called = terminal(path.name) if own else name
    is_place = own and path.suffix != ".toml"
    return of_document(document, f"./{called}" if is_place else called, source)


def document_of(values: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return values, given by the keys of their settings, as a document for :func:`of_document`."""
    document: dict[str, dict[str, Any]] = {}
    for key, value in values.items():
        section, _, name = key.partition(".")
        document.setdefault(section, {})[name] = value
    return document


def of_document(document: dict[str, Any], name: str, source: str) -> Agreement:
    """Return the agreement called ``name`` that ``document`` states; check it as :func:`load` does."""
    return replace(_checked(REFERENCE, document, source), name=name)


def _checked(base: Agreement, document: dict[str, Any], source: str) -> Agreement:
    """Return ``base`` with the settings of ``document``, all of them checked."""

    def refuse(what: str, allowed: str) -> NoReturn:
        raise InputError(f"{source}: {what}; allowed: {allowed}")

    for section, values in document.items():
        if section not in _FIELDS:
            refuse(f"there is no section {quoted(section)}", ", ".join(_FIELDS))
        if not isinstance(values, dict):
            refuse(f"{section} = {_shown(values)} is not a section", f"a section, [{section}]")
        changes = {}
        for name, value in values.items():
            if name not in _FIELDS[section]:
                refuse(
                    f"there is no key {quoted(name)} in [{section}]", ", ".join(_FIELDS[section])
                )
            kind = _FIELDS[section][name].metadata["kind"]
            changes[name] = kind.read(value)
            if changes[name] is None:
                refuse(f"{section}.{name} = {_shown(value)} cannot be used", kind.allowed)
        base = replace(base, **{section: replace(getattr(base, section), **changes)})
    _consistent(base, source)
    return base


def _shown(value: Any) -> str:
    try:
        return shortened(json.dumps(value, default=str))
    except ValueError:  # a whole number of thousands of digits
        return "a number that is too large"


_NO_HIGHER = {
    "opening": "light<suit",
    "response": "notrump_invite<notrump_game",
    "advancer": "notrump_jump<notrump_game_one",
    "answer": "raise_jump<raise_game spade_jump<spade_game own_suit_long_jump<own_suit_jump",
    "continuation": "invite<game notrump_invite<notrump_game notrump_game_over_two<notrump_game "
    "settle_strong<settle settle_light<settle opener<opener_light",
    "contested_answer": "raise_three<game_three raise_three_short<raise_three "
    "game_four_short<game_four minor_four_short<minor_four two_card_double<strong_double "
    "short_double<two_card_double",
    "contested_end": "strong_enough_fit<strong_enough settle_three<settle compete_short<compete "
    "second_double_two<second_double second_double_short<second_double high_double_short<high_double",
}
"""By section: pairs of settings of which the first, by the rules, is no higher than the second."""


def _consistent(agreement: Agreement, source: str) -> None:
    values = agreement.values
    for section, pairs in _NO_HIGHER.items():
        for pair in pairs.split():
            lower, upper = (f"{section}.{name}" for name in pair.split("<"))
            if values[lower] <= values[upper]:
                continue
            raise InputError(
                f"{source}: {lower} = {values[lower]} contradicts {upper} = {values[upper]}; "
                f"allowed: {lower} no higher than {upper}"
            )
    one, two = agreement.opening.one_notrump, agreement.opening.two_notrump
    if one.high >= two.low:
        raise InputError(
            f"{source}: opening.one_notrump = {one} contradicts opening.two_notrump = {two}; "
            "allowed: a range for 1NT that ends below that for 2NT"
        )


def differences(agreement: Agreement, base: Agreement = REFERENCE) -> list[str]:
    """Return each setting that differs from ``base``: its key, its value and that of ``base``."""
    return [
        f"{one.key} = {in_toml(one.field, one.value)} ({base.name}: {in_toml(one.field, before)})"
        for one, before in _moved(agreement, base)
    ]


def in_words(agreement: Agreement, base: Agreement = REFERENCE) -> str:
    """Return an agreement's name and its differences from ``base``, in words."""
    changes = "; ".join(differences_in_words(agreement, base))
    return f"the agreement {agreement.name}{f' ({changes})' if changes else ''}"


def differences_in_words(agreement: Agreement, base: Agreement) -> list[str]:
    """Return each difference from ``base`` in words: the setting's meaning and both values."""
    return [
        f"{about['meaning']}: {about['kind'].shown(value)} (not {about['kind'].shown(before)})"
        for (*_, field, value), before in _moved(agreement, base)
        for about in [field.metadata]
    ]


def _moved(agreement: Agreement, base: Agreement) -> Iterator[tuple[Stated, Any]]:
    """Yield each setting that differs from ``base``, with its value there."""
    for setting, before in zip(agreement.settings(), base.values.values(), strict=True):
        if setting.value != before:
            yield setting, before


def in_toml(entry: Field[Any], value: Any) -> str:
    return json.dumps(entry.metadata["kind"].written(value))


def _toml(head: str, settings: Iterable[Stated], notes: Callable[[Stated], list[str]]) -> list[str]:
    """Return settings as the lines of a file for :func:`load`, with notes as comments."""
    lines = [f"# {head}"]
    for section, entries in groupby(settings, attrgetter("section")):
        lines += ["", f"[{section}]"]
        for one in entries:
            lines += [f"# {note}" for note in notes(one)]
            lines.append(f"{one.name} = {in_toml(one.field, one.value)}")
    return lines


def settings_file(agreement: Agreement) -> list[str]:
    """Return the lines of a TOML file of every setting, with its meaning and allowed values."""

    def notes(one: Stated) -> list[str]:
        about = one.field.metadata
        added = "not in the reference's text; the default is what the reference does"
        meaning = f"{about['meaning']}; allowed: {about['kind'].allowed}"
        return [meaning, added] if about["added"] else [meaning]

    return _toml(f"The settings of the agreement {agreement.name}.", agreement.settings(), notes)


def short_file(agreement: Agreement) -> list[str]:
    """Return the lines of a TOML file of the differences from the reference, with their meanings."""

    def notes(one: Stated) -> list[str]:
        standing = in_toml(one.field, one.field.default)
        return [f"{one.field.metadata['meaning']}; in the reference {standing}"]

    changed = [one for one in agreement.settings() if one.value != one.field.default]
    differs = f"{'what' if changed else 'nothing'} differs from the reference"
    return _toml(f"The agreement {agreement.name}: {differs}.", changed, notes)


@cache
def title(name: str) -> str:
    """Return a shipped agreement in words (``the opponents overcall lighter``), or another's name."""
    if not _has_title(name):
        return name
    with (SHIPPED / f"{name}.toml").open(encoding="utf-8") as file:
        return next(file).strip().removeprefix("# If ").removesuffix(".")


def condition(name: str) -> str:
    """Return an agreement as part of a sentence: ``if the opponents overcall lighter``."""
    return f"{'if' if _has_title(name) else 'under'} {title(name)}"


def _has_title(name: str) -> bool:
    return name != REFERENCE.name and name in shipped()
