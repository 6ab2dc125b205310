"""Talking with a virtual instrument without a line."""

from benchmeter.simulator.simulated_line import VirtualInstrument

__all__ = ["ask", "hear_all"]


def ask(meter: VirtualInstrument, question: str, now_ns: int) -> tuple[str, int]:
    """The answer, and when it was on the wire."""
    meter.hear(question.encode() + b"\n", now_ns)
    while (wake_ns := meter.wake_ns()) is not None:
        now_ns = max(now_ns, wake_ns)
        if said := meter.speak(now_ns):
            assert said.endswith(b"\r\n")
            return said.decode().strip(), now_ns
    return "", now_ns


def hear_all(meter: VirtualInstrument, from_ns: int, until_ns: int) -> bytes:
    """All that it says by itself."""
    said, now_ns = b"", from_ns
    while now_ns <= until_ns:
        said += meter.speak(now_ns)
        wake_ns = meter.wake_ns()
        assert wake_ns is not None
        now_ns = max(wake_ns, now_ns + 1)
    return said
