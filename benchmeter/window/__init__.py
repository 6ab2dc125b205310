"""Qt. It shows and never decides."""
