"""What heat does in a pass: stacks, waits, curves, and the sentences about them."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.heat.story import (
        COOLING_SECONDS, broken_by_another_final, final_seconds, heat_setup,
    )
    from kiosk.plan.heat.told import (
        HeatCurve, HeatTold, PhaseSpan, basis, heat_curve, heat_told, sentences,
    )
    from kiosk.plan.heat.waits import (
        FROM_ESTIMATE, beside_guess, beside_words, is_guessed, is_rule, last_call, rests_on,
        told_by_guess, wait_of,
    )

__getattr__ = face(__name__)
