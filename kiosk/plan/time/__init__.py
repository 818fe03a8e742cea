"""The order of work, handling times, the finish."""

# fmt: off
from kiosk.plan.time.finish import Left, flat_places, minutes, time_left, whole_job
from kiosk.plan.time.handling import (
    NOTHING,
    OPENING,
    RACKING,
    READING,
    SETTLING,
    Span,
    hands,
    least_seconds,
)
from kiosk.plan.time.order import in_order
from kiosk.plan.time.past import Past, past_by_run, procedure

__all__ = [
    "NOTHING", "OPENING", "RACKING", "READING", "SETTLING", "Left", "Past", "Span", "flat_places",
    "hands", "in_order", "least_seconds", "minutes", "past_by_run", "procedure", "time_left",
    "whole_job",
]
