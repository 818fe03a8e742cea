"""The fast `replace` gives the same result as the standard library's."""

from __future__ import annotations

import dataclasses

import pytest
from run_samples import bench_with

from kiosk.run.state.event import replace
from kiosk.run.state.state import State


def test_a_replaced_state_differs_only_in_the_given_fields() -> None:
    state = bench_with().state
    job = state.job
    assert job is not None
    ticket = job.tickets[job.slot]
    assert replace(state, shift=7, heat=None) == dataclasses.replace(state, shift=7, heat=None)
    assert replace(job, rack=("1",)) == dataclasses.replace(job, rack=("1",))
    assert replace(ticket, step=2) == dataclasses.replace(ticket, step=2) != ticket
    assert replace(state) == state


def test_a_field_that_is_not_there_is_an_error() -> None:
    with pytest.raises((KeyError, TypeError)):
        replace(State(), colour="red")  # type: ignore[call-arg]  # the wrong field is what is tested
