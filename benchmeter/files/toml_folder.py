"""Folders of TOML files: those that come with the program, and the user's own.

A user's file takes the place of the program's of the same name, even when it is broken: what the
user has changed is never replaced in silence.
"""

import codecs
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

import msgspec

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.input_file import read_input
from benchmeter.files.resources import resource
from benchmeter.files.toml_lines import line_of

__all__ = ["TomlFolder", "all_together", "decode_toml", "field_fault", "read_toml"]

_T = TypeVar("_T")

# The parser's time grows with the square of the depth of a dotted name, and its stack with that of
# brackets.
_PLACES = re.compile(rb"[\n,=\[\]{}]")
_DEEPEST = 100


def _no_faults(_: Any) -> Iterable[Message]:
    return ()


@dataclass(frozen=True, slots=True)
class TomlFolder(Generic[_T]):
    """The files of a folder: one thing each, named after its file.

    Attributes:
        folder: its name, among the resources as in the data folder.
        type: of what a file holds; msgspec checks its fields.
        thing: what one of them is called: "kind of part".
        named: what a file holds, with the name of the file in it.
        faults: what must hold between the fields. The parameter `field` of a message is the place
            in the file: "measures[2].limits.low".
    """

    folder: str
    type: Any
    thing: Message
    named: Callable[[_T, str], _T]
    faults: Callable[[_T], Iterable[Message]] = _no_faults

    def files(self, folders: Folders | None) -> dict[str, Path]:
        """Every file by name, in order; without folders those of the program."""
        places = [resource(self.folder)]
        if folders is not None:
            places.append(folders.data / self.folder)
        found = {path.stem: path for place in places for path in place.glob("*.toml")}
        return dict(sorted(found.items()))

    def all(self, folders: Folders | None) -> tuple[tuple[_T, ...], tuple[DataFileError, ...]]:
        """What every file holds, by name, and what is wrong with those that cannot be used."""
        found, errors = [], []
        for path in self.files(folders).values():
            try:
                found.append(self.read(path))
            except DataFileError as error:
                errors.append(error)
        return tuple(found), tuple(errors)

    def load(self, name: str, folders: Folders) -> _T:
        """The thing of that name.

        Raises:
            InputError: there is none.
            DataFileError: its file is broken.
        """
        files = self.files(folders)
        if name not in files:
            raise InputError(
                "files.no_such_thing",
                thing=self.thing,
                name=name,
                known=list(files),
                folder=folders.data / self.folder,
            )
        return self.read(files[name])

    def read(self, path: Path) -> _T:
        """The thing in a file.

        Raises:
            DataFileError: it cannot be read, or a field in it is wrong.
        """
        found: _T = self.named(read_toml(path, self.type, self.thing), path.stem)
        faults = list(self.faults(found))
        if faults:
            text = read_input(path, DataFileError).decode("utf-8-sig", "replace")
            raise _broken(path, text, faults, self.thing)
        return found


def read_toml(path: Path, type_: Any, thing: Message) -> Any:
    """What a file holds, by the types of its fields alone.

    Raises:
        DataFileError: it cannot be read, or a field in it is wrong.
    """
    return decode_toml(read_input(path, DataFileError), path, type_, thing)


def decode_toml(data: bytes, path: Path, type_: Any, thing: Message) -> Any:
    """What the bytes of a file hold, by the types of its fields alone; `path` is for messages.

    Raises:
        DataFileError: it is no TOML, or a field in it is wrong.
    """
    # Some editors put a byte order mark before the text.
    data = data.removeprefix(codecs.BOM_UTF8)
    if any(place.count(b".") > _DEEPEST for place in _PLACES.split(data)):
        raise DataFileError("files.no_toml", path=path, thing=thing, detail="nested too deeply")
    try:
        return msgspec.toml.decode(data, type=type_)
    except UnicodeDecodeError as error:
        raise DataFileError("files.not_utf8", path=path) from error
    except msgspec.DecodeError as error:  # the parent of ValidationError
        fault = field_fault(error, thing)
        raise _broken(path, data.decode(errors="replace"), [fault], thing, str(error)) from error
    except (ValueError, RecursionError) as error:  # a number or a nesting that nobody writes
        raise DataFileError("files.no_toml", path=path, thing=thing, detail=str(error)) from error


def all_together(faults: Sequence[Message]) -> Message:
    """Several messages as one."""
    first, *rest = faults
    if not rest:
        return first
    return Message("files.and_further", {"first": first, "rest": all_together(rest)})


def _broken(
    path: Path, text: str, faults: Iterable[Message], thing: Message, detail: str = ""
) -> DataFileError:
    located = [_located(text, fault) for fault in faults]
    return DataFileError(
        "files.broken", path=path, why=all_together(located), thing=thing, detail=detail
    )


def _located(text: str, fault: Message) -> Message:
    field = str(fault.parameters.get("field", ""))
    line = line_of(text, field) if field else None
    return fault if line is None else Message("files.at_line", {"line": line, "why": fault})


def field_fault(error: msgspec.DecodeError, thing: Message) -> Message:
    """What msgspec found, by the field."""
    found = re.fullmatch(r"(?s)(.*?)(?: - at `(?:key in )?\$\.?(.*)`)?", str(error))
    what, field = (found[1], found[2] or "") if found else (str(error), "")
    if match := re.fullmatch(r"Expected `(.*?)`(?:, got `.*`)?", what):
        expected = _expected(match[1])
        if not field:
            return Message("files.wrong_file", {"expected": expected})
        return Message("files.wrong_type", {"field": field, "expected": expected})
    if match := re.fullmatch(r"Object contains unknown field `(.*)`", what):
        return Message("files.unknown_field", {"field": _joined(field, match[1]), "thing": thing})
    if match := re.fullmatch(r"Object missing required field `(.*)`", what):
        return Message("files.missing_field", {"field": _joined(field, match[1])})
    if match := re.fullmatch(r"Invalid (?:enum )?value (.*)", what):
        if field:
            return Message("files.wrong_value", {"field": field, "value": match[1]})
        return Message("files.toml_syntax", {"why": match[1]})
    if match := re.fullmatch(r"Expected `str` matching regex .*", what):
        return Message("files.wrong_form", {"field": field})
    if match := re.fullmatch(r"Expected `\w+` (<=|>=|<|>) (\S+)", what):
        return _bound(field, match[1], match[2])
    if match := re.fullmatch(r"Expected `\w+` of length (<=|>=) (\d+)", what):
        return _length(field, match[1], int(match[2]))
    if not field:
        return Message("files.toml_syntax", {"why": what})
    return Message("files.other_fault", {"field": field, "why": what})


def _bound(field: str, sign: str, limit: str) -> Message:
    code_of = {
        ">=": Message("files.too_low", {"field": field, "limit": limit}),
        "<=": Message("files.too_high", {"field": field, "limit": limit}),
        ">": Message("files.not_above", {"field": field, "limit": limit}),
        "<": Message("files.not_below", {"field": field, "limit": limit}),
    }
    return code_of[sign]


def _length(field: str, sign: str, limit: int) -> Message:
    if sign == "<=":
        return Message("files.too_long", {"field": field, "most": limit})
    if limit == 1:
        return Message("files.empty", {"field": field})
    return Message("files.too_short", {"field": field, "least": limit})


_TYPES = {
    "int": Message("files.type_int"),
    "float": Message("files.type_float"),
    "str": Message("files.type_str"),
    "bool": Message("files.type_bool"),
    "array": Message("files.type_array"),
    "object": Message("files.type_object"),
    "date": Message("files.type_date"),
}


def _expected(types: str) -> Message:
    *rest, last = [name for name in types.split(" | ") if name != "null"]
    found = _TYPES.get(last, Message("files.type_other", {"name": last}))
    return (
        Message("lists.or", {"rest": _expected(" | ".join(rest)), "last": found})
        if rest
        else (found)
    )


def _joined(field: str, last: str) -> str:
    return f"{field}.{last}" if field else last
