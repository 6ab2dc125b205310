"""Did the machine recover? Start, first-order fit, settled value, time left. Pure."""
