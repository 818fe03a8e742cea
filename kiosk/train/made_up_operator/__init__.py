"""Somebody made up who presses a job in simulated time."""

# fmt: off
from kiosk.train.made_up_operator.operator import Order, simulate

__all__ = [
    "Order", "simulate",
]
