"""The window itself, and what it holds together."""
