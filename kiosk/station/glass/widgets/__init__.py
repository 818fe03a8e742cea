"""Widgets that draw values and call back; none knows a rule."""
