"""Colours, fonts, icons."""
