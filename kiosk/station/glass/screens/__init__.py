"""Whole screens, drawn from views."""
