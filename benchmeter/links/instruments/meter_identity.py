"""Which meter was it? Its readings of reference parts over the years belong together."""

from dataclasses import dataclass

from benchmeter.links.instruments.setup import BenchSetup

__all__ = ["BY_HAND", "Meter", "meter_of"]


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter as it is known again.

    Attributes:
        link: stable identity of what is plugged in, else its address; "" of readings that were
            typed in, whose meter nobody knows.
        profile: by name: another meter on the same cable is another meter.
        field: of its values, where it has several.
        title: for people.
        simulated: at the simulated bench.
    """

    link: str
    profile: str
    field: str
    title: str
    simulated: bool = False


BY_HAND = Meter("", "", "", "typed in by hand")
"""Whatever meters the readings were read off: they cannot be told apart."""


def meter_of(setup: BenchSetup, channel: str, identity: str = "") -> Meter:
    """The meter of a channel; `BY_HAND` where no link stands behind it.

    Args:
        identity: that the link told when it was opened; "" if it told none.
    """
    found = next((c for c in setup.channels if c.name == channel), None)
    link = next((x for x in setup.links if found is not None and x.name == found.link), None)
    if found is None or link is None:
        return BY_HAND
    simulated = setup.origin == "simulated"
    return Meter(
        link=link.address if simulated else identity or link.address,
        profile=link.profile.name,
        field=found.field,
        title=link.profile.title,
        simulated=simulated,
    )
