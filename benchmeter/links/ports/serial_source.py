"""Serial links as a source: one thread a port, one queue in order of arrival."""

import logging
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path

import msgspec

from benchmeter.errors import InputError, LinkError, LinkLost, PortGone
from benchmeter.links.ports.arrivals import Arrivals
from benchmeter.links.ports.kinds.known_kinds import PORT_KINDS
from benchmeter.links.ports.link_talk import LinkTalk
from benchmeter.links.ports.port_identity import (
    PortIdentity,
    PortList,
    find_port,
    identify,
    like,
    listed_ports,
    same_port,
)
from benchmeter.links.ports.serial_port import PortSettings
from benchmeter.links.ports.source import SILENCE_NS, Conversation, Port
from benchmeter.links.ports.wall_clock import WallClock, utc_us
from benchmeter.readings.inputs import Input, LinkChange

__all__ = ["SerialLink", "SerialSource"]

_FIRST_RETRY_S = 0.2
_LONGEST_RETRY_S = 2.0
_STEADY_NS = 2_000_000_000
_JOIN_S = 0.4
_DRAIN_S = 0.45

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class SerialLink:
    """One serial link to record from.

    Attributes:
        name: the link's name in the session.
        path: the port as the user gave it: a device, or a link to one (/dev/serial/by-id/...).
        conversation: what to say to the instrument; None if it talks by itself.
        kind: of port, as link texts begin.
    """

    name: str
    path: str
    settings: PortSettings = field(default_factory=PortSettings)
    conversation: Conversation | None = None
    kind: str = "serial"


class SerialSource:
    """The stream of all serial links, with the wall clock at the start and when it is due.

    A link that cannot be opened, or is lost, is told by a LinkChange and tried again for as long
    as the source runs: an adapter on USB by its identity, wherever it turns up; a link in the
    file system, and a port without identity, by its path. A port that is open but silent stays
    open.

    Where the consumer is slow, the queue's bound holds the ports' threads back; nothing that was
    read is dropped.

    Args:
        links: names must differ.
        start_ns: the session's start on the monotonic clock; None: now.
        monotonic_ns, utc_us: the two clocks.
        ports: lists the ports of the system.

    Raises:
        InputError: two links have one name, or use one port.
    """

    def __init__(
        self,
        links: Sequence[SerialLink],
        *,
        start_ns: int | None = None,
        monotonic_ns: Callable[[], int] = time.monotonic_ns,
        utc_us: Callable[[], int] = utc_us,
        ports: PortList = listed_ports,
    ) -> None:
        _refuse_twins(links)
        self.start_ns = monotonic_ns() if start_ns is None else start_ns
        self._monotonic_ns = monotonic_ns
        self._utc_us = utc_us
        self._stop = threading.Event()
        self._arrivals = Arrivals()
        self._lines = [
            _LinkThread(link, self._arrivals, self._stop, self._now_ns, ports) for link in links
        ]
        self._threads: list[threading.Thread] = []
        self._starting = threading.Lock()

    def inputs(self) -> Iterator[Input]:
        """The stream, until `close`. To be called once. Runs on the thread of the caller."""
        clock = WallClock(self._now_ns, self._utc_us)
        with self._starting:
            if self._stop.is_set():
                return
            for line in self._lines:
                # A driver that never comes back from a call must not keep the program from ending.
                thread = threading.Thread(
                    target=line.run, name=f"serial {line.link.name}", daemon=True
                )
                self._threads.append(thread)
                thread.start()
        try:
            yield clock.anchor_at(0)
            while True:
                item = self._arrivals.take(SILENCE_NS / 1e9)
                if item is not None:
                    anchor = clock.due(item.time_ns)
                    if anchor is not None:
                        yield anchor
                    yield item
                elif self._arrivals.ended:
                    return
                else:  # no link is open: time passes all the same
                    yield clock.anchor_at(self._arrivals.pass_time(self._now_ns()))
        finally:
            self.close()

    def close(self) -> None:
        """Say farewell, close every port and end the stream. From any thread, any number of times.

        What has arrived before is still yielded, as far as it is taken within 0.45 s.
        """
        self._stop.set()
        self._arrivals.release()
        with self._starting:
            threads = tuple(self._threads)
        now = time.monotonic()
        for thread in threads:
            thread.join(max(0.0, now + _JOIN_S - time.monotonic()))
        self._arrivals.end(now + _DRAIN_S)

    def _now_ns(self) -> int:
        return self._monotonic_ns() - self.start_ns


class _LinkThread:
    """One link on its own thread: opens, talks, and finds the port again."""

    def __init__(
        self,
        link: SerialLink,
        arrivals: Arrivals,
        stop: threading.Event,
        now_ns: Callable[[], int],
        ports: PortList,
    ) -> None:
        self.link = link
        self._arrivals = arrivals
        self._stop = stop
        self._now_ns = now_ns
        self._ports = ports
        self._talk = LinkTalk(link.name, link.conversation)
        self._identity: PortIdentity | None = None
        self._by_path = False
        self._told: LinkError | None = None

    def run(self) -> None:
        """Runs on the link's own thread until the source is closed."""
        retry_s = _FIRST_RETRY_S
        while not self._stop.is_set():
            opened_ns = None
            try:
                port = self._open()
                opened_ns = self._now_ns()
                try:
                    self._record(port)
                finally:
                    port.close()
            except LinkError as error:
                self._tell_down(error)
            except Exception as fault:  # noqa: BLE001 - the wall: it stops no other link
                _log.exception("the link %s failed", self.link.name)
                why = {"link": self.link.name, "fault": type(fault).__name__}
                self._tell_down(LinkError("links.fault_of_ours", **why))
            # A port that goes as soon as it is opened is not tried at full speed for ever.
            if opened_ns is not None and self._now_ns() - opened_ns > _STEADY_NS:
                retry_s = _FIRST_RETRY_S
            self._stop.wait(retry_s)
            retry_s = min(2 * retry_s, _LONGEST_RETRY_S)

    def _open(self) -> Port:
        path = self._locate()
        port = PORT_KINDS[self.link.kind].open(path, self.link.settings, self._stop.wait)
        try:
            if self._by_path or self._identity is None:
                self._by_path = Path(self.link.path).is_symlink()
                self._identity = self._identity_of(path)
        except BaseException:
            port.close()
            raise
        return port

    def _locate(self) -> str:
        """Where the link's adapter is now.

        Raises:
            PortGone: it is not plugged in; another one may have taken over its path.
            LinkError: its like is plugged in elsewhere.
        """
        if self._identity is None or self._by_path:
            return self.link.path
        ports = self._ports()
        found = find_port(self._identity, ports)
        if found is not None:
            return found
        if self._identity.by_location and like(self._identity, ports):
            raise LinkError("links.adapter_elsewhere", link=self.link.name)
        identity = self._identity.text()
        raise PortGone("links.adapter_gone", link=self.link.name, identity=identity)

    def _identity_of(self, path: str) -> PortIdentity | None:
        ports = self._ports()
        port = next((p for p in ports if same_port(p.device, path)), None)
        return None if port is None else identify(port, ports)

    def _record(self, port: Port) -> None:
        now = self._now_ns()
        self._talk.opened(now)
        self._tell_up(now)
        while not self._stop.is_set():
            question = self._talk.due(self._now_ns())
            if question:
                self._send(port, question)
            data = port.read()
            chunk = self._talk.came(data, self._now_ns())
            if chunk is not None:
                self._arrivals.put(chunk)
                self._talk.heard(chunk)
        farewell = self._talk.farewell()
        if farewell:
            self._send(port, farewell)

    def _send(self, port: Port, data: bytes) -> None:
        port.write(data)
        self._arrivals.put(self._talk.sent(data, self._now_ns()), unbounded=self._stop.is_set())

    def _tell_up(self, now_ns: int) -> None:
        self._told = None
        self._tell(LinkChange(time_ns=now_ns, link=self.link.name, up=True))

    def _tell_down(self, error: LinkError) -> None:
        """Tell why, once for each new reason, and not when the source is being closed."""
        told, self._told = self._told, error
        if self._stop.is_set() or (told and told.message == error.message):
            return
        if isinstance(told, LinkLost) and isinstance(error, PortGone):
            self._told = told  # no news: that it has gone was said with more words
            return
        self._tell(
            LinkChange(
                time_ns=self._now_ns(),
                link=self.link.name,
                up=False,
                reason=error.message,
            )
        )

    def _tell(self, change: LinkChange) -> None:
        if self._identity is not None:
            change = msgspec.structs.replace(change, identity=self._identity.text())
        self._arrivals.put(change)


def _refuse_twins(links: Sequence[SerialLink]) -> None:
    for one, other in combinations(links, 2):
        if one.name == other.name:
            raise InputError("links.name_twice", link=one.name)
        if same_port(one.path, other.path):
            raise InputError("links.port_twice", one=one.name, other=other.name, port=other.path)
