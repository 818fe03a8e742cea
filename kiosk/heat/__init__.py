"""Conduction in the pressed stack; pure."""
