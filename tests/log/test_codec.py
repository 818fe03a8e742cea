"""Events and states as JSON and back."""

from __future__ import annotations

import json
from dataclasses import fields
from typing import Any

import cattrs
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from log_samples import at, beginning, closed, plan

from kiosk.catalog.base.notes import Message, say
from kiosk.catalog.model.sheets import Peel
from kiosk.log.facts.facts import JobStart
from kiosk.log.store import codec, lift
from kiosk.plan.model import Closing, PanelSettings, Pass, PeelPlace, PeelWait, Piece, Plan, Step
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import JobStarted
from kiosk.run.state.model import Heat, JobRun, Ticket, Undo
from kiosk.run.state.rules import Question
from kiosk.run.state.state import State

number = st.floats(allow_nan=False, allow_infinity=False)
moments = st.builds(Now, st.text(), number, number)
values = st.recursive(
    st.none() | st.integers() | number | st.text(),
    lambda part: st.lists(part, max_size=3).map(tuple),
    max_leaves=5,
)
st.register_type_strategy(Now, moments)
st.register_type_strategy(float, number)
st.register_type_strategy(
    Message, st.builds(Message, st.text(), st.dictionaries(st.text(), values, max_size=3))
)


# A whole plan is too large to draw from its types: its parts are drawn separately below.
plans = st.builds(plan, st.sampled_from(PeelPlace), st.text())
st.register_type_strategy(Plan, plans)
PARTS = (Closing, PanelSettings, Pass, PeelWait, Piece, Step, Ticket, Heat, Question, Undo, JobRun)


def by_cattrs() -> cattrs.Converter:
    """Return the reference: another library that converts by field types (https://catt.rs)."""
    made = cattrs.Converter(detailed_validation=False)
    made.register_unstructure_hook(Now, lambda at: [at.boot, at.clock, at.wall])
    made.register_structure_hook(Now, lambda at, _: Now(*at))
    # A message's values are of any type: they stay as written, and are read by our code.
    made.register_unstructure_hook(Message, lambda each: json.loads(codec.to_json(each)))
    made.register_structure_hook(Message, lambda each, _: codec.from_plain(each, Message))
    return made


REFERENCE = by_cattrs()


def comes_back(value: Any, cls: type) -> None:
    """Check that the value is written and read like the reference, and comes back equal."""
    text = codec.to_json(value)
    assert json.loads(text) == json.loads(json.dumps(REFERENCE.unstructure(value)))
    assert codec.from_json(text, cls) == value
    assert REFERENCE.structure(json.loads(text), cls) == value
    assert codec.to_json(codec.from_json(text, cls)) == codec.to_json(
        REFERENCE.structure(json.loads(text), cls)
    )


@pytest.mark.parametrize("part", [*PARTS, JobStart])
@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_every_part_of_a_plan_or_state_survives_a_round_trip(
    part: type, data: st.DataObject
) -> None:
    comes_back(data.draw(st.from_type(part)), part)


LARGE = [HealthCheck.too_slow, HealthCheck.data_too_large]  # a state has many parts


@pytest.mark.parametrize("kind", sorted(codec.KINDS))
@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_every_kind_of_event_survives_a_round_trip(kind: str, data: st.DataObject) -> None:
    event = data.draw(st.from_type(codec.KINDS[kind]))
    row = codec.encode(event)
    assert row.kind == kind
    assert codec.decode(row) == event
    comes_back(event, codec.KINDS[kind])


@settings(max_examples=30, suppress_health_check=LARGE)
@given(state=st.from_type(State))
def test_a_state_survives_a_round_trip(state: State) -> None:
    comes_back(state, State)


def test_equal_values_give_the_same_text() -> None:
    assert codec.to_json(plan()) == codec.to_json(codec.from_json(codec.to_json(plan()), Plan))


def test_a_plan_keeps_its_types() -> None:
    back = codec.from_json(codec.to_json(plan()), Plan)
    assert back.settings[0].closings[0].peel["name.1"] is Peel.WARM
    assert isinstance(back.passes[0].steps, tuple)
    assert hash(back.passes[0])


def test_a_tuple_inside_a_message_stays_a_tuple() -> None:
    message = say("some.id", names=("a", ("b", 2)))
    assert codec.from_json(codec.to_json(message), Message) == message


def test_a_kind_is_the_class_name_with_hyphens() -> None:
    assert codec.encode(beginning()[0]).kind == "station-started"
    assert codec.encode(closed(5.0)).kind == "closed"


def test_an_events_moment_is_in_columns_and_not_in_the_payload() -> None:
    row = codec.encode(closed(5.25))
    assert (row.boot, row.clock, row.wall) == ("made-up-boot", 5.25, at(5.25).wall)
    assert "at" not in json.loads(row.payload)


def test_an_unknown_kind_is_reported_as_from_a_newer_program() -> None:
    row = codec.encode(closed(5.0))._replace(kind="levitated")
    with pytest.raises(codec.FromNewer, match="levitated"):
        codec.decode(row)


def test_a_future_version_is_reported_as_from_a_newer_program() -> None:
    row = codec.encode(closed(5.0))._replace(version=99)
    with pytest.raises(codec.FromNewer, match="99"):
        codec.decode(row)


@pytest.mark.parametrize("payload", ["", "{", "[]", '"text"', "{}", '{"ticket": 1, "first": "x"}'])
def test_a_payload_that_is_no_event_is_unreadable(payload: str) -> None:
    with pytest.raises(codec.Unreadable):
        codec.decode(codec.encode(closed(5.0))._replace(payload=payload))


def test_an_event_with_trailing_text_is_unreadable() -> None:
    row = codec.encode(closed(5.0))
    with pytest.raises(codec.Unreadable, match="more than"):
        codec.decode(row._replace(payload=row.payload + "{}"))


def test_a_value_that_json_lacks_never_gets_into_the_log() -> None:
    with pytest.raises(ValueError, match="JSON"):
        codec.encode(closed(5.0).__class__(at(1.0), "t", 0, 4, float("nan"), 1.0, closed(5.0).seen))


def test_one_changed_character_changes_the_sum() -> None:
    row = codec.encode(closed(5.0))
    other = row._replace(payload=row.payload.replace("12.0", "13.0"))
    assert row.sum(7) != other.sum(7)
    assert row.sum(7) != row.sum(8)


def test_no_event_has_a_field_for_a_players_name() -> None:
    names = {field.name for kind in codec.KINDS.values() for field in fields(kind)}
    assert not {"name", "player", "names"} & names


def test_a_payload_is_lifted_one_version_at_a_time() -> None:
    lifts = {
        ("closed", 1): lambda old: {**old, "dwell_seconds": old["dwell"]},
        ("closed", 2): lambda old: {**old, "starts_in": old["dwell_seconds"] / 2},
    }
    lifted = lift.lift("closed", 1, {"dwell": 4}, lifts, {"closed": 3})
    assert (lifted["dwell_seconds"], lifted["starts_in"]) == (4, 2)


def test_every_older_version_has_a_lift() -> None:
    for kind, today in lift.VERSIONS.items():
        assert all((kind, version) in lift.LIFTS for version in range(1, today))


def test_a_field_missing_from_an_old_payload_takes_its_default() -> None:
    row = codec.encode(closed(5.0))
    old = {k: v for k, v in json.loads(row.payload).items() if k != "racked"}
    assert codec.decode(row._replace(payload=json.dumps(old))) == closed(5.0)


def test_a_job_start_carries_its_whole_plan() -> None:
    event: Event = beginning()[2]
    back = codec.decode(codec.encode(event))
    assert isinstance(back, JobStarted)
    assert back.plan == plan()


def test_an_old_plans_wait_from_a_sheet_is_read_as_a_guess() -> None:
    """Version 1 kept no source, so it is unknown whether a sheet ever gave the wait."""
    wait = {"peel": 1, "from_seconds": 10.0, "to_seconds": 25.0, "source": "plan.wait.sheet"}
    estimate = {**wait, "source": "plan.wait.estimate"}
    passes = [{"wait": wait, "stages": [estimate, wait]}, {"wait": None}]
    lifted = lift.lift("job-started", 1, {"plan": {"passes": passes, "job": "a"}})
    first, second = lifted["plan"]["passes"]
    guess = {**wait, "source": "plan.wait.guess", "guess": [10.0, 25.0]}
    assert (first["wait"], first["stages"]) == (guess, [estimate, guess])
    assert second["wait"] is None
    assert lifted["plan"]["job"] == "a"
