"""The floor of the house: quantities, units, temperatures, numbers as people type them."""
