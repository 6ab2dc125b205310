"""Windings, insulation, unbalance. Pure."""
