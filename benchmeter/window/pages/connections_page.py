"""Connections: what is plugged in, what it measures."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QListWidgetItem,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from benchmeter.errors import Message
from benchmeter.files.resources import STANDARD_SCENARIO
from benchmeter.links.instruments.profile import Profile
from benchmeter.scenes.connections import (
    ConnectionsAct,
    ConnectionsScene,
    Looked,
    RoleChoice,
    choose_instrument,
    connections_scene,
    port_title,
    port_trouble,
    profile_hinted,
    role_choices,
)
from benchmeter.tasks.choices import LinksFound
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

_KEYS = {
    ConnectionsAct.ADD: "A",
    ConnectionsAct.LOOK: "L",
    ConnectionsAct.CONNECT: "G",
    ConnectionsAct.REMOVE: "Del",
    ConnectionsAct.BY_HAND: "K",
    ConnectionsAct.SIMULATED: "B",
}
_LAST = (
    ConnectionsAct.CONNECT,
    ConnectionsAct.REMOVE,
    ConnectionsAct.BY_HAND,
    ConnectionsAct.SIMULATED,
)
_ADDRESS = Qt.ItemDataRole.UserRole


class ConnectionsPage(Page):
    """Choose port, kind of instrument and what it measures; then connect."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._profiles: tuple[Profile, ...] = ()
        self._looked = Looked.NOT_YET
        self.buttons: dict[ConnectionsAct, KeyButton] = {}
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
        self.rows.addLayout(self._make_buttons((ConnectionsAct.ADD, ConnectionsAct.LOOK)))
        self.chosen_title = label(self.tr("page_connections.chosen_recording"), size="small")
        self.chosen = LineList(56, self)
        self.chosen.setAccessibleName(self.chosen_title.text())
        self.rows.addWidget(self.chosen_title)
        self.rows.addWidget(self.chosen, 1)
        self.rows.addLayout(self._make_buttons(_LAST))
        controller.session_changed.connect(self.renew)
        self.renew()

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

    def _make_buttons(self, acts: Sequence[ConnectionsAct]) -> FlowLayout:
        flow = FlowLayout(spacing=current_theme().px(8))
        for act in acts:
            button = KeyButton("", _KEYS[act], self)
            button.setObjectName(act)
            button.clicked.connect(self._pressed)
            self.buttons[act] = button
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
        if self._looked is Looked.LOOKING:
            return
        self._looked = Looked.LOOKING
        self.renew()
        self.controller.background.run(
            self.controller.services.find_links, self._links_found, self._look_failed
        )

    def _look_failed(self, fault: Exception) -> None:
        self._looked = Looked.FAILED
        self.renew()
        self.controller.report(fault)

    def _links_found(self, links: LinksFound) -> None:
        self._looked = Looked.DONE
        for fault in links.broken:
            self.controller.report(fault)
        typed = self.port.currentText()
        self.port.clear()
        for port in links.ports:
            self.port.addItem(port_title(port), port)
        if typed:
            self.port.setEditText(typed)
        if links.profiles != self._profiles:
            self._profiles = links.profiles
            self.kind.clear()
            for profile in links.profiles:
                self.kind.addItem(profile.title, profile)
        self._port_chosen()
        self.renew()

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        view = self.controller.seen()
        ports, chosen = self.port.count(), self.chosen.count()
        self.show_scene(
            connections_scene(self._looked, ports, chosen, view.presentation, opening=view.opening)
        )

    def show_scene(self, scene: ConnectionsScene) -> None:
        """Draw it."""
        self.found.setText(scene.found)
        self.say_next(scene.next_step)
        for act, offer in scene.actions.items():
            self.buttons[act].show_offer(offer)

    @Slot()
    def _kind_chosen(self) -> None:
        profile = self.kind.currentData()
        self.about.setText(profile.about if profile is not None else "")
        for widget in (*self._role_titles, *self.roles):
            self._roles_rows.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self._role_titles, self.roles = [], []
        tell = self.controller.seen().presentation
        for choice in role_choices(profile, tell) if profile is not None else ():
            self._add_role(choice)

    def _add_role(self, choice: RoleChoice) -> None:
        title, box = label(choice.title, size="small"), self._box()
        box.setEditable(True)
        box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        box.addItems(choice.names)
        box.setCurrentIndex(choice.chosen)
        title.setBuddy(box)
        box.setAccessibleName(choice.title)
        self._roles_rows.addWidget(title)
        self._roles_rows.addWidget(box)
        QWidget.setTabOrder(self.roles[-1] if self.roles else self.kind, box)
        self._role_titles.append(title)
        self.roles.append(box)

    @Slot()
    def _port_chosen(self) -> None:
        port: PortFound | None = self.port.currentData()
        if port is None:
            return
        row = profile_hinted(port, self._profiles)
        if row is not None:
            self.kind.setCurrentIndex(row)
        trouble = port_trouble(port, current_theme().presentation)
        self.trouble.setText(trouble)
        self.trouble.setVisible(bool(trouble))

    # --- doing ---------------------------------------------------------------------------------

    @Slot()
    def _pressed(self) -> None:
        match ConnectionsAct(self.sender().objectName()):
            case ConnectionsAct.ADD:
                self._add()
            case ConnectionsAct.LOOK:
                self.look_for_links()
            case ConnectionsAct.CONNECT:
                rows = range(self.chosen.count())
                addresses = tuple(self.chosen.item(row).data(_ADDRESS) for row in rows)
                self.controller.start_live(addresses)
            case ConnectionsAct.REMOVE:
                self.chosen.takeItem(self.chosen.currentRow())
                self.renew()
            case ConnectionsAct.BY_HAND:
                self.controller.start_live(())
            case ConnectionsAct.SIMULATED:
                self.simulate.emit(STANDARD_SCENARIO)

    def _add(self) -> None:
        names = [box.currentText() for box in self.roles]
        chosen = choose_instrument(
            self.port.currentText(), self.port.currentData(), self.kind.currentData(), names
        )
        if isinstance(chosen, Message):
            self.controller.tell(chosen)
            self.port.setFocus()
            return
        item = QListWidgetItem(chosen.words)
        item.setData(_ADDRESS, chosen.address)
        self.chosen.addItem(item)
        self.chosen.setCurrentItem(item)
        self.renew()
