"""The one path: a session's stream in, readings, events and states out."""

from collections import Counter

from benchmeter.errors import Message
from benchmeter.links.instruments.building import untold_conversion_ns
from benchmeter.links.instruments.formats.known_formats import format_of
from benchmeter.links.instruments.formats.wire_format import ChannelOfProfile
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, EvidenceKind
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, ClockAnchor, Ended, Input, LinkChange
from benchmeter.readings.reading import Garbled, Indication, Reading
from benchmeter.session.acquisition.channel_state import Batch, ChannelState
from benchmeter.session.acquisition.channel_track import ChannelTrack
from benchmeter.session.acquisition.link_decoder import (
    DecoderFault,
    Found,
    LinkDecoder,
    Run,
    run_here,
)
from benchmeter.session.acquisition.measurements import Measurements

__all__ = ["Acquisition"]

_GARBLED_EVERY_NS = 10_000_000_000
_MOST_REASONS = 8
_CLOCK_STEP_US = 2_000_000


class Acquisition:
    """Carries a session's stream through the decoders to its channels.

    A fold: the same stream gives the same batches, live, simulated or replayed. Knows no port,
    no clock and no database. Runs on the thread of the caller.

    Args:
        run: runs the decoders.
    """

    def __init__(self, setup: BenchSetup, run: Run[list[Indication | Garbled]] = run_here) -> None:
        self._decoders = {link.name: LinkDecoder(link.profile, run) for link in setup.links}
        profiles = {link.name: link.profile for link in setup.links}
        self._tracks = {
            c.name: _track(c, profiles.get(c.link), setup.evidence) for c in setup.channels
        }
        self._by_field = {(c.link, c.field): self._tracks[c.name] for c in setup.channels}
        self._by_link = {
            link.name: [self._tracks[c.name] for c in setup.channels if c.link == link.name]
            for link in setup.links
        }
        self._garbled = {link.name: _GarbledCount(link.name) for link in setup.links}
        self._anchor: ClockAnchor | None = None

    def take(self, item: Input) -> Batch:
        """Take the next input in."""
        match item:
            case Chunk(link=link) if link in self._decoders:
                decoder = self._decoders[link]
                taking = decoder.sent if item.sent else decoder.feed
                return self._decoded(item, taking(item.data))
            case LinkChange():
                return self._link_change(item)
            case ClockAnchor():
                return self._clock(item)
            case Ended():
                events = [e for count in self._garbled.values() for e in count.rest(item.time_ns)]
                return Batch(item.time_ns, events=tuple(events))
            case _:
                return self._passing(item.time_ns)

    def states(self) -> tuple[ChannelState, ...]:
        """Every channel as it stands."""
        return tuple(track.state() for track in self._tracks.values())

    def _decoded(self, chunk: Chunk, found_in_it: list[Found]) -> Batch:
        readings: list[Reading] = []
        events: list[Event] = []
        states: dict[str, ChannelState] = {}
        for found in found_in_it:
            match found:
                case Garbled():
                    events.extend(self._garbled[chunk.link].add(found, chunk.time_ns))
                case Indication():
                    track = self._by_field.get((chunk.link, found.field))
                    if track is not None:
                        reading, more, state = track.indicate(found, chunk.time_ns)
                        readings.append(reading)
                        events.extend(more)
                        states[track.name] = state
                case DecoderFault(reason=reason, given_up=given_up):
                    kind = EventKind.DECODER_GIVEN_UP if given_up else EventKind.DECODER_FAULT
                    events.append(Event(kind, chunk.time_ns, chunk.link, reason=reason))
                    for track in self._by_link[chunk.link] if given_up else ():
                        states[track.name] = track.lose(chunk.time_ns, reason)
        states = {**self._stale_states(chunk.time_ns), **states}
        return Batch(chunk.time_ns, tuple(readings), tuple(events), tuple(states.values()))

    def _link_change(self, change: LinkChange) -> Batch:
        decoder = self._decoders.get(change.link)
        if decoder:
            decoder.restart()
        tracks = self._by_link.get(change.link, ())
        if change.up:
            event = Event(EventKind.LINK_UP, change.time_ns, change.link, change.identity)
            states = [t.find(change.time_ns) for t in tracks]
        else:
            event = Event(EventKind.LINK_LOST, change.time_ns, change.link, reason=change.reason)
            states = [t.lose(change.time_ns, change.reason) for t in tracks]
        return Batch(change.time_ns, events=(event,), states=tuple(states))

    def _clock(self, anchor: ClockAnchor) -> Batch:
        before, self._anchor = self._anchor, anchor
        if before is None:
            return self._passing(anchor.time_ns)
        monotonic_us = (anchor.time_ns - before.time_ns) // 1000
        parted_us = anchor.utc_us - before.utc_us - monotonic_us
        if abs(parted_us) < _CLOCK_STEP_US:
            return self._passing(anchor.time_ns)
        states = tuple(t.break_line(anchor.time_ns) for t in self._tracks.values())
        step = Event(EventKind.CLOCK_STEP, anchor.time_ns, number=parted_us / 1e6)
        return Batch(anchor.time_ns, events=(step,), states=states)

    def _passing(self, time_ns: int) -> Batch:
        return Batch(time_ns, states=tuple(self._stale_states(time_ns).values()))

    def _stale_states(self, time_ns: int) -> dict[str, ChannelState]:
        found = ((t.name, t.pass_time(time_ns)) for t in self._tracks.values())
        return {name: state for name, state in found if state is not None}


def _track(channel: ChannelSetup, profile: Profile | None, evidence: EvidenceKind) -> ChannelTrack:
    channels = () if profile is None else profile.channels
    told = next((c for c in channels if c.field == channel.field), ChannelOfProfile())
    untold_ns = 0 if profile is None else untold_conversion_ns(profile)
    return ChannelTrack(
        channel,
        Measurements(told.conversion_ms, untold_ns) if evidence is not EvidenceKind.LINES else None,
        as_text=profile is not None and format_of(profile.format).as_text,
        counts=told.counts,
    )


class _GarbledCount:
    """Counts dropped frames of a link by reason: a new reason is told at once, then each 10 s."""

    def __init__(self, link: str) -> None:
        self._link = link
        self._told_ns: dict[str, int] = {}
        self._untold: Counter[str] = Counter()
        self._reasons: dict[str, Message] = {}

    def add(self, garbled: Garbled, time_ns: int) -> tuple[Event, ...]:
        why = garbled.reason
        key = f"{why.code} {sorted(why.parameters.items())}"
        if key not in self._told_ns and len(self._told_ns) >= _MOST_REASONS:
            why = Message("events.other_reasons")
            key = why.code
        self._reasons[key] = why
        self._untold[key] += 1
        told_ns = self._told_ns.get(key)
        if told_ns is not None and time_ns - told_ns < _GARBLED_EVERY_NS:
            return ()
        self._told_ns[key] = time_ns
        return (self._event(key, time_ns),)

    def rest(self, time_ns: int) -> tuple[Event, ...]:
        """What has not been told when the session ends."""
        return tuple(self._event(key, time_ns) for key in tuple(self._untold))

    def _event(self, key: str, time_ns: int) -> Event:
        number, why = float(self._untold.pop(key)), self._reasons[key]
        return Event(EventKind.GARBLED, time_ns, self._link, number=number, reason=why)
