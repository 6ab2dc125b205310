"""The record: what was measured, kept so that it can be trusted."""
