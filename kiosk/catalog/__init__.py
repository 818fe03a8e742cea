"""The shop's materials, fabrics, presses, recipes and orders, read from its files."""
