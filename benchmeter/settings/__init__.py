"""Typed settings, folders, and the program's own data files."""
