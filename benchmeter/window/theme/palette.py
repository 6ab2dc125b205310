"""Colours by purpose, type sizes and spacing: one source for every widget, plot and report.

A palette is a TOML file in `resources/palettes`; `Palette` is its schema.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import cast

import msgspec
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication

from benchmeter.errors import DataFileError
from benchmeter.files.preferences import PaletteName
from benchmeter.files.resources import resource
from benchmeter.window.theme import fonts
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["NAMES", "ZOOM_MAX", "ZOOM_MIN", "Palette", "Theme", "apply", "current_theme", "palette"]

NAMES: tuple[PaletteName, ...] = ("day", "night", "sunlight")
ZOOM_MIN, ZOOM_MAX = 1.0, 2.0


class Palette(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Colours by purpose, as "#rrggbb".

    Attributes:
        ground, panel, control: surfaces: the window, what holds a reading, what can be pressed.
        edge: outline of controls; rule: grid lines, decoration only.
        ink, faint_ink: text; faint for what is old or secondary.
        good, caution, bad, undecided: verdicts and states; on_verdict: on a block of these.
        accent, on_accent: the one thing to press next. focus: ring of the keyboard focus.
        band: between the tolerance limits. forecast: where the curve may go. hold_off: a delay.
        series_1 ... series_4: curves.
    """

    title: str
    dark: bool
    ground: str
    panel: str
    control: str
    edge: str
    rule: str
    ink: str
    faint_ink: str
    good: str
    caution: str
    bad: str
    undecided: str
    on_verdict: str
    accent: str
    on_accent: str
    focus: str
    band: str
    forecast: str
    hold_off: str
    series_1: str
    series_2: str
    series_3: str
    series_4: str

    def __post_init__(self) -> None:
        for name in self.__struct_fields__:
            value = getattr(self, name)
            if isinstance(value, str) and name != "title" and not _is_colour(value):
                raise ValueError(f"{name} is “{value}”; write a colour like #1a2b3c")

    @property
    def series(self) -> tuple[str, str, str, str]:
        return (self.series_1, self.series_2, self.series_3, self.series_4)


def _is_colour(text: str) -> bool:
    return (
        len(text) == 7 and text[0] == "#" and all(c in "0123456789abcdefABCDEF" for c in text[1:])
    )


@lru_cache(maxsize=8)
def palette(name: str) -> Palette:
    """The palette of that name.

    Raises:
        DataFileError: the file is broken.
        FileNotFoundError: there is none of that name.
    """
    path = resource(f"palettes/{name}.toml")
    try:
        return msgspec.toml.decode(path.read_bytes(), type=Palette)
    except (msgspec.MsgspecError, ValueError) as fault:
        raise DataFileError("window.palette", file=path.name, detail=str(fault)) from fault


@dataclass(frozen=True, slots=True)
class Theme:
    """A palette at a zoom: where every widget takes its colours, fonts and distances from.

    Attributes:
        presentation: language, degrees and decimal sign of what the widgets say.
    """

    palette: Palette
    zoom: float = 1.0
    presentation: Presentation = PLAIN

    @property
    def decimal_sign(self) -> str:
        return self.presentation.decimal_sign

    def px(self, at_100: float) -> int:
        """Logical pixels for a length given at zoom 1."""
        return round(at_100 * self.zoom)

    @property
    def gap(self) -> int:
        """The usual distance: three steps of the 4-pixel grid."""
        return self.px(12)

    @property
    def target(self) -> int:
        """Height of everything that is pressed: 12 mm at 96 dpi are 45.4 px."""
        return self.px(48)

    def colour(self, purpose: str) -> QColor:
        return QColor(getattr(self.palette, purpose))

    @property
    def small(self) -> QFont:
        return self._font(14)

    @property
    def body(self) -> QFont:
        return self._font(17)

    @property
    def title(self) -> QFont:
        return self._font(28, bold=True)

    @property
    def giant(self) -> QFont:
        return self._font(104, bold=True, family=fonts.DIGITS)

    def _font(self, at_100: float, *, bold: bool = False, family: str = fonts.TEXT) -> QFont:
        font = QFont(family)
        font.setPixelSize(self.px(at_100))
        font.setBold(bold)
        return font

    def bold(self, font: QFont) -> QFont:
        made = QFont(font)
        made.setBold(True)
        return made


def apply(
    app: QApplication,
    chosen: Palette,
    zoom: float = 1.0,
    presentation: Presentation = PLAIN,
) -> Theme:
    """Give the whole application this look; every widget is told by Qt's own change events.

    Args:
        zoom: 1.0 to 2.0; outside it is brought to the nearer end.
    """
    fonts.load()
    look = Theme(chosen, min(max(zoom, ZOOM_MIN), ZOOM_MAX), presentation)
    app.setProperty("benchmeter_look", look)
    app.setStyleSheet("")  # Qt goes from sheet to sheet three times as fast by way of none
    app.setFont(look.body)
    app.setPalette(_qt_palette(look))
    app.setStyleSheet(_style_sheet(look))
    return look


def current_theme() -> Theme:
    """The look that was applied last; day at 100 % before that."""
    app = QApplication.instance()
    look = app.property("benchmeter_look") if app is not None else None
    return cast(Theme, look) if look is not None else Theme(palette("day"))


def _qt_palette(look: Theme) -> QPalette:
    made = QPalette()
    role = QPalette.ColorRole
    for which, purpose in (
        (role.Window, "ground"),
        (role.Base, "panel"),
        (role.AlternateBase, "ground"),
        (role.Button, "control"),
        (role.ToolTipBase, "panel"),
        (role.WindowText, "ink"),
        (role.Text, "ink"),
        (role.ButtonText, "ink"),
        (role.ToolTipText, "ink"),
        (role.PlaceholderText, "faint_ink"),
        (role.Highlight, "accent"),
        (role.HighlightedText, "on_accent"),
        (role.Link, "accent"),
        (role.Mid, "rule"),
        (role.Dark, "edge"),
    ):
        made.setColor(which, look.colour(purpose))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, look.colour("faint_ink"))
    return made


def _style_sheet(look: Theme) -> str:
    p, px = look.palette, look.px
    return f"""
QWidget {{ font-family: "{fonts.TEXT}"; font-size: {px(17)}px; }}
QMainWindow, QDialog {{ background: {p.ground}; }}
QLabel {{ color: {p.ink}; background: transparent; }}
QLabel[text_size="small"] {{ font-size: {px(14)}px; }}
QLabel[text_size="lead"] {{ font-size: {px(20)}px; font-weight: bold; }}
QLabel[text_size="figure"] {{ font-size: {px(44)}px; font-weight: bold; }}
QLabel[text_size="title"] {{ font-size: {px(28)}px; font-weight: bold; }}
QLabel[tone="faint"] {{ color: {p.faint_ink}; }}
QLabel[tone="caution"] {{ color: {p.caution}; }}
QLabel[tone="bad"] {{ color: {p.bad}; }}
QPushButton, QToolButton {{
    color: {p.ink}; background: {p.control}; border: {px(2)}px solid {p.edge};
    border-radius: {px(6)}px; padding: {px(4)}px {px(16)}px; min-height: {px(36)}px;
}}
QPushButton:pressed, QToolButton:pressed, QPushButton:checked, QToolButton:checked {{
    color: {p.on_accent}; background: {p.accent}; border-color: {p.accent};
}}
QPushButton[primary="true"] {{
    color: {p.on_accent}; background: {p.accent}; border-color: {p.accent}; font-weight: bold;
}}
QPushButton:disabled, QToolButton:disabled {{
    color: {p.faint_ink}; background: {p.ground}; border: {px(2)}px dashed {p.faint_ink};
}}
QPushButton:focus, QToolButton:focus {{ border: {px(4)}px solid {p.focus};
    padding: {px(2)}px {px(14)}px; }}
QPushButton[primary="true"]:focus {{ border-color: {p.ink}; }}
QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QAbstractSpinBox {{
    color: {p.ink}; background: {p.panel}; border: {px(2)}px solid {p.edge};
    border-radius: {px(6)}px; padding: {px(2)}px {px(10)}px; min-height: {px(40)}px;
    selection-background-color: {p.accent}; selection-color: {p.on_accent};
}}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {{
    border: {px(4)}px solid {p.focus}; padding: 0px {px(8)}px;
}}
QComboBox::drop-down {{ border: none; width: {px(36)}px; }}
QSlider::groove:horizontal {{ background: {p.control}; border: {px(1)}px solid {p.edge};
    height: {px(8)}px; border-radius: {px(4)}px; }}
QSlider::handle:horizontal {{ background: {p.accent}; border: {px(2)}px solid {p.accent};
    width: {px(28)}px; margin: -{px(19)}px 0; border-radius: {px(6)}px; }}
QSlider::handle:horizontal:focus {{ border-color: {p.ink}; }}
QComboBox QAbstractItemView, QListView, QTableView, QTreeView {{
    color: {p.ink}; background: {p.panel}; border: {px(1)}px solid {p.edge};
    selection-background-color: {p.accent}; selection-color: {p.on_accent};
}}
QListView::item, QTableView::item, QComboBox QAbstractItemView::item {{
    min-height: {px(48)}px; padding: {px(2)}px {px(8)}px;
}}
QListView:focus, QTableView:focus, QTreeView:focus {{ border: {px(3)}px solid {p.focus}; }}
QHeaderView::section {{ color: {p.ink}; background: {p.ground}; border: none;
    border-bottom: {px(2)}px solid {p.edge}; padding: {px(8)}px; min-height: {px(32)}px; }}
QScrollBar:vertical {{ background: {p.ground}; width: {px(20)}px; margin: 0; }}
QScrollBar:horizontal {{ background: {p.ground}; height: {px(20)}px; margin: 0; }}
QScrollBar::handle {{ background: {p.edge}; border-radius: {px(4)}px; margin: {px(4)}px;
    min-height: {px(48)}px; min-width: {px(48)}px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollArea {{ background: transparent; border: none; }}
NoticeBar {{ background: {p.panel}; border-left: {px(8)}px solid {p.accent}; }}
NoticeBar[tone="caution"] {{ border-color: {p.caution}; }}
NoticeBar[tone="bad"] {{ border-color: {p.bad}; }}
QToolTip {{ color: {p.ink}; background: {p.panel}; border: {px(1)}px solid {p.edge};
    padding: {px(6)}px; }}
"""
