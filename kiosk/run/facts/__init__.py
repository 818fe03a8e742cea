"""What is true of a state: tickets, moves, peels, questions, checks, lots, trials."""

# fmt: off
# isort: skip_file
from kiosk.catalog.roster import twin
from kiosk.run.facts.checks import (
    AND, FABRIC, HOTTEST, LOOKS, NOT_TRIED, PULLS, READINGS, LotHold, check_holds, lot_hold,
    materials_of, needs_supervisor, offset_of, passes, spread_of, untried,
)
from kiosk.run.facts.hands import (
    in_hand_seconds, last_closing, last_tap, owed_seconds, seconds_missing,
)
from kiosk.run.facts.kind import Kind, Owner, is_legal, kind_of, question_at_hand
from kiosk.run.facts.moves import (
    Move, confirm_of, last_peel, move_of, next_hot, racked_at, required_setting,
)
from kiosk.run.facts.peels import Ready, due_clock, estimates, peel_time, serve_next
from kiosk.run.facts.pin import jobs_to_forget, pin_wait
from kiosk.run.facts.tickets import (
    broken_totals, called, ends, final_setting, is_hot, next_ready, owners, pass_of, same_garment,
    slot_ticket, step_at,
)

__all__ = [
    "AND", "FABRIC", "HOTTEST", "LOOKS", "NOT_TRIED", "PULLS", "READINGS", "Kind", "LotHold",
    "Move", "Owner", "Ready", "broken_totals", "called", "check_holds", "confirm_of", "due_clock",
    "ends", "estimates", "final_setting", "in_hand_seconds", "is_hot", "is_legal",
    "jobs_to_forget",
    "kind_of", "last_closing", "last_peel", "last_tap", "lot_hold", "materials_of", "move_of",
    "needs_supervisor", "next_hot", "next_ready", "offset_of", "owed_seconds", "owners", "pass_of",
    "passes", "peel_time", "pin_wait", "question_at_hand", "racked_at", "required_setting",
    "same_garment", "seconds_missing", "serve_next", "slot_ticket", "spread_of", "step_at", "twin",
    "untried",
]
