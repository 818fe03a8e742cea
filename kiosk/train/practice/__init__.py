"""One garment in practice: what is asked, helped, noted; sign-off."""

# fmt: off
# isort: skip_file
from kiosk.train.practice.levels import (
    NEW, Trainee, Training, criteria, curve, is_ready, slips_told, timed, trained,
)
from kiosk.train.practice.coach import Asked, step_name
from kiosk.train.practice.looks import Length, Shown, Sides, Worn
from kiosk.train.practice.rehearsal import PRESS_SPEED, Pace, Rehearsal
from kiosk.train.practice.session import Session, Wish
