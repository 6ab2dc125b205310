"""Kinds of parts from files: those that come with the program, and the user's own."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

import msgspec

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.toml_folder import TomlFolder, all_together, field_fault
from benchmeter.parts.declarations import undeclared
from benchmeter.parts.part_kind import NameplateField, PartKind, SensorRule
from benchmeter.parts.part_kind_checks import faults_of
from benchmeter.sensors.curves import Sensor, load_sensor, own_sensors, sensor_names

__all__ = [
    "all_part_kinds",
    "kind_fields",
    "kind_in",
    "kind_text",
    "load_part_kind",
    "read_part_kind",
]


def all_part_kinds(folders: Folders) -> tuple[tuple[PartKind, ...], tuple[DataFileError, ...]]:
    """Every kind of part by name, and what is wrong with the files that cannot be used."""
    return _kinds(folders).all(folders)


def load_part_kind(name: str, folders: Folders) -> PartKind:
    """The kind of part of that name.

    Raises:
        InputError: there is no such kind.
        DataFileError: its file is broken, or that of a sensor of the user's that it names.
    """
    return _kinds(folders).load(name, folders)


def read_part_kind(path: Path, folders: Folders | None = None) -> PartKind:
    """The kind of part in a file, named after the file.

    Args:
        folders: where the user's own sensors are; None: the program's only.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    return _kinds(folders).read(path)


def kind_text(kind: PartKind) -> str:
    """The kind as JSON, in the fields of its file and its name: what a record keeps."""
    return msgspec.json.encode(kind_fields(kind)).decode()


def kind_fields(kind: PartKind) -> dict[str, Any]:
    """The fields of a kind as plain values; curves only where it has some of its own."""
    fields: dict[str, Any] = msgspec.to_builtins(kind)
    if not kind.curves:
        del fields["curves"]
    return fields


def kind_in(text: str) -> PartKind:
    """The kind that `kind_text` wrote.

    Raises:
        InputError: no such JSON, or a field in it is wrong.
    """
    try:
        kind = msgspec.json.decode(text, type=PartKind)
    except msgspec.DecodeError as error:  # the parent of ValidationError
        raise InputError("parts.no_kind_in", why=field_fault(error, _THING)) from error
    except (ValueError, RecursionError) as error:
        raise InputError("parts.no_kind_in_text", detail=str(error)) from error
    faults = faults_of(kind)
    if faults:
        raise InputError("parts.faulty_kind_in", why=all_together(faults))
    return kind


_THING = Message("files.kind_of_part")


def _kinds(folders: Folders | None) -> TomlFolder[PartKind]:
    return TomlFolder("parts", PartKind, _THING, partial(_named, folders), _faults)


def _faults(kind: PartKind) -> list[Message]:
    return [*undeclared(kind), *faults_of(kind)]


def _named(folders: Folders | None, kind: PartKind, name: str) -> PartKind:
    """With the user's own curves in it: a check must be judged by them for ever after.

    A curve of the user's is a choice wherever one of its formula is.
    """
    asked = {rule.sensor for rule in kind.conclusions if isinstance(rule, SensorRule)}
    if folders is None or not asked:
        return msgspec.structs.replace(kind, name=name)
    own = own_sensors(sensor_names(folders), folders)
    givens = tuple(_with_choices(g, own) if g.name in asked else g for g in kind.givens)
    choices = {choice for g in givens if g.name in asked for choice in g.choices}
    curves = {curve: sensor for curve, sensor in own.items() if curve in choices}
    return msgspec.structs.replace(kind, name=name, givens=givens, curves={**kind.curves, **curves})


def _with_choices(given: NameplateField, own: Mapping[str, Sensor]) -> NameplateField:
    known = {*sensor_names(), *own} & {*given.choices}
    formulas = {type(own[choice] if choice in own else load_sensor(choice)) for choice in known}
    more = [n for n, sensor in own.items() if n not in known and type(sensor) in formulas]
    return msgspec.structs.replace(given, choices=(*given.choices, *more))
