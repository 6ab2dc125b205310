"""The command line: a thin file a command."""
