"""The one path from a session's stream to readings: decoders, gaps, settling, pulses."""
