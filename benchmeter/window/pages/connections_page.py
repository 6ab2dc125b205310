"""Connections: what is plugged in, what it measures."""

from typing import TYPE_CHECKING
from urllib.parse import quote

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QListWidgetItem,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from benchmeter.files.resources import STANDARD_SCENARIO
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import Role
from benchmeter.window.control.services import LinksFound
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList

if TYPE_CHECKING:
    from benchmeter.links.instruments.discovery import PortFound

__all__ = ["ConnectionsPage"]

# In the order of offering; a meter that tells what its knob is set to can be any.
_ROLES = (
    Role.METER,
    Role.CAPACITOR,
    Role.DISCHARGE,
    Role.OUTDOOR,
    Role.PROBE,
    Role.RESIDUAL,
)
_ADDRESS = Qt.ItemDataRole.UserRole


class ConnectionsPage(Page):
    """Choose port, kind of instrument and what it measures; then connect."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._profiles: tuple[Profile, ...] = ()
        self._looking = False
        self.roles: list[QComboBox] = []
        self._role_titles: list[QLabel] = []
        self.rows.addWidget(label(self.tr("page_connections.what_plugged"), size="title"))
        self.found = label(tone="faint")
        self.rows.addWidget(self.found)
        self.rows.addLayout(self._make_form())
        self.trouble = label(tone="caution")
        self.trouble.hide()
        self.rows.addWidget(self.trouble)
        self.about = label(tone="faint")
        self.rows.addWidget(self.about)
        self.rows.addLayout(self._make_buttons())
        self.chosen_title = label(self.tr("page_connections.chosen_recording"), size="small")
        self.chosen = LineList(56, self)
        self.chosen.setAccessibleName(self.chosen_title.text())
        self.rows.addWidget(self.chosen_title)
        self.rows.addWidget(self.chosen, 1)
        self.rows.addLayout(self._make_last_buttons())
        controller.session_changed.connect(self.refresh)
        self.refresh()

    def _make_form(self) -> QVBoxLayout:
        self.port = self._box()
        self.port.setEditable(True)
        self.port.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        edit = self.port.lineEdit()
        assert edit is not None
        edit.setPlaceholderText("/dev/ttyUSB0, COM3, …")
        self.kind = self._box()
        self.kind.currentIndexChanged.connect(self._kind_chosen)
        self.port.currentIndexChanged.connect(self._port_chosen)
        rows = QVBoxLayout()
        rows.setSpacing(current_theme().px(4))
        for text, box in (
            (self.tr("page_connections.cable_or_port_choose"), self.port),
            (self.tr("page_connections.kind_instrument"), self.kind),
        ):
            title = label(text, size="small")
            title.setBuddy(box)
            box.setAccessibleName(text)
            rows.addWidget(title)
            rows.addWidget(box)
        self._roles_rows = QVBoxLayout()
        self._roles_rows.setSpacing(current_theme().px(4))
        rows.addLayout(self._roles_rows)
        return rows

    def _box(self) -> QComboBox:
        box = QComboBox(self)
        box.setMinimumContentsLength(16)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        return box

    def _make_buttons(self) -> FlowLayout:
        self.add = KeyButton(self.tr("page_connections.add_instrument"), "A", self)
        self.add.clicked.connect(self._add)
        self.look = KeyButton(self.tr("page_connections.look_again"), "L", self)
        self.look.clicked.connect(self.look_for_links)
        flow = FlowLayout(spacing=current_theme().px(8))
        flow.addWidget(self.add)
        flow.addWidget(self.look)
        return flow

    def _make_last_buttons(self) -> FlowLayout:
        self.connect_all = KeyButton(
            self.tr("page_connections.connect_record"), "G", self, primary=True
        )
        self.connect_all.clicked.connect(self._connect)
        self.remove = KeyButton(self.tr("page_connections.take_out"), "Del", self)
        self.remove.clicked.connect(self._remove)
        self.by_hand = KeyButton(self.tr("page_connections.only_type_readings"), "K", self)
        self.by_hand.clicked.connect(self._type_only)
        self.simulated = KeyButton(self.tr("page_connections.simulated_bench"), "B", self)
        self.simulated.clicked.connect(self._simulate)
        flow = FlowLayout(spacing=current_theme().px(8))
        for button in (self.connect_all, self.remove, self.by_hand, self.simulated):
            flow.addWidget(button)
        return flow

    # --- showing -------------------------------------------------------------------------------

    def entered(self) -> None:
        # Not the port: what is typed there would be taken for its path.
        self.kind.setFocus()
        self.look_for_links()

    @Slot()
    def look_for_links(self) -> None:
        """Ask the computer again what is plugged in."""
        if self._looking:
            return
        self._looking = True
        self.found.setText(self.tr("page_connections.looking_what_plugged"))
        self.controller.background.run(
            self.controller.services.find_links, self._links_found, self._look_failed
        )

    def _look_failed(self, fault: Exception) -> None:
        self._looking = False
        self.found.setText(self.tr("page_connections.ports_could_not_listed"))
        self.controller.report(fault)

    def _links_found(self, links: LinksFound) -> None:
        self._looking = False
        for fault in links.broken:
            self.controller.report(fault)
        typed = self.port.currentText()
        self.port.clear()
        for port in links.ports:
            self.port.addItem(_port_title(port), port)
        if typed:
            self.port.setEditText(typed)
        if links.profiles != self._profiles:
            self._profiles = links.profiles
            self.kind.clear()
            for profile in links.profiles:
                self.kind.addItem(profile.title, profile)
        number = len(links.ports)
        self.found.setText(
            self.tr("page_connections.one_cable_found")
            if number == 1
            else self.tr("page_connections.number_cables_found").format(number=number)
            if number
            else self.tr("page_connections.no_cable_found_plug")
        )
        self._port_chosen()
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show what can be done now."""
        some = self.chosen.count() > 0
        self.connect_all.setEnabled(some and not self.controller.opening)
        self.remove.setEnabled(some)
        self.simulated.setEnabled(not self.controller.opening)
        if self.controller.opening:
            self.say_next(self.tr("page_connections.connecting"))
        elif some:
            self.say_next(self.tr("page_connections.add_another_instrument_or"))
        else:
            self.say_next(self.tr("page_connections.choose_cable_kind_instrument"))

    @Slot()
    def _kind_chosen(self) -> None:
        profile = self.kind.currentData()
        self.about.setText(profile.about if profile is not None else "")
        for widget in (*self._role_titles, *self.roles):
            self._roles_rows.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self._role_titles, self.roles = [], []
        for number, channel in enumerate(profile.channels if profile is not None else ()):
            self._add_role(profile, channel, number)

    def _add_role(self, profile: Profile, channel: ChannelOfProfile, number: int) -> None:
        text = (
            self.tr("page_connections.what_does_measure")
            if len(profile.channels) == 1
            else self.tr("page_connections.what_does_value_name").format(
                name=channel.field or str(number + 1)
            )
        )
        title, box = label(text, size="small"), self._box()
        box.setEditable(True)
        box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        for role in _ROLES:
            if channel.quantity is None or channel.quantity is role.quantity:
                box.addItem(role.value)
        own = channel.field or (channel.quantity.value if channel.quantity else "")
        if own and box.findText(own) < 0:
            box.addItem(own)
        box.setCurrentIndex(min(number, box.count() - 1))
        title.setBuddy(box)
        box.setAccessibleName(text)
        self._roles_rows.addWidget(title)
        self._roles_rows.addWidget(box)
        self._role_titles.append(title)
        self.roles.append(box)
        QWidget.setTabOrder(self.roles[-2] if number else self.kind, box)

    @Slot()
    def _port_chosen(self) -> None:
        port: PortFound | None = self.port.currentData()
        if port is None:
            return
        row = next((r for r, p in enumerate(self._profiles) if p.name in port.profiles), -1)
        if row >= 0:
            self.kind.setCurrentIndex(row)
        self.trouble.setText(f"{port.reason} {port.advice}".strip())
        self.trouble.setVisible(bool(port.reason))

    # --- doing ---------------------------------------------------------------------------------

    @Slot()
    def _add(self) -> None:
        profile = self.kind.currentData()
        path = self._path()
        if not path or profile is None:
            self.controller.say(
                self.tr("page_connections.nothing_was_added_cable"),
                self.tr("page_connections.choose_cable_or_type"),
            )
            self.port.setFocus()
            return
        names = [box.currentText().strip() for box in self.roles]
        address = f"serial:{path}?profile={profile.name}"
        if all(names):
            address += f"&channel={','.join(quote(name) for name in names)}"
        what = ", ".join(name for name in names if name) or profile.title
        item = QListWidgetItem(f"{what}:  {path}  ({profile.title})")
        item.setData(_ADDRESS, address)
        self.chosen.addItem(item)
        self.chosen.setCurrentItem(item)
        self.refresh()

    def _path(self) -> str:
        port = self.port.currentData()
        text = self.port.currentText().strip()
        if port is not None and text == _port_title(port):
            return port.stable_path or port.device
        return text

    @Slot()
    def _remove(self) -> None:
        self.chosen.takeItem(self.chosen.currentRow())
        self.refresh()

    @Slot()
    def _connect(self) -> None:
        rows = range(self.chosen.count())
        self.controller.start_live(tuple(self.chosen.item(row).data(_ADDRESS) for row in rows))

    @Slot()
    def _simulate(self) -> None:
        self.simulate.emit(STANDARD_SCENARIO)

    @Slot()
    def _type_only(self) -> None:
        self.controller.start_live(())


def _port_title(port: "PortFound") -> str:
    return f"{port.device}  ·  {port.description}  ·  {port.state.value}"
