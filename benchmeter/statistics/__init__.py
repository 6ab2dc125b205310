"""Intervals, capability, control chart, gauge R&R, lots. Pure."""
