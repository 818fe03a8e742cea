"""The order of work, handling times, the finish."""

# fmt: off
from kiosk.plan.time.finish import Left, flat_places, minutes, time_left, whole_job
from kiosk.plan.time.handling import (
    NOTHING,
    OPENING,
    RACKING,
    READING,
    SETTLING,
    Past,
    Span,
    hands,
    past_by_run,
    procedure,
)
from kiosk.plan.time.order import in_order

__all__ = [
    "NOTHING", "OPENING", "RACKING", "READING", "SETTLING", "Left", "Past", "Span", "flat_places",
    "hands", "in_order", "minutes", "past_by_run", "procedure", "time_left",
    "whole_job",
]
