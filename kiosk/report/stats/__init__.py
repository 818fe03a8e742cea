"""Control charts, capability, ratios, learning curves: a few lines each, checked from outside."""

# fmt: off
from kiosk.report.stats.capability import learned_rate, unit_time

__all__ = [
    "learned_rate", "unit_time",
]
