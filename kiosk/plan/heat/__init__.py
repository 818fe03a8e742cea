"""What heat does in a pass: stacks, waits, curves, and the sentences about them."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.heat.story import (
        COOLING_SECONDS, broken_by_another_final, final_seconds, heat_setup,
    )
    from kiosk.plan.heat.summary import (
        HeatCurve, HeatSummary, PhaseSpan, basis, heat_curve, heat_summary, sentences,
    )
    from kiosk.plan.heat.waits import (
        FROM_ESTIMATE, with_guess, time_note, is_guessed, is_rule, last_call, wait_basis,
        call_rests_on_guess, wait_of,
    )

__getattr__ = face(__name__)
