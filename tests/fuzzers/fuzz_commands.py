"""Any commands in any order, given to the state machine by a made-up crowd."""

from __future__ import annotations

from fuzz_pace import Pace
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from test_any_commands import Crowd

STEPS = 60
AT_A_TIME = 20


def run(pace: Pace) -> None:
    """Let `times` crowds do sixty things each; Crowd's own invariants hold after each."""
    often = settings(
        max_examples=AT_A_TIME,
        stateful_step_count=STEPS,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate, Phase.shrink),
        print_blob=True,
    )
    for dice in pace.cases(AT_A_TIME):
        crowd = type("Crowd", (Crowd,), {})
        crowd._hypothesis_internal_use_seed = dice.randrange(2**32)  # type: ignore[attr-defined]
        run_state_machine_as_test(crowd, settings=often)
