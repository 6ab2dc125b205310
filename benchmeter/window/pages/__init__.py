"""One page a place of work."""
