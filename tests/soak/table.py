"""What is said of a soak, and what of it is wrong."""

from typing import TYPE_CHECKING

from tests.soak.stalls import EDGES_MS, histogram

if TYPE_CHECKING:
    from tests.soak.soak import Seen

__all__ = ["LONGEST_MS", "lines", "troubles"]

LONGEST_MS = 200.0

_START_S = 1.0  # imports, before anything is measured
_LEAVING_S = 5.0
_GROWTH_MB_PER_MINUTE = 1.0
_GROWTH_MB = 30.0  # of caches, that a short time does not tell from a leak
_LEAST_MINUTES = 5.0  # from which a growth is told by the minute
# What a session or a place holds may be there at the end alone.
_MORE = {"threads": 3, "handles": 12, "widgets": 200}
_NONE_PER_MINUTE = 100.0
_WORST = 6


def troubles(seen: "Seen", longest_ms: float = LONGEST_MS) -> list[str]:
    """What is wrong, one line each; nothing if all is well.

    Args:
        longest_ms: of a turn of the event loop, what the computer did not give taken off.
    """
    wrong = [f"{count} × {text}" for text, count in seen.faults.items()]
    for stall in seen.stalls:
        if stall.own_s * 1000 > longest_ms:
            wrong.append(f"deaf for {stall.own_s * 1000:.0f} ms after “{stall.doing}”")
    grown = seen.end.rss_mb - seen.begin.rss_mb
    allowed = _GROWTH_MB
    if seen.minutes > _LEAST_MINUTES:
        allowed = max(_GROWTH_MB, _GROWTH_MB_PER_MINUTE * seen.minutes)
    if grown > allowed:
        wrong.append(f"memory has grown by {grown:.0f} MB in {seen.minutes:.1f} min")
    for what, most in _MORE.items():
        more = getattr(seen.end, what) - getattr(seen.begin, what)
        if more > most:
            wrong.append(f"{more:.0f} more {what} at the end")
    if none_loss(seen) > _NONE_PER_MINUTE:
        wrong.append(f"{none_loss(seen):.0f} references to None are lost a minute")
    if seen.start_s > _START_S:
        wrong.append(f"deaf for {seen.start_s:.1f} s while it starts")
    if seen.leaving_s > _LEAVING_S:
        wrong.append(f"leaving takes {seen.leaving_s:.1f} s")
    if seen.left:
        wrong.append(f"threads left running: {', '.join(seen.left)}")
    if not seen.sessions or not seen.readings:
        wrong.append("nothing was recorded")
    return wrong + seen.differences


def none_loss(seen: "Seen") -> float:
    """References to None lost a minute; below 0: gained."""
    return (seen.begin.none - seen.end.none) / seen.minutes


def lines(seen: "Seen") -> list[str]:
    """The table."""
    begin, end = seen.begin, seen.end
    counts = histogram(seen.stalls)
    spread = "  ".join([*(f"≤{edge}: {counts[edge]}" for edge in EDGES_MS), f"more: {counts[0]}"])
    told = [
        f"{'actions':<22}{seen.actions} in {seen.seconds:.0f} s, {seen.presses} presses and clicks",
        f"{'sessions':<22}{seen.sessions}, {seen.readings} readings, {seen.verdicts} verdicts, "
        f"{seen.replays} replays, {seen.reports} reports, {seen.markers} markers",
        f"{'late turns, ms':<22}{spread}  of {seen.beats}",
        f"{'held':<22}{'begin':>10}{'end':>10}   ({seen.minutes:.1f} min between)",
        f"{'  memory, MB':<22}{begin.rss_mb:>10}{end.rss_mb:>10}",
        f"{'  threads':<22}{begin.threads:>10}{end.threads:>10}",
        f"{'  file handles':<22}{begin.handles:>10}{end.handles:>10}",
        f"{'  widgets':<22}{begin.widgets:>10}{end.widgets:>10}",
        f"{'  references to None':<22}{begin.none:>10.0f}{end.none:>10.0f}"
        f"   {none_loss(seen):.0f} lost a minute",
        f"{'start, s':<22}{seen.start_s:.2f} the longest turn",
        f"{'leaving, s':<22}{seen.leaving_s:.2f}",
        f"{'differences':<22}{len(seen.differences)}",
        f"{'faults':<22}{sum(seen.faults.values())}",
        "worst:",
    ]
    for stall in sorted(seen.stalls, key=lambda s: -s.own_s)[:_WORST]:
        told.append(
            f"  {stall.own_s * 1000:.0f} ms (and {stall.noise_s * 1000:.0f} of the computer; "
            f"used: {_ms(stall.used_s[0])}, by all threads {_ms(stall.used_s[1])}), "
            f"{stall.since_s:.2f} s after “{stall.doing}”, at {stall.at_s:.1f} s"
        )
        told += [f"      {seen_}" for seen_ in stall.seen]
    return told


def _ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms"
