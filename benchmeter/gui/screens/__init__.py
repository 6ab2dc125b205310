"""The places of the window; each answers one question."""
