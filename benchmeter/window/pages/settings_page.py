"""Settings: what one person prefers. Each takes effect at once and is kept."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QLineEdit, QWidget

from benchmeter.scenes.settings import (
    PALETTE,
    Setting,
    SettingsScene,
    accuracy_fault,
    settings_scene,
)
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

if TYPE_CHECKING:
    from benchmeter.reports.label_stock import LabelStock

__all__ = ["SettingsPage"]

_PALETTE_KEYS = {"day": "D", "night": "N", "sunlight": "S"}


class SettingsPage(Page):
    """One choice a line."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._stocks: tuple[LabelStock, ...] = ()
        self._palettes: dict[str, KeyButton] = {}
        self.boxes: dict[str, QComboBox] = {}
        self.rows.addWidget(label(self.tr("page_settings.settings"), size="title"))
        self._form = QFormLayout()
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self._form.setSpacing(current_theme().gap)
        palettes, *choices, stocks = self._scene().settings
        self._row(palettes.title, self._make_palettes(palettes))
        for setting in choices:
            self._row(setting.title, self._make_choice(setting))
        self.accuracy = QLineEdit(self)
        self.accuracy.setPlaceholderText("1.2 % + 2 x 0.1 uF")
        self.accuracy.editingFinished.connect(self._accuracy_typed)
        self._row(self.tr("page_settings.meter_s_accuracy_line"), self.accuracy)
        self._row(stocks.title, self._make_choice(stocks))
        self.rows.addLayout(self._form)
        self.fault = label(tone="bad")
        self.rows.addWidget(self.fault)
        self.rows.addStretch(1)
        controller.preferences_changed.connect(self.renew)
        controller.ask(controller.services.label_stocks, self._stocks_found)
        self.renew()

    # --- making --------------------------------------------------------------------------------

    def _row(self, title: str, field: QWidget) -> None:
        made: QLabel = label(title)
        made.setBuddy(field)
        field.setAccessibleName(title)
        self._form.addRow(made, field)

    def _make_palettes(self, setting: Setting) -> QWidget:
        box = QWidget(self)
        flow = FlowLayout(box, spacing=current_theme().px(8))
        for title, name in setting.choices:
            button = KeyButton(title, _PALETTE_KEYS[name], box)
            button.setCheckable(True)
            button.setObjectName(name)
            button.clicked.connect(self._palette_pressed)
            self._palettes[name] = button
            flow.addWidget(button)
        return box

    def _make_choice(self, setting: Setting) -> QComboBox:
        box = QComboBox(self)
        box.setObjectName(setting.option)
        box.setMinimumContentsLength(10)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        box.activated.connect(self._chosen)
        self.boxes[setting.option] = box
        return box

    # --- showing -------------------------------------------------------------------------------

    def entered(self) -> None:
        self._palettes[self.controller.preferences.palette].setFocus()

    def _scene(self) -> SettingsScene:
        preferences = self.controller.preferences
        return settings_scene(preferences, self._stocks, self.controller.seen().presentation)

    @Slot()
    def renew(self) -> None:
        """Show what holds now."""
        self.show_scene(self._scene())

    def show_scene(self, scene: SettingsScene) -> None:
        """Draw it; what is being typed stays."""
        self.say_next(scene.next_step)
        for setting in scene.settings:
            if setting.option == PALETTE:
                for name, button in self._palettes.items():
                    button.setChecked(name == setting.value)
            else:
                self._show_choice(self.boxes[setting.option], setting)
        if not self.accuracy.hasFocus():
            self.accuracy.setText(scene.accuracy)

    def _show_choice(self, box: QComboBox, setting: Setting) -> None:
        if [box.itemText(i) for i in range(box.count())] != [text for text, _ in setting.choices]:
            box.clear()
            for text, value in setting.choices:
                box.addItem(text, value)
        box.setCurrentIndex(box.findData(setting.value))

    def _stocks_found(self, stocks: "tuple[LabelStock, ...]") -> None:
        self._stocks = stocks
        self.renew()

    # --- doing ---------------------------------------------------------------------------------

    @Slot(int)
    def _chosen(self, _index: int) -> None:
        box = self.sender()
        assert isinstance(box, QComboBox)
        self.controller.prefer(**{box.objectName(): box.currentData()})

    @Slot()
    def _palette_pressed(self) -> None:
        self.controller.prefer(palette=self.sender().objectName())
        self.renew()

    @Slot()
    def _accuracy_typed(self) -> None:
        text = self.accuracy.text().strip()
        fault = accuracy_fault(text, self.controller.seen().presentation)
        self.fault.setText(fault)
        if not fault:
            self.controller.prefer(accuracy=text)
