"""Reads materials, fabrics, presses and policy, recipes."""
