"""Three cold-peel garments in flight with one pedal, second by second."""

from __future__ import annotations

from run_samples import Bench, bench_with

from kiosk.run.facts.peels import due_clock
from kiosk.run.facts.questions import BarOwner
from kiosk.run.state import commands as c
from kiosk.run.state.events import Finished, TimeUp

# The press opens by itself and counts 1 s in; pre-press 5 s, final 15 s; a cold peel is due 60 s
# after opening. On the left: the action at that second (- only looks: the clock ticks); then what
# forward means after it, what it acts on, and the rack with due garments starred.
STORY = """
   0  -      | close 12   press  |
   2  pedal  | -          nobody |
   5  -      | -          nobody |
   8  -      | close 12   press  |
  14  pedal  | -          nobody |
  22  -      | -          nobody |
  30  -      | close 13   press  | 12
  40  pedal  | -          nobody | 12
  46  -      | close 13   press  | 12
  50  pedal  | -          nobody | 12
  57  -      | -          nobody | 12
  66  -      | close 14   press  | 12 13
  76  pedal  | -          nobody | 12 13
  82  -      | close 14   press  | 12 13
  91  -      | close 14   press  | 12* 13
  94  pedal  | -          nobody | 12* 13
  99  -      | -          nobody | 12* 13
 100  -      | peeled 12  rack   | 12* 13
 101  pedal  | -          nobody | 13
 110  -      | -          nobody | 13 14
 125  -      | -          nobody | 13 14
 126  -      | peeled 13  rack   | 13* 14
 127  pedal  | -          nobody | 14
 160  -      | -          nobody | 14
 171  pedal  | -          nobody |
"""


def rows() -> list[tuple[float, str, str, str, str]]:
    found = []
    for line in STORY.strip().splitlines():
        left, bar, rack = (part.strip() for part in line.split("|"))
        second, who = left.split()
        meaning, owner = bar.rsplit(maxsplit=1)
        found.append((float(second), who, meaning.strip(), owner, rack))
    return found


def rack_of(bench: Bench) -> str:
    shown = bench.shown.job
    assert shown is not None
    tickets = [shown.tickets[name] for name in shown.rack]
    due = {t.id: (due_clock(shown, t, bench.now) or 0.0) <= bench.now.clock for t in tickets}
    return " ".join(t.garment.number + ("*" if due[t.id] else "") for t in tickets)


def play() -> Bench:
    bench = bench_with()
    begin = bench.clock
    for second, who, meaning, owner, rack in rows():
        while bench.clock < begin + second:
            bench.tick(0.125)
        if who == "pedal":
            bench.do(bench.forward())
        seen = (bench.verb, bench.bar.owner, rack_of(bench))
        assert seen == (meaning, BarOwner(owner), rack), f"at second {second:g}"
    return bench


def test_three_garments_in_flight_with_one_pedal() -> None:
    bench = play()
    assert bench.job.done


def test_each_is_pressed_once_and_peeled_in_order_none_too_early() -> None:
    results = [e for e in play().events if isinstance(e, Finished)]
    assert [e.ticket for e in results] == ["1/1/1", "2/1/1", "3/1/1"]
    assert [e.before for e in results] == [True, False, False]
    assert [e.early_seconds for e in results] == [None, None, None]


def test_the_tick_makes_no_difference_to_the_record() -> None:
    fine = play()
    coarse = bench_with()
    begin = coarse.clock
    for second, who, *_ in rows():
        coarse.until(begin + second)
        if who == "pedal":
            coarse.do(coarse.forward())
        elif second in (8, 30, 46, 66, 82, 110):
            coarse.tick()
    kinds = [type(e) for e in fine.events]
    assert [type(e) for e in coarse.events] == kinds
    fine_due = [e.due for e in fine.events if isinstance(e, TimeUp)]
    assert [e.due for e in coarse.events if isinstance(e, TimeUp)] == fine_due


def test_the_pedal_is_refused_where_the_story_says_nobody() -> None:
    bench = bench_with()
    bench.tap()
    for _ in range(6):
        late = c.Forward(c.Meaning(c.Verb.PEELED, "1/1/1", 5), bench.clock)
        assert bench.refused(late) == "refuse.forward.hot"
        bench.wait(0.99)
