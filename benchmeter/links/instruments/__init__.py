"""Profiles that join line, wire format and accuracy; conversations; discovery."""
