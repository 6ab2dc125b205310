"""Instruments: profiles (data), discovery, and the virtual instruments of the simulated bench."""
