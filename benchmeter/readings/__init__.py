"""What is read: chunks of bytes, readings, what a session is fed with."""
