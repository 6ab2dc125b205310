"""What the label or data sheet of a part gives, as people type it: `24 V, coil 9-14 ohm, ±10 %`.

Values stand in any order; a name before a value is needed where its unit fits several. Nothing is
skipped in silence: what is not understood is an error that names the word.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from benchmeter.errors import InputError
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.nameplate.nameplate_values import (
    NameplateValue,
    find_amount_unit,
    plain_value,
    tolerance_value,
)
from benchmeter.parts.nameplate.tokens import Piece, pieces
from benchmeter.parts.nameplate.tolerance import parse_tolerance
from benchmeter.parts.part_kind import DifferenceRule, FromPower, NameplateField, OfGiven, PartKind
from benchmeter.quantities.units import UNITS, Unit, find_unit

__all__ = ["NameplateValue", "default_of", "parse_givens", "tolerance_names", "with_tolerance"]


def parse_givens(kind: PartKind, label: str, tolerance: str = "") -> dict[str, NameplateValue]:
    """Every given that is known, by name, in the order of the kind.

    A capacitor's label gives the frequency, if the kind asks for it.

    Args:
        label: as typed: "24 V, coil 9-14 ohm".
        tolerance: typed aside: "6 %"; "" for none.

    Raises:
        InputError: a word or value is not understood, absurd, doubled, of a unit that does not
            fit, or a needed one is missing.
    """
    if kind.label == "capacitor":
        frequencies = parse_label(label, tolerance).frequencies_hz
        found = {g.name: hz for g in kind.givens if (hz := _frequency(frequencies))}
    else:
        found = _read(kind, with_tolerance(kind, label, tolerance))
    values = {}
    for given in kind.givens:
        value = found.get(given.name) or default_of(kind, given)
        if value is not None:
            values[given.name] = value
    return values


def with_tolerance(kind: PartKind, label: str, tolerance: str) -> str:
    """The label with a tolerance that was typed aside.

    Raises:
        InputError: not a tolerance, or this kind of part has none.
    """
    if not tolerance.strip():
        return label
    if kind.label == "capacitor":
        return f"{label}, {parse_tolerance(tolerance).text}"
    names = tolerance_names(kind)
    if not names:
        raise InputError(
            "nameplate.idle_kind_tolerance", kind=kind.title, tolerance=tolerance.strip()
        )
    (first, *others) = [given for given in kind.givens if given.name in names]
    if not others and first.unit == "%":
        return f"{label}, {first.name} {parse_tolerance(tolerance).text}"
    return f"{label}, {tolerance}"


def tolerance_names(kind: PartKind) -> set[str]:
    """Names of the givens that are tolerances of others."""
    limits = [measure.limits for measure in kind.measures]
    limits += [rule.limits for rule in kind.conclusions if isinstance(rule, DifferenceRule)]
    named = {limit.tolerance for limit in limits if isinstance(limit, OfGiven | FromPower)}
    return named & {given.name for given in kind.givens}


def _frequency(frequencies_hz: tuple[int, ...]) -> NameplateValue | None:
    if len(frequencies_hz) == 1:
        hz = frequencies_hz[0]
        return NameplateValue(f"{hz} Hz", Decimal(hz), None, None, "", False)
    if frequencies_hz:
        raise InputError("nameplate.two_frequencies", hz=[str(hz) for hz in frequencies_hz])
    return None


def default_of(kind: PartKind, given: NameplateField) -> NameplateValue | None:
    """What holds where this given is not typed; None for nothing.

    Raises:
        InputError: it is needed and has no default, or the kind's file gives one that is none.
    """
    if given.default:
        found = _read(kind, f"{given.name} {given.default}")
        if found.keys() != {given.name}:
            raise InputError(
                "nameplate.wrong_default", text=given.default, title=given.title.lower()
            )
        return replace(found[given.name], text=given.default, from_default=True)
    if given.needed:
        raise InputError("nameplate.missing", title=given.title, example=kind.example)
    return None


def _read(kind: PartKind, text: str) -> dict[str, NameplateValue]:
    """What is typed, by the name of the given."""
    reader = _Reader(kind)
    for piece in pieces(text, kind.example):
        reader.take(piece)
    return reader.finish()


class _Reader:
    """Takes one piece after another; a name waits for its value."""

    def __init__(self, kind: PartKind) -> None:
        self._kind = kind
        self._tolerances = tolerance_names(kind)
        self._found: dict[str, NameplateValue] = {}
        self._name = ""

    def take(self, piece: Piece) -> None:
        if piece.form == "word":
            self._take_word(piece.text)
            return
        name, self._name = self._name, ""
        if piece.form == "bare":
            self._take_bare(name, piece.text)
            return
        given, unit = self._given_of(name, piece)
        if piece.current and given.current and piece.current != given.current:
            raise InputError(
                "nameplate.other_current",
                text=piece.text,
                current=piece.current,
                wanted=given.current,
            )
        if given.name in self._tolerances:
            value = tolerance_value(given, unit, piece)
        else:
            value = plain_value(given, unit, piece)
        self._set(given, value)

    def finish(self) -> dict[str, NameplateValue]:
        if self._name:
            raise InputError("nameplate.value_missing", name=self._name, example=self._kind.example)
        return self._found

    def _take_word(self, word: str) -> None:
        if self._name:
            name, self._name = self._name, ""
            self._take_choice(name, word)
        elif any(self._named(word)):
            self._name = word
        else:
            self._take_choice("", word)

    def _take_bare(self, name: str, text: str) -> None:
        """A number alone is a choice ("class 1") or lacks its unit."""
        if any(given.choices for given in self._named(name)):
            self._take_choice(name, text)
            return
        units = [f"{name} {text} {given.unit}" for given in self._named(name) if given.unit]
        written = f"{name} {text}".strip()
        if units:
            raise InputError("nameplate.unit_missing", text=written, like=units)
        raise InputError("nameplate.unit_missing_in", text=written, example=self._kind.example)

    def _take_choice(self, name: str, word: str) -> None:
        asked = list(self._named(name)) if name else list(self._kind.givens)
        with_choices = [given for given in asked if given.choices]
        for given in with_choices:
            choice = _chosen(given, word)
            if choice:
                text = f"{name} {word}".strip()
                self._set(given, NameplateValue(text, None, None, None, choice, False))
                return
        if name and with_choices:
            raise InputError(
                "nameplate.no_choice",
                text=word,
                title=with_choices[0].title.lower(),
                known=with_choices[0].choices,
            )
        if name:
            raise InputError(
                "nameplate.word_for_value", name=name, text=word, example=self._kind.example
            )
        raise InputError("nameplate.unknown_word", text=word, example=self._kind.example)

    def _named(self, word: str) -> Iterator[NameplateField]:
        for given in self._kind.givens:
            if word.casefold() in (n.casefold() for n in (given.name, *given.also)):
                yield given

    def _given_of(self, name: str, piece: Piece) -> tuple[NameplateField, Unit]:
        """The given that a value belongs to, and its unit."""
        asked = list(self._named(name)) if name else [g for g in self._kind.givens if not g.named]
        fitting = [(given, unit) for given in asked if (unit := _unit_for(given, piece.unit))]
        if name and not fitting:
            raise _misfit(asked[0], name, piece, self._kind.example)
        if not name and piece.form in ("plus minus", "two sides"):
            fitting = [fit for fit in fitting if fit[0].name in self._tolerances]
        elif not name:
            own = [fit for fit in fitting if fit[0].name not in self._tolerances]
            fitting = own or fitting
        if len(fitting) > 1:
            fitting = [f for f in fitting if f[0].needed and not f[0].default] or fitting
        if len(fitting) == 1:
            return fitting[0]
        if not fitting:
            find_unit(piece.unit)
            if piece.form == "plus minus" and UNITS.get(piece.unit) is not UNITS["%"]:
                raise InputError("nameplate.idle_amount", text=piece.text)
            raise InputError("nameplate.not_asked", text=piece.text, example=self._kind.example)
        raise InputError(
            "nameplate.several_fit",
            text=piece.text,
            titles=[f"{given.title} ({given.name})" for given, _ in fitting],
            name=fitting[0][0].name,
        )

    def _set(self, given: NameplateField, value: NameplateValue) -> None:
        if given.name in self._found:
            raise InputError(
                "nameplate.twice",
                title=given.title,
                one=self._found[given.name].text,
                other=value.text,
                example=self._kind.example,
            )
        self._found[given.name] = value


def _chosen(given: NameplateField, word: str) -> str:
    """The choice that `word` is, or whose end it is after a dash: "2" of "ntc-10k-2"; else ""."""
    plain = word.casefold()
    whole = [choice for choice in given.choices if choice.casefold() == plain]
    ends = [choice for choice in given.choices if choice.casefold().endswith(f"-{plain}")]
    found = whole or ends
    return found[0] if len(found) == 1 else ""


def _unit_for(given: NameplateField, text: str) -> Unit | None:
    if not given.unit:
        return None
    try:
        return find_amount_unit(text, UNITS[given.unit].kind)
    except InputError:
        return None


def _misfit(given: NameplateField, name: str, piece: Piece, example: str) -> InputError:
    text = f"{name} {piece.text}"
    if not given.unit:
        return InputError("nameplate.value_for_choice", text=text, known=given.choices)
    try:
        find_amount_unit(piece.unit, UNITS[given.unit].kind)
    except InputError as why:
        return InputError("nameplate.misfit", text=text, why=why, example=example)
    return InputError("nameplate.not_understood", text=text, example=example)
