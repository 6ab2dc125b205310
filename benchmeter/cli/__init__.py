"""The command line: a thin entrance."""
