"""The measuring chain: joins source, decoders, judging, recovery and record without a window."""
