"""What happens in a session: from its inputs to readings, checks, recovery and events."""
