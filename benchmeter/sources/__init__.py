"""Where a session's stream comes from: serial ports, the simulated bench, a record.

A source stamps bytes and knows nothing of what they mean.
"""
