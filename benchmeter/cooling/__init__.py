"""Start, first-order fit, settled value, time left. Pure."""
