"""The user's parts of known value: a TOML file of the data folder.

[[part]]
name = "R45"
value = "45.02 µF"
uncertainty = "0.09 µF"   # U with k = 2, its drift included; or "0.2 %"
date = 2026-01-10         # when the value was determined
from = "certificate 4711 of the calibration laboratory"
due = 2027-01-10
"""

from datetime import date
from decimal import Decimal
from pathlib import Path

import msgspec

from benchmeter.conformity.reference_part import (
    KIND_OF_PARTS,
    ReferencePart,
    quantity_of,
    shown_unit,
)
from benchmeter.errors import DataFileError, InputError, Message, StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.files.input_file import read_input
from benchmeter.files.output_file import writing_whole
from benchmeter.files.toml_folder import decode_toml, read_toml
from benchmeter.quantities.label_text import EXACTLY, clip
from benchmeter.quantities.quantity import of_other_current
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import Unit, find_unit, split_value
from benchmeter.readings.gate import admit_written

__all__ = ["add_reference_part", "all_reference_parts", "read_reference_parts"]

_THING = Message("files.reference_part")
_NAMES = {"valued_on": "date", "valued_by": "from"}  # one is a type here, one a word of Python


class _Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename=_NAMES):
    name: str
    value: str
    uncertainty: str
    valued_on: date
    valued_by: str = ""
    due: date | None = None


class _File(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    part: tuple[_Entry, ...] = ()


def all_reference_parts(
    folders: Folders,
) -> tuple[tuple[ReferencePart, ...], tuple[DataFileError, ...]]:
    """Every reference part of the data folder, and what is wrong with those that cannot be used."""
    path = folders.reference_parts
    if not path.exists():
        return (), ()
    try:
        return read_reference_parts(path)
    except DataFileError as error:
        return (), (error,)


def read_reference_parts(
    path: Path,
) -> tuple[tuple[ReferencePart, ...], tuple[DataFileError, ...]]:
    """The parts in a file, in its order; trouble in one leaves the others alone.

    Raises:
        DataFileError: the file cannot be read, or a field in it is wrong.
    """
    entries = read_toml(path, _File, _THING).part
    parts: list[ReferencePart] = []
    errors: list[DataFileError] = []
    names: set[str] = set()
    for number, entry in enumerate(entries, 1):
        name = " ".join(entry.name.split())
        try:
            if not name:
                raise _at("name", InputError("checking.reference_no_name"))
            if name.casefold() in names:
                raise _at("name", InputError("checking.reference_twice"))
            names.add(name.casefold())
            parts.append(_part(name, entry))
        except InputError as error:
            where = f"part {number}" + (f" (“{clip(name)}”)" if name else "")
            errors.append(
                DataFileError("conformity.reference_entry", path=path, where=where, why=error)
            )
    return tuple(parts), tuple(errors)


def add_reference_part(
    folders: Folders,
    *,
    name: str,
    value: str,
    uncertainty: str,
    valued_on: date,
    valued_by: str = "",
    due: date | None = None,
) -> ReferencePart:
    """Write one more part at the end of the list; every byte that is there stays as it is.

    Args:
        value, uncertainty: as in the file: "45.02 µF", "0.09 µF" or "0.2 %".
        valued_on: when the value was determined.

    Raises:
        InputError: the part is none, or one of that name is there.
        DataFileError: the list is broken; nothing is written to it.
        StoreReadOnly: it cannot be written; the list is as it was.
    """
    name = " ".join(name.split())
    if not name:
        raise _at("name", InputError("checking.reference_no_name"))
    part = _part(name, _Entry(name, value, uncertainty, valued_on, valued_by, due))
    path = folders.reference_parts.resolve()
    before, names = b"", set()
    if path.exists():
        before = read_input(path, DataFileError)
        there = decode_toml(before, path, _File, _THING).part
        names = {" ".join(entry.name.split()).casefold() for entry in there}
    if name.casefold() in names:
        raise _at("name", InputError("checking.reference_in_list", name=name))
    _append(path, before, _toml(part.name, value, uncertainty, valued_on, part.valued_by, due))
    return part


def _toml(
    name: str, value: str, uncertainty: str, valued_on: date, valued_by: str, due: date | None
) -> bytes:
    import tomli_w

    fields = {
        "name": name,
        "value": value.strip(),
        "uncertainty": uncertainty.strip(),
        "date": valued_on,
        "from": valued_by,
        "due": due,
    }
    return b"\n[[part]]\n" + tomli_w.dumps({k: v for k, v in fields.items() if v}).encode()


def _append(path: Path, before: bytes, more: bytes) -> None:
    """Whole or not at all, and only if the list can be read afterwards."""
    end = b"\n" if before and not before.endswith(b"\n") else b""
    whole = before + end + (more if before else more.removeprefix(b"\n"))
    try:
        # A list that is written as one value takes no further table.
        decode_toml(whole, path, _File, _THING)
    except DataFileError as error:
        raise InputError("checking.reference_list_closed", file=path.name) from error
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with writing_whole(path) as file:
            file.write(whole)
    except OSError as fault:
        raise StoreReadOnly(
            "checking.reference_list_not_written",
            detail=str(fault),
            file=path.name,
            folder=path.parent,
        ) from fault


def _part(name: str, entry: _Entry) -> ReferencePart:
    value_si, unit = _value(entry.value)
    if entry.due is not None and entry.due < entry.valued_on:
        raise _at("due", InputError("checking.reference_due_before"))
    return ReferencePart(
        name=name,
        value_si=value_si,
        expanded_uncertainty_si=_uncertainty(entry.uncertainty, value_si, unit),
        valued_on=entry.valued_on,
        quantity=quantity_of(unit),
        unit=shown_unit(unit),
        valued_by=" ".join(entry.valued_by.split()),
        due=entry.due,
    )


def _value(text: str) -> tuple[Decimal, Unit]:
    _, name = _split("value", text)
    unit = _unit("value", name)
    if unit.kind not in KIND_OF_PARTS:
        raise _at("value", InputError("checking.reference_kind", text=text, kind=unit.kind))
    if of_other_current(name, quantity_of(unit)):
        raise _at("value", InputError("checking.reference_ac", text=text))
    return _admitted("value", text, unit), unit


def _uncertainty(text: str, value_si: Decimal, unit: Unit) -> Decimal:
    number, name = _split("uncertainty", text)
    if name == "%":
        return EXACTLY.multiply(EXACTLY.multiply(number, value_si), Decimal("0.01"))
    own = _unit("uncertainty", name)
    if own.kind != unit.kind:
        other = InputError(
            "checking.reference_other_kind", text=text, kind=own.kind, value=unit.kind
        )
        raise _at("uncertainty", other)
    return _admitted("uncertainty", text, unit)


def _admitted(field: str, text: str, unit: Unit) -> Decimal:
    """In SI, as the gate lets it in."""
    try:
        number, own = admit_written(_bare(text), quantity_of(unit))
    except InputError as error:
        raise _at(field, error) from None
    return EXACTLY.multiply(number, own.scale)


def _split(field: str, text: str) -> tuple[Decimal, str]:
    written, name = split_value(_bare(text))
    if not name:
        raise _at(field, InputError("checking.reference_no_unit", text=text))
    try:
        return parse_number(written), name
    except InputError as error:
        raise _at(field, error) from None


def _bare(text: str) -> str:
    return text.strip().removeprefix("±").strip()


def _unit(field: str, name: str) -> Unit:
    try:
        return find_unit(name, "capacitance" if name in ("F", "f") else "")
    except InputError as error:
        raise _at(field, error) from None


def _at(field: str, why: InputError) -> InputError:
    return InputError("quantities.at", where=field, why=why)
