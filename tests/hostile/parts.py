"""What is told of parts of every kind under attack: kinds, givens, readings, tables, codes.

Beside the promise to read or to refuse in words: what is accepted has the value that a second
reading gives (`own_reading`), and every digit that was typed is in it.
"""

import csv
import io
import json
import re
import tomllib
import uuid
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any, TypeVar
from zlib import crc32

from benchmeter.checking.lot_progress import counted_on
from benchmeter.checking.reference_parts import read_reference_parts
from benchmeter.checking.stock import read_stock
from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judgement import (
    judge_measurement,
    without_value,
)
from benchmeter.conformity.verdict import Accuracy, Measurement, MeasurementVerdict, Reason, Rule
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.files.toml_lines import line_of
from benchmeter.parts.beside import beside
from benchmeter.parts.kind_catalogue import all_part_kinds, kind_in, kind_text, read_part_kind
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.part_verdict import verdict_on_part
from benchmeter.parts.rating import rate
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.reports.tag_code import parse_tag_code, tag_code
from tests.fakes.refusals import said
from tests.hostile.own_reading import number, si
from tests.hostile.writing import Writing

__all__ = ["KINDS_OF_PARTS", "PARTS", "SECTIONS", "rated_by_any_label"]

_T = TypeVar("_T")
_FOLDER = TemporaryDirectory(prefix="hostile-parts-")
_HERE = Path(_FOLDER.name)

KINDS_OF_PARTS: tuple[PartKind, ...] = all_part_kinds(Folders(_HERE))[0]
_TOML = tuple(p.read_text("utf-8") for p in sorted(resource("parts").glob("*.toml")))


def _is(value: Decimal | None, expected: Fraction, text: str) -> None:
    """Exactly that, but for the digits of five ninths far behind all that is written."""
    assert value is not None, text
    off = abs(Fraction(value) - expected)
    assert off <= abs(expected) * Fraction(1, 10**60), (text, value, float(expected))


def _file(name: str, text: str) -> Path:
    path = _HERE / name
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    return path


# --- kinds ----------------------------------------------------------------------------------


def rated_by_any_label(kind: PartKind) -> None:
    """A kind that is accepted can be used: every label is rated or refused, and judged."""
    assert kind_in(kind_text(kind)) == kind
    chance = Random(len(kind.title))
    for label in (kind.example, "", "24 V", "45 µF 6 % 60 Hz", "9-14 ohm"):
        try:
            rating = rate(kind, label)
        except InputError:
            assert label != kind.example, kind.name
            continue
        sections = [_some_verdict(section, chance) for section in rating.sections]
        beside(kind, verdict_on_part(kind, rating, sections, None, rule=Rule.GUARDED))


def _some_verdict(section: Measurement, chance: Random) -> MeasurementVerdict:
    value = chance.choice((None, "0", "1", "12", "240", "300", "1e6", "-3", "1e-6"))
    if value is None:
        return without_value(section, chance.choice((Reason.OVERLOAD, Reason.NOT_MEASURED)))
    return judge_measurement(
        section,
        [Decimal(value)],
        resolution_si=chance.choice((None, Decimal("0.1"))),
        accuracy=None,
        rule=Rule.GUARDED,
    )


def _kind_file(text: str) -> None:
    kind = read_part_kind(_file("kind.toml", text))
    assert kind.name == "kind"
    rated_by_any_label(kind)


def _kind_record(text: str) -> None:
    rated_by_any_label(kind_in(text))


_ODD_FIELDS = (
    "", None, 3, True, [], {}, "V", "%", "Ω", "µF", "°F", "Δ°F", "K", "Hz", "psi", "coil", "volts",
    "5 %", "-5 %", "0 %", "1 ohm", "1e9 V", "24 V", "±5 °F", "0 K", "-500 °C", "5 Δ°F", "nan", "inf",
    "pt100", "class", "C-S", "HERM", "tolerance", "capacitor", "givens", "pass", "open", "clamp",
    "temperature", "AC voltage", "capacitance", "1 " * 50, "B", "power", "opens", "mains", "1 Mohm",
)  # fmt: skip
_TAGS = ("between", "of given", "range given", "share of given", "from power", "in label", "windings",
         "alike", "voltage unbalance", "under load", "sensor", "difference")  # fmt: skip


class KindMixed(Writing):
    """The record of a kind whose fields are lost, doubled, mixed with those of other kinds."""

    def attack(self, chance: Random) -> bool:
        kind = json.loads(chance.choice(self.seeds))
        others = [value for _, _, value in _fields(json.loads(chance.choice(self.seeds)))]
        for _ in range(chance.choice((1, 1, 1, 2, 3))):
            holder, key, value = chance.choice(list(_fields(kind)))
            match chance.randrange(10):
                case 0 if isinstance(holder, dict):
                    del holder[key]
                case 1 if isinstance(holder, list):
                    holder.append(json.loads(json.dumps(value)))
                case 2 | 3 | 4:
                    holder[key] = json.loads(json.dumps(chance.choice(others)))
                case 5:
                    holder[key] = chance.choice(_TAGS)
                case _:
                    holder[key] = chance.choice(_ODD_FIELDS)
        self.judge(json.dumps(kind))
        return False


def _fields(table: Any) -> Iterator[tuple[Any, Any, Any]]:
    """Holder, key and value of everything in it."""
    keys = table if isinstance(table, dict) else range(len(table))
    for key in list(keys):
        yield table, key, table[key]
        if isinstance(table[key], dict | list):
            yield from _fields(table[key])


def _line(text: str) -> None:
    """Every key of the first level stands in the line that is told."""
    if any(mark in text for mark in ("'''", '"""')):
        return
    try:
        keys = tomllib.loads(text.replace("\r\n", "\n"))
    except ValueError:
        line_of(text, "title")
        return
    lines = text.split("\n")
    for key in keys:
        found = line_of(text, key)
        if re.fullmatch(r"[\w-]+", key, re.ASCII) and found is not None:
            assert key in lines[found - 1], (key, found)


# --- what is typed --------------------------------------------------------------------------


def _digits(text: str) -> list[str]:
    return sorted(sign for sign in text if sign.isnumeric())


_RANGE = re.compile(r"([0-9][0-9.,]*) ?(?:-|to) ?([0-9][0-9.,]*) ?([^\s0-9]+)", re.IGNORECASE)


def _given(kind: PartKind, text: str) -> None:
    values = [v for v in parse_givens(kind, text).values() if not v.from_default]
    if kind.label == "capacitor":
        return
    assert _digits(text) == _digits("".join(v.text for v in values)), text
    for name, value in parse_givens(kind, text).items():
        given = next(g for g in kind.givens if g.name == name)
        if given.choices:
            assert value.word in given.choices, text
            continue
        kind_of_unit = UNITS[given.unit].kind
        assert value.word == ""
        if value.value_si is not None and value.low_si is None:
            plain = re.sub(r" ?(AC|DC)$", "", value.text, flags=re.IGNORECASE)
            _is(value.value_si, si(plain, kind_of_unit), text)
        elif value.low_si is not None:
            assert value.high_si is not None
            assert value.low_si < value.high_si, text
            if found := _RANGE.fullmatch(" ".join(value.text.split())):
                _is(value.low_si, si(f"{found[1]} {found[3]}", kind_of_unit), text)
                _is(value.high_si, si(f"{found[2]} {found[3]}", kind_of_unit), text)


def _givens(text: str) -> None:
    """For the kinds whose example it was spoiled from, as far as can be seen, and another one."""
    kinds = [k for k in KINDS_OF_PARTS if k.example[:6] == text[:6]][:3]
    _whichever([partial(_given, kind, text) for kind in (*kinds, _one_of(KINDS_OF_PARTS, text))])


def _whichever(reads: Sequence[Callable[[], None]]) -> None:
    """Refused where each one refuses it."""
    refused = []
    for read in reads:
        try:
            read()
        except InputError as error:
            refused.append(error)
    if len(refused) == len(reads):
        raise refused[0]


def _one_of(things: Sequence[_T], text: str) -> _T:
    return things[crc32(text.encode(errors="replace")) % len(things)]


def _every_section() -> tuple[Measurement, ...]:
    found = []
    for kind in KINDS_OF_PARTS:
        found += list(rate(kind, kind.example).sections)
    return tuple(dict.fromkeys(found))


SECTIONS = _every_section()


def _typed(text: str) -> None:
    sections = (_one_of(SECTIONS, text), SECTIONS[len(text) % len(SECTIONS)])
    _whichever([partial(_typed_of, section, text) for section in sections])


def _typed_of(section: Measurement, text: str) -> None:
    found = parse_typed(text, section)
    assert (found.value_si is None) == (found.reason is not None), text
    if found.value_si is None:
        return
    said, measured = text.strip().lower()[-2:], section.quantity.value
    assert not (said == "dc" and "AC" in measured), (text, measured)
    assert not (said == "ac" and "DC" in measured), (text, measured)
    _is(found.value_si, si(text, section.quantity.kind, section.unit), text)


_TERM = re.compile(r"([0-9.,]+)\s*%")
_WORTH = re.compile(r"[x*·×]\s*([0-9.,]+\s*[^\s0-9.,()+±;]+)")
_UP_TO = re.compile(r"up to\s+([0-9.,]+\s*[A-Za-zµΩ\u03bc\u2126°]+)", re.IGNORECASE)


def _accuracy(text: str) -> None:
    for kind in ("", "capacitance"):
        try:
            found = parse_accuracy(text, kind)
        except InputError:
            if kind:
                raise
            continue
        written = [part for part in re.split(r"[;\n]", text) if part.strip()] or [text]
        lines = (found, *found.more)
        assert len(lines) == len(written), text
        for line, part in zip(lines, written, strict=True):
            _accuracy_line(line, part)


def _accuracy_line(line: Accuracy, text: str) -> None:
    text = text.replace("(", " ").replace(")", " ")
    shares = _TERM.findall(text)
    assert len(shares) <= 1, text
    assert Fraction(line.percent) == (number(shares[0]) if shares else 0), text
    of = {q.value: q.kind for q in Quantity}.get(line.holds_for, line.holds_for)
    of = of or "capacitance"
    for worth in _WORTH.findall(text):
        kind = "temperature difference" if of == "temperature" else of
        _is(line.count_si, si(worth, kind), text)
    for end in _UP_TO.findall(text):
        _is(line.up_to_si, si(end, of), text)
        assert line.up_to_si is not None
        assert line.line_for(_a_quantity(line), line.up_to_si) in (line, None)


def _a_quantity(line: Accuracy) -> Quantity:
    fitting = (q for q in Quantity if line.holds_for in ("", q.value, q.kind))
    return next(fitting)


# --- tables ---------------------------------------------------------------------------------


def _stock(text: str) -> None:
    found = read_stock(_file("stock.csv", text))
    for bad in found.bad:
        assert said(bad.error).strip(), text
    if not found.items:
        return
    again = io.StringIO(newline="")
    table = csv.writer(again)
    table.writerow(("label", "shape", "count", "place", "own number"))
    for item in found.items:
        count = "" if item.count is None else str(item.count)
        assert item.line <= text.count("\n") + text.count("\r") + 1, text
        assert count == "" or count[0] in text, text
        table.writerow((item.rating.text, item.shape, count, item.place, item.own_number))
    twice = read_stock(_file("again.csv", again.getvalue()))
    assert not twice.bad, text
    assert [(i.rating, i.shape, i.count, i.place, i.own_number) for i in twice.items] == [
        (i.rating, i.shape, i.count, i.place, i.own_number) for i in found.items
    ], text


def _references(text: str) -> None:
    path = _file("reference-parts.toml", text)
    parts, errors = read_reference_parts(path)
    for error in errors:
        assert said(error).strip(), text
        assert len(said(error)) < 2000, text
    read = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    entries = {" ".join(e["name"].split()): e for e in reversed(read.get("part", []))}
    for part in parts:
        entry = entries[part.name]
        kind = UNITS[part.unit].kind
        _is(part.value_si, si(entry["value"].strip().removeprefix("±"), kind), text)
        known = entry["uncertainty"].strip().removeprefix("±").strip()
        if known.endswith("%"):
            _is(part.expanded_uncertainty_si, si(known, "ratio") * Fraction(part.value_si), text)
        else:
            _is(part.expanded_uncertainty_si, si(known, kind), text)
        assert (part.valued_on, part.due) == (entry["date"], entry.get("due")), text


def _lot_of(kind: str, rating: str, text: str) -> None:
    from benchmeter.commands.main import run
    from tests.hostile.writing import shown_by

    path = _file("lot.csv", text)
    status, document, sentence = shown_by(
        lambda: run(["judge", rating, "--kind", kind, "--lot", str(path), "--json"])
    )
    assert status in (0, 1, 2), text
    if status:
        assert sentence.startswith("benchmeter: "), text
        return
    told = json.loads(document, parse_constant=_no_constant)
    for part in told["parts"]:
        for section in part["sections"]:
            if section["reading"] is not None:
                assert abs(section["reading"]) < 1e15, text


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} in a JSON document")


def _lot(text: str) -> None:
    """As a table of the kind whose seed it was spoiled from, as far as can be seen."""
    head = text.lstrip("\ufeff")[:4]
    fitting = [lot for lot in _LOTS if lot[2].lstrip("\ufeff")[:4] == head]
    for kind, rating, _ in fitting or [_one_of(_LOTS, text)]:
        _lot_of(kind, rating, text)


# --- codes ----------------------------------------------------------------------------------


def _tag(text: str) -> None:
    session, check = parse_tag_code(text)
    assert session == session.strip()
    if text.strip().lower().startswith("urn:"):
        assert str(uuid.UUID(session)) == session, text
        again = tag_code(session, check) if check else f"urn:uuid:{session}"
        assert again == text.strip().lower(), text
    else:
        assert (session, check) == (text.strip(), None)


def _scanned(text: str) -> None:
    from benchmeter.window.widgets.code_field import readable

    found = readable(text)
    assert readable(found) == found
    assert found.isprintable()
    left = iter(text)
    assert all(sign in left for sign in found), text
    assert [s for s in text if s.isalnum()] == [s for s in found if s.isalnum()], text


def _own_number(text: str) -> None:
    following = counted_on(text)
    stem = text.rstrip("0123456789")
    digits = text[len(stem) :]
    if len(digits) > 4_000:  # int() reads no more
        return
    if not digits:
        assert following == f"{text} 2".strip()
        return
    assert following.startswith(stem)
    assert int(following[len(stem) :]) == int(digits) + 1, text
    assert len(following[len(stem) :]) == max(len(digits), len(str(int(digits) + 1))), text


_STOCK = (
    "label,shape,count,place,own number\n45/5 µF ±6 % 440 V,round,3,bin 4,R1\n7.5 uF 5%,oval,,,\n",
    "\ufefflabel;count;place\r\n45 µF ±6 %;1,0;\"a\nb\"\r\n88-108 µF;2;=1+1\r\n",
    "sep=\t\nplace\tlabel\tcount\nx\t35+5 µF ±5% oval\t10\n",
)  # fmt: skip
_REFERENCES = (
    '[[part]]\nname = "R45"\nvalue = "45.02 µF"\nuncertainty = "0.09 µF"\ndate = 2026-01-10\n'
    'from = "certificate 4711"\ndue = 2027-01-10\n',
    '[[part]]\nname = "R100"\nvalue = "100,02 Ω"\nuncertainty = "0.2 %"\ndate = 2026-01-10\n'
    '[[part]]\nname = "V10"\nvalue = "10.0 V"\nuncertainty = "± 2 mV"\ndate = 2026-01-10\n',
)
_LOTS = (
    ("heater", "240 V, 1500 W", "part,element,to case\n1,38.4,OL\n2,=1+1,open\n3,\"38,5\",OL\n"),
    ("heater", "240 V, 1500 W", "\ufeffpart;element (ohm);to case\r\n1;38,4;OL\r\n2;44,1;20 Mohm\r\n"),
    ("valve-coil", "24 V, coil 10-16 ohm", "coil\n12.5\n12 ohm\n5 kohm\n@SUM(A1)\n\n"),
    ("contactor-one-pole", "coil 9-14 ohm", "unit,part,coil,L1-T1 at rest,L1-T1 closed\nx,1,12,OL,0.2\n"),
    ("run-capacitor", "45 µF ±6 %", "part,label,HERM,FAN,reading\n1,45/5 µF ±6 %,44.1,5.0,\n2,,,,44\n"),
)  # fmt: skip
_ACCURACIES = (
    "capacitance 1.2 % + 2 x 0.1uF; resistance up to 200 ohm 0.5 % + 3 x 0.1ohm; resistance 1 %",
    "AC voltage up to 600 V 0.8 % + 3 counts\nDC voltage 0.3 % + 2 x 1 mV\nAC amps 2 % + 0.1 A",
    "temperature up to 100 °C 0.5 °C; temperature up to 752 °F 2 °C", "1 % + 2 x 0.1 VAC",
    "ohms: ±(0,5 % rdg + 3 dgt)", "up to 6 Mohm 1.5 % + 5 counts; frequency 0.1 % + 2 x 0.1 Hz",
)  # fmt: skip
_READINGS = (
    "44.1 uF", "12 ohm", "5.2kΩ", "20 Mohm", "24.3 VAC", "3.1 V DC", "OL", "open", "shorted", "none",
    "6,28 A", "41 °F", "5 C", "610 psi", "60 Hz", "4.1 mV", "1e3", "-0.5", "10 k", "300 mohm", "0.2",
)  # fmt: skip
_KIND_TEXTS = tuple(kind_text(kind) for kind in KINDS_OF_PARTS)
_CODES = (
    "urn:uuid:019aba52-7b1c-7f20-8a21-3c5d9c1f03ab#check-2",
    "019aba52",
    "A-009",
    "\x1dA1\x1e9",
)
PARTS: tuple[Writing, ...] = (
    Writing("kind file", _TOML, _kind_file, file=True),
    Writing("kind record", _KIND_TEXTS, _kind_record),
    KindMixed("kind, fields mixed", _KIND_TEXTS, _kind_record),
    Writing("line of a field", _TOML, _line),
    Writing("givens", (
        *(k.example for k in KINDS_OF_PARTS),
        "24 V, coil 9-14 ohm", "coil 14 ±2 ohm; 24 VAC", "pt100 class B", "240V 1.5kW -5/+10 %",
        "opens 610 psi, closes 420 psi ±10 psi", "coil 9,5–14 Ω", "class 1", "opens 160 F ±3 F",
    ), _givens),
    Writing("typed, any quantity", _READINGS, _typed),
    Writing("accuracy, functions", _ACCURACIES, _accuracy),
    Writing("stock list", _STOCK, _stock, file=True),
    Writing("reference parts", _REFERENCES, _references, file=True),
    Writing("lot of a kind", tuple(seed for _, _, seed in _LOTS), _lot, file=True),
    Writing("tag code", _CODES, _tag),
    Writing("scanned code", _CODES, _scanned),
    Writing("own number", (*_CODES, "A-999", "9" * 20, "shelf 3 no 12"), _own_number),
)  # fmt: skip
