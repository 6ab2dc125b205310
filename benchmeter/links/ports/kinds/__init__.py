"""One file a kind of port."""
