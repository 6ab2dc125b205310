"""What a screen says beside the catalogue, and what has no room on it.

The pseudo-language puts each text of the catalogue into brackets. What stands outside them is data
(names, units, labels, keys, what a person wrote), or it was not translated.
"""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import astuple

from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QListWidget, QWidget

from benchmeter.files.resources import demo_sessions, resource
from benchmeter.window.widgets.painted import Painted
from tests.fakes.stated_visit import STATED

__all__ = ["cut_off", "data", "outside", "untranslated"]

_TEXTS = (
    "text", "title", "placeholderText", "accessibleName", "accessibleDescription", "toolTip",
    "toPlainText",
)  # fmt: skip
_WORD = re.compile(r"[^\W\d_]{3,}")
_NAMES = (  # of the program, of keys (Qt's), of ports, of what stands in files of a person
    "benchmeter", "Ctrl", "Alt", "Shift", "Return", "Space", "Esc", "Del", "Home", "End",
    "/dev/ttyUSB", "COM", "label", "count", "place", "shape", "own number", "example", "part",
    "name", "value", "uncertainty", "date", "from", "due", "stock.csv", "ohm",
)  # fmt: skip
_ROLES = ("capacitor", "capacitance", "probe", "discharge", "outdoor", "residual", "meter")
_FAKES = (  # names, and what persons and instruments say in the fakes
    "Capacitance meter that sends lines", "Thermometer with two probes", "Bench meter",
    "apart", "C and HERM", "C and FAN", "power on", "power off",
    "HERM", "FAN", "old part", "replacement", "van shelf", "workshop", "round", "oval", "new fan motor in",
    "certificate 4711", "certificate", "of the calibration laboratory", "the shop's bridge",
    "class B", "The cable was pulled out. Plug it in again; recording goes on by itself.",
    "The session of 2026-06-03 14:02 ended without close; all but its last second is in the record.",
    "The capacitance meter has stopped sending: the record has a gap from",
    "Check the plug; what else is connected goes on being recorded.",
    "The report is written: visit.pdf",
    *(said for said in astuple(STATED) if isinstance(said, str)), "Maker B",
)  # fmt: skip


def outside(text: str) -> str:
    """What stands outside all brackets."""
    depth, found = 0, []
    for sign in text:
        depth = max(depth + (sign == "[") - (sign == "]"), 0)
        found.append(" " if depth or sign == "]" else sign)
    return "".join(found)


def data() -> re.Pattern[str]:
    """What the program's data files name and say, and the fakes; the longest first."""
    files = [
        p for name in ("parts", "instruments", "labels") for p in resource(name).glob("*.toml")
    ]
    files += demo_sessions().glob("*.toml")
    said = _strings([tomllib.loads(path.read_text("utf-8")) for path in files])
    phrases = {phrase for text in said if len(phrase := text.strip()) > 1}
    known = sorted({*phrases, *_NAMES, *_ROLES, *_FAKES}, key=len, reverse=True)
    either = "|".join(re.escape(phrase).replace(r"\ ", r"\s+") for phrase in known)
    return re.compile(rf"(?<![^\W\d_])(?:{either})(?![^\W\d_])", re.IGNORECASE)


def untranslated(window: QWidget, known: re.Pattern[str]) -> Iterator[str]:
    """Each word outside the brackets that is no data, with its text."""
    for widget in _visible(window):
        for text in _texts(widget):
            for word in _WORD.findall(known.sub(" ", outside(text))):
                yield f"{type(widget).__name__}: {word!r} in {text!r}"


def cut_off(window: QWidget) -> Iterator[str]:
    """Labels and buttons whose text needs more room than they have."""
    for widget in _visible(window):
        needed, size = widget.sizeHint(), widget.size()
        match widget:
            case QLabel() if not widget.text():
                continue
            case QLabel() if widget.wordWrap():
                fits = widget.heightForWidth(size.width()) <= size.height() + 1
            case QLabel():
                fits = needed.width() <= size.width() + 1
            case QAbstractButton():
                fits = needed.width() <= size.width() + 1 and needed.height() <= size.height() + 1
            case Painted():
                fits = widget.heightForWidth(size.width()) <= size.height() + 1
            case _:
                continue
        if not fits:
            said = "; ".join(_texts(widget))
            yield f"{type(widget).__name__} has {size.toTuple()}, needs {needed.toTuple()}: {said}"


def _visible(window: QWidget) -> Iterator[QWidget]:
    return (w for w in [window, *window.findChildren(QWidget)] if w.isVisible())


def _texts(widget: QWidget) -> Iterator[str]:
    for name in _TEXTS:
        ask = getattr(widget, name, None)
        if callable(ask) and isinstance(text := ask(), str) and text:
            yield text
    if isinstance(widget, QComboBox):
        yield from (widget.itemText(i) for i in range(widget.count()))
    if isinstance(widget, QListWidget):
        yield from (widget.item(i).text() for i in range(widget.count()))


def _strings(data: object) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for value in data.values():
            yield from _strings(value)
    elif isinstance(data, list):
        for value in data:
            yield from _strings(value)
