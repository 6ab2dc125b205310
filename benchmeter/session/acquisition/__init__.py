"""From inputs to readings: decoders, gaps, settling, the state of each channel."""
