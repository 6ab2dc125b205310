"""Curves and classes of temperature sensors. Pure."""
