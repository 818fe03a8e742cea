"""Practice on one garment (questions, help, slips, records) and sign-off."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.train.practice.levels import NEW, Trainee, Training, trained
    from kiosk.train.practice.bench import (
        AROUND, CARD, CLOCK, DISPLAY, GARMENT, PLATEN, SEAM, SHEET, Bench, Cut, Lain, Ticket,
    )
    from kiosk.train.practice.asking import Asked, step_name, thing_name
    from kiosk.train.practice.coach import end_half_done
    from kiosk.train.practice.sign_off import (
        criteria, curve, fading, is_ready, shown_of, missed_slips, timed, with_help,
    )
    from kiosk.train.practice.looks import Came, Length, Shown, Sides, Worn
    from kiosk.train.practice.rehearsal import PRESS_SPEED, RACK_SPEED, Pace, Rehearsal, Wish
    from kiosk.train.practice.session import Session
    from kiosk.train.practice.slips import Touched

__getattr__ = face(__name__)
