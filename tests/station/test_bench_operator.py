"""The benchmark's operator still knows the station's keys: a renamed one would hang its taps."""

import sys
from pathlib import Path

from mistakes import PLAIN, at
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.model import TicketStage

sys.path.append(str(Path(__file__).resolve().parents[1] / "bench"))


def test_the_benchmark_operator_reads_a_number_and_presses_two_garments(
    bench: Bench, tmp_path: Path
) -> None:
    from bench_operator import Touch, next_act

    person = at(bench, tmp_path, "1,AS,QUILLON,6\n2,AS,FENN,9\n", PLAIN)
    while person.view.kind is ScreenKind.SETTING:
        person.move_on()
    station, typed = person.station, 0
    for _ in range(1_000):
        act = next_act(station)
        if act is None:
            break
        if isinstance(act, Touch):
            typed += station.shell.view(station.parts.now()).kind is ScreenKind.ASK
            bench.tap(act.x, act.y)
        else:
            bench.pass_time(act)
    job = station.shell.state.job
    assert typed > 0
    assert job is not None
    assert {each.stage for each in job.tickets.values()} == {TicketStage.GOOD}
