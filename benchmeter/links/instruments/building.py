"""From a profile to what reads the bytes, and to what asks for them."""

from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.instruments.formats.known_formats import format_of
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.ports.source import Conversation

__all__ = ["conversation_for", "decoder_for", "untold_conversion_ns"]


def decoder_for(profile: Profile) -> Decoder:
    """A fresh decoder for one link with an instrument of that profile."""
    return format_of(profile.format).decoder(profile.format, profile.channels)


def conversation_for(profile: Profile) -> Conversation:
    """What is to be said to an instrument of that profile, from the opening of the link on."""
    return format_of(profile.format).conversation(profile.format, profile.line)


def untold_conversion_ns(profile: Profile) -> int:
    """How long one measurement takes, where neither the profile nor the display has told it."""
    return format_of(profile.format).untold_conversion_ms(profile.format) * 1_000_000
