"""Settings: what one person prefers. Each takes effect at once and is kept."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QLineEdit, QWidget

from benchmeter.errors import InputError
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

if TYPE_CHECKING:
    from benchmeter.reports.label_stock import LabelStock

__all__ = ["ZOOMS", "SettingsPage"]

ZOOMS = (100, 110, 125, 150, 175, 200)


class SettingsPage(Page):
    """One choice a line."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self.say_next(self.tr("page_settings.choose_takes_effect_at"))
        self.rows.addWidget(label(self.tr("page_settings.settings"), size="title"))
        self._form = QFormLayout()
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self._form.setSpacing(current_theme().gap)
        self.palette_keys = self._palettes()
        self._row(self.tr("page_settings.colours"), self.palette_keys)
        self.zoom = self._choice("zoom", tuple((f"{percent} %", percent) for percent in ZOOMS))
        self._row(self.tr("page_settings.size_everything_ctrl_ctrl"), self.zoom)
        self.unit = self._choice(
            "temperature_unit",
            (
                (self.tr("page_settings.degrees_fahrenheit_f"), "°F"),
                (self.tr("page_settings.degrees_celsius_c"), "°C"),
            ),
        )
        self._row(self.tr("page_settings.temperatures"), self.unit)
        self.sign = self._choice(
            "decimal_sign",
            (
                (self.tr("page_settings.point_39_2"), "."),
                (self.tr("page_settings.comma_39_2"), ","),
            ),
        )
        self._row(self.tr("page_settings.decimal_sign_both_understood"), self.sign)
        self.sound = self._choice(
            "sound",
            (
                (self.tr("page_settings.rhythm_good_bad_look"), True),
                (self.tr("page_settings.off"), False),
            ),
        )
        self._row(self.tr("page_settings.sound"), self.sound)
        self.rule = self._choice(
            "decision_rule",
            (
                (self.tr("page_settings.guarded_meter_s_uncertainty"), "guarded"),
                (self.tr("page_settings.simple_reading_alone_counts"), "simple"),
            ),
        )
        self._row(self.tr("page_settings.decision_rule_next_check"), self.rule)
        self.accuracy = QLineEdit(self)
        self.accuracy.setPlaceholderText("1.2 % + 2 x 0.1 uF")
        self.accuracy.editingFinished.connect(self._accuracy_typed)
        self._row(self.tr("page_settings.meter_s_accuracy_line"), self.accuracy)
        self.stock = self._choice("tag_stock", ())
        self._row(self.tr("page_settings.tags_printed"), self.stock)
        self.rows.addLayout(self._form)
        self.fault = label(tone="bad")
        self.rows.addWidget(self.fault)
        self.rows.addStretch(1)
        controller.preferences_changed.connect(self.refresh)
        controller.ask(controller.services.label_stocks, self._stocks_found)
        self.refresh()

    def _row(self, title: str, field: QWidget) -> None:
        made: QLabel = label(title)
        made.setBuddy(field)
        field.setAccessibleName(title)
        self._form.addRow(made, field)

    def _palettes(self) -> QWidget:
        box = QWidget(self)
        flow = FlowLayout(box, spacing=current_theme().px(8))
        self._palette_buttons: dict[str, KeyButton] = {}
        for title, key, name in (
            (self.tr("page_settings.day"), "D", "day"),
            (self.tr("page_settings.night"), "N", "night"),
            (self.tr("page_settings.sunlight"), "S", "sunlight"),
        ):
            button = KeyButton(title, key, box)
            button.setCheckable(True)
            button.setObjectName(name)
            button.clicked.connect(self._palette_pressed)
            self._palette_buttons[name] = button
            flow.addWidget(button)
        return box

    def _choice(self, option: str, choices: tuple[tuple[str, object], ...]) -> QComboBox:
        box = QComboBox(self)
        box.setObjectName(option)
        box.setMinimumContentsLength(10)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        for text, value in choices:
            box.addItem(text, value)
        box.activated.connect(self._chosen)
        return box

    def entered(self) -> None:
        self._palette_buttons[self.controller.preferences.palette].setFocus()

    @Slot()
    def refresh(self) -> None:
        """Show what holds now."""
        preferences = self.controller.preferences
        for box in (self.zoom, self.unit, self.sign, self.sound, self.rule, self.stock):
            box.setCurrentIndex(box.findData(getattr(preferences, box.objectName())))
        for name, button in self._palette_buttons.items():
            button.setChecked(name == preferences.palette)
        if not self.accuracy.hasFocus():
            self.accuracy.setText(preferences.accuracy)

    def _stocks_found(self, stocks: "tuple[LabelStock, ...]") -> None:
        for stock in stocks:
            self.stock.addItem(stock.title, stock.name)
        self.refresh()

    @Slot(int)
    def _chosen(self, _index: int) -> None:
        box = self.sender()
        assert isinstance(box, QComboBox)
        self.controller.prefer(**{box.objectName(): box.currentData()})

    @Slot()
    def _palette_pressed(self) -> None:
        button = self.sender()
        assert isinstance(button, KeyButton)
        self.controller.prefer(palette=button.objectName())
        self.refresh()

    @Slot()
    def _accuracy_typed(self) -> None:
        from benchmeter.conformity.accuracy import parse_accuracy

        text = self.accuracy.text().strip()
        try:
            if text:
                parse_accuracy(text)
        except InputError as fault:
            self.fault.setText(str(current_theme().presentation.tell(fault)))
            return
        self.fault.setText("")
        self.controller.prefer(accuracy=text)
