"""Kinds of parts, what their nameplate gives, and the limits that follow. Pure."""
