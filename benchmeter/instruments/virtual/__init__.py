"""The simulated bench: a small world, and instruments that speak their wire formats in bytes."""
