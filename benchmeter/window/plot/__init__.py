"""The plot over time."""
