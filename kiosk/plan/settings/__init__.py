"""One setting that serves all that is pressed, or the smallest reason why there is none."""

from kiosk.plan.settings.solver import solve

__all__ = ["solve"]
