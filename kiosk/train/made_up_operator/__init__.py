"""Somebody made up who presses a job in simulated time."""

# fmt: off
# isort: skip_file
from kiosk.train.made_up_operator.operator import Order, simulate
