"""Practice on one garment (questions, help, slips, records) and sign-off."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.train.practice.levels import NEW, Trainee, Training, trained
    from kiosk.train.practice.bench import (
        AROUND, CARD, CLOCK, DISPLAY, GARMENT, PLATEN, SEAM, SHEET, Bench, BenchCard, BenchPiece,
        LaidPiece,
    )
    from kiosk.train.practice.practice_words import PracticePage, step_name, thing_name
    from kiosk.train.practice.coach import end_half_done
    from kiosk.train.practice.sign_off import (
        criteria, criteria_met, curve_line, fading_line, is_ready, missed_slips, timed_garments,
        with_help,
    )
    from kiosk.train.practice.looks import Length, LookDrawing, Sides, SlipOutcome, Worn
    from kiosk.train.practice.rehearsal import (
        PRESS_SPEED, RACK_SPEED, PracticePace, PracticeWish, Rehearsal,
    )
    from kiosk.train.practice.session import Session
    from kiosk.train.practice.bench_run import TouchOutcome

__getattr__ = face(__name__)
