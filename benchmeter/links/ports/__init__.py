"""Where stamped bytes come from: serial, recorded, typed in."""
