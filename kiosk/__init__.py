"""A press-side kiosk: the plan and the clock for names and numbers on team garments."""

__version__ = "0.1.0"
