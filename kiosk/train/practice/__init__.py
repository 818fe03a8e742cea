"""One garment in practice: what is asked, helped, noted; sign-off."""

# fmt: off
from kiosk.train.practice.asking import Asked
from kiosk.train.practice.levels import NEW, Trainee, Training, step_name, trained
from kiosk.train.practice.rehearsal import PRESS_SPEED, Pace, Rehearsal
from kiosk.train.practice.session import Session, Wish
from kiosk.train.practice.sign_off import criteria, curve, is_ready, timed
from kiosk.train.practice.slips import Length, Sides

__all__ = [
    "NEW", "PRESS_SPEED", "Asked", "Length", "Pace", "Rehearsal", "Session", "Sides", "Trainee",
    "Training", "Wish", "criteria", "curve", "is_ready", "step_name", "timed", "trained",
]
