"""Facts read from a state: tickets, moves, peels, questions, checks, lots, trials."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.roster import twin
    from kiosk.run.facts.agree import Agreement, agreement
    from kiosk.run.facts.checks import (
        EDGES, HOTTEST, PULLS, READINGS, LotHold, article_of, check_holds, check_passes,
        jobs_to_forget, lot_hold, materials_of, needs_supervisor, offset_of, pin_wait,
        slipped_edges, spread_of, with_approval,
    )
    from kiosk.run.facts.trials import AND, FABRIC, LOOKS, PEEL, not_tried, untried
    from kiosk.run.facts.hands import (
        in_hand_seconds, last_closing, last_tap, seconds_before_rack, seconds_missing, was_away,
    )
    from kiosk.run.facts.questions import BarOwner, ScreenKind, kind_of, question_at_hand
    from kiosk.run.facts.moves import (
        Dials, Move, can_be_good, confirm_of, dials_of, hot_ahead, last_peel, move_of, next_hot,
        pressure_serves, racked_at, required_setting, waiting_carriers,
    )
    from kiosk.run.facts.peels import (
        PeelTime, PeelZone, due_clock, has_own_estimate, hot_at_press, hot_window, peel_time,
        serve_next, zone_at,
    )
    from kiosk.run.facts.questions import asked_again
    from kiosk.run.facts.represses import closed_before, repress_step, sheet_again, why_not_again
    from kiosk.run.facts.short import ended_bare, missing_tickets, incomplete_lines
    from kiosk.run.facts.tickets import (
        AT_SLOT, OrderShare, begun_garments, final_setting, first_tickets, garment_label,
        has_number_laid, is_first_pass, is_hot, is_last_copy, is_pressed_bare, is_untouched,
        label_of, lacking, new_ticket, next_ready, outcomes, pass_of, pieces_of, progress,
        same_garment, setting, share_of, slot_ticket, step_at,
    )

__getattr__ = face(__name__)
