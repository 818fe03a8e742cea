"""Somebody made up who presses a job in simulated time."""
