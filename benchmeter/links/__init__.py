"""The way to an instrument: its port, its wire format, its profile."""
