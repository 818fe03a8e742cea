"""Fingers, pedal and switch into single presses."""
