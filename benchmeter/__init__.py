"""benchmeter: find the failed part by measurement, and prove that the machine recovered."""

__version__ = "0.1.0"
