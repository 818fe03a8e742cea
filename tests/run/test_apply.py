"""Apply accepts any event on any state, sensible or not, and keeps the state sound."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Callable
from typing import Any

from every_kind import IN, commands_for
from hypothesis import given, settings
from hypothesis import strategies as st
from run_samples import Bench, bench_with, on_shift, one_piece, plan_of, staged, team
from sound import assert_sound

from kiosk.catalog.model.house import Range
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Plan
from kiosk.run.apply.fold import apply, replay
from kiosk.run.decide.decide import COMMANDS, bar_meaning, decide, is_legal, settled
from kiosk.run.facts.questions import kind_of
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.run.state import events_shift
from kiosk.run.state.cooling import Estimate, LearnedCooling, PadHeat
from kiosk.run.state.event import Now
from kiosk.run.state.model import Garment
from kiosk.run.state.rules import Question, QuestionCause, QuestionKind
from kiosk.run.state.state import State

NAMES = ("", "1/1/1", "2/1/1", "1/2/1", "1/1/2", "9/9/9", "nonsense")
EMPTY = plan_of(Pass("back", 0, (), PeelPlace.RACK, None), job="empty")
STRANGE = plan_of(one_piece(), job="strange", runs=((0, 7), (-3,)))
PLANS = (plan_of(one_piece(), staged(), runs=((0, 1),)), EMPTY, STRANGE)

clocks = st.floats(-1e6, 1e6)
moments = st.builds(Now, st.sampled_from(["boot-1", "boot-2"]), clocks, clocks)
questions = st.builds(
    Question,
    st.sampled_from(NAMES),
    st.sampled_from(QuestionKind),
    st.sampled_from(QuestionCause),
    st.just(("6", "9")),
    st.just("6"),
)
ranges = st.none() | st.builds(Range, clocks, clocks, clocks)
zones = st.none() | st.builds(
    PeelWait, st.sampled_from(Peel), clocks, clocks, st.just("made up"), ranges, ranges
)
some = st.lists(zones, max_size=2).map(tuple)
curves = st.just(((0.0, 120.0), (90.0, 30.0)))
BY_TYPE: dict[Any, st.SearchStrategy[Any]] = {
    Now: moments,
    str: st.sampled_from((*NAMES, "ferry", "empty", "finished", "confirmed", "peeled")),
    int: st.integers(-3, 30),
    float: clocks,
    bool: st.booleans(),
    Plan: st.sampled_from(PLANS),
    tuple[Garment, ...]: st.sampled_from([team("6", "9"), team(""), ()]),
    Estimate: st.builds(Estimate, moments, some, some, curves, curves, clocks, clocks),
    PadHeat: st.builds(PadHeat, moments, st.just((60.0,)), st.just((50.0,))),
    LearnedCooling: st.builds(LearnedCooling, clocks, st.floats(1.0, 100.0)),
    tuple[Question, ...]: st.lists(questions, max_size=2).map(tuple),
}
KINDS = [
    kind
    for kind in (*vars(e).values(), *vars(events_shift).values())
    if isinstance(kind, type) and issubclass(kind, e.Event)
]


def of_field(hint: Any) -> st.SearchStrategy[Any]:
    if hint in BY_TYPE:
        return BY_TYPE[hint]
    if typing.get_origin(hint) is tuple:
        return st.lists(of_field(hint.__args__[0]), max_size=2).map(tuple)
    if dataclasses.is_dataclass(hint):
        return any_of(hint)  # type: ignore[arg-type]  # a part of an event is built the same way
    if isinstance(hint, type):  # an Enum
        return st.sampled_from(list(hint))  # type: ignore[call-overload]
    return st.one_of(*(st.none() if a is type(None) else of_field(a) for a in hint.__args__))


def any_of(kind: type[e.Event]) -> st.SearchStrategy[e.Event]:
    hints = typing.get_type_hints(kind)
    return st.builds(kind, **{f.name: of_field(hints[f.name]) for f in dataclasses.fields(kind)})


events = st.one_of([any_of(kind) for kind in KINDS])


@settings(max_examples=400, derandomize=True)
@given(st.sampled_from(list(IN.values())), st.lists(events, max_size=12))
def test_no_event_makes_a_state_unsound(begin: Callable[[], Bench], found: list[e.Event]) -> None:
    state = begin().state
    for event in found:
        state = apply(state, event)
        assert_sound(state)
        assert state.last == event.at


@settings(max_examples=150, derandomize=True)
@given(st.sampled_from(list(IN.values())), st.lists(events, max_size=8), moments)
def test_after_any_events_forward_still_has_a_meaning(
    begin: Callable[[], Bench], found: list[e.Event], now: Now
) -> None:
    state = replay(found, begin().state)
    after = settled(state, now)
    assert_sound(after)
    meaning = bar_meaning(state, now).meaning
    assert (meaning is not None) <= is_legal(c.Forward, kind_of(after, now))
    bench = begin()
    bench.state = state
    bench.boot, bench.clock, bench.wall_ahead = now.boot, now.clock, now.wall - now.clock
    fitting = commands_for(bench)
    for command in COMMANDS:
        decide(state, fitting[command], now)


def test_a_pass_without_steps_does_not_stop_the_station() -> None:
    """A record can hold any plan: the operator must be able to put the job back."""
    bench = on_shift()
    began = e.JobStarted(bench.now, "empty", EMPTY, "hash", team("12"))
    state = settled(apply(bench.state, began), bench.now)
    assert_sound(state)
    assert kind_of(state, bench.now) is not None


@settings(max_examples=200, derandomize=True)
@given(st.lists(events, max_size=25))
def test_events_alone_keep_the_station_sound(found: list[e.Event]) -> None:
    assert_sound(replay(found))


def test_an_event_that_does_not_fit_changes_only_the_last_moment() -> None:
    bench = bench_with()
    strange = e.TimeUp(bench.now, "2/1/1", 4, 3.0)
    assert apply(bench.state, strange) == dataclasses.replace(bench.state, last=bench.now)


def test_a_bare_event_is_nothing_but_a_moment() -> None:
    at = Now("boot-1", 1.0, 2.0)
    assert apply(State(), e.Event(at)) == State(last=at)


def test_a_replay_in_two_halves_is_a_replay() -> None:
    bench = bench_with()
    for _ in range(3):
        bench.tap()
        bench.ring()
    half = len(bench.events) // 2
    assert replay(bench.events[half:], replay(bench.events[:half])) == bench.state


def test_a_state_is_never_changed_in_place() -> None:
    bench = bench_with()
    before = bench.state
    tickets = dict(bench.job.tickets)
    bench.tap()
    assert before.job is not None
    assert dict(before.job.tickets) == tickets
    assert before.heat is None
