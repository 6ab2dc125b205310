"""What is measured: chunks of bytes, readings, quantities, numbers as people type them.

The floor of the house: no input or output, no clock, nothing but values.
"""
