"""Two weeks of three stations. The report must name what is planted in each."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from week_press import TWINS, Press, Story

from kiosk.plan.model import Phase
from kiosk.run.state.commands import Inspect
from kiosk.run.state.events_shift import Change
from kiosk.run.state.model import TicketStage

NORTH, SOUTH, EAST = "raft-polo", "ice-crew", "swim-school"
PLAIN = ("23", "44", "55", "31", "45", "52", "12", "35")
HOT = 320  # °F: above the press's setting, inside the pile's window
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday")


def bad(stage: TicketStage, defect: str, cause: str, piece: str = "") -> Inspect:
    return Inspect("", stage, defect, cause, piece)


LIFTED = bad(TicketStage.ACCEPTED, "lifted_edge", "short_press")
SCORCHED = bad(TicketStage.ACCEPTED, "scorch", "over_run")


def hard(day: int) -> Iterator[tuple[str, Story]]:
    """Much goes wrong.

    North is behind on Friday, its tacks (seen by a switch) are far too long, 47 is scrapped,
    QV reads wrongly. South's pile film lifts, ZD peels early, its press drifts, its setting
    and a file change on Friday. East lays slowly, and its press fails a check on Friday.
    """
    last = day == 4
    yield "north", Story(
        NORTH, f"League shirts, {DAYS[day]}", "QV", TWINS, day, press="bench-north",
        over={Phase.TACK: 3.5, Phase.FINAL: 0.5, Phase.PRE_PRESS: 0.5}, switch=True,
        wrong=frozenset({2, 4, 5, 7}), slow={Phase.PRE_PRESS: 500.0} if last else {},
        made=5 if last else 0,
        results={3: bad(TicketStage.SCRAP, "off_centre", "laid_wrong", "number.2")}
        if day == 1 else {},
    )  # fmt: skip
    yield "south", Story(
        SOUTH, f"Winter jackets, {DAYS[day]}", "ZD", PLAIN, day, press="bench-south",
        early=frozenset({2, 6}), results={2: LIFTED, 5: LIFTED},
        checks=(day,), set_temperature=HOT if last else None,
        changes=(Change("materials.yaml", "plush-film.dwell.0.normal", "18 s", "21 s"),)
        if last else (),
    )  # fmt: skip
    yield "east", Story(
        EAST, f"Course shirts, {DAYS[day]}", "MK", PLAIN, day, press="bench-east",
        slow={Phase.FINAL: 75.0}, checks=(1, 9) if last else (1,), pause_before=5 if last else 0,
        results={4: SCORCHED} if day == 2 else {},
    )  # fmt: skip


def quiet(day: int) -> Iterator[tuple[str, Story]]:
    """Little goes wrong: scorch at East, one second final, one new person on Friday."""
    last = day == 4
    yield "north", Story(
        NORTH, f"League shirts, {DAYS[day]}", "QV", TWINS, day, press="bench-north",
        over={Phase.TACK: 0.3, Phase.FINAL: 0.5, Phase.PRE_PRESS: 0.5}, switch=True,
        results={4: bad(TicketStage.REWORK, "lifted_edge", "short_press")} if day == 2 else {},
    )  # fmt: skip
    yield "south", Story(
        SOUTH, f"Winter jackets, {DAYS[day]}", "NB" if last else "ZD", PLAIN, day,
        press="bench-south", checks=((1, 0, 1, 1, 0)[day],),
    )  # fmt: skip
    yield "east", Story(
        EAST, f"Course shirts, {DAYS[day]}", "MK", PLAIN, day, press="bench-east",
        results={2: SCORCHED, 7: SCORCHED} if day in (1, 3) else {},
    )  # fmt: skip


def make_week(folder: Path, stories: object) -> tuple[Path, ...]:
    """Press a week into one log for each station; return the logs."""
    presses: dict[str, Press] = {}
    for day in range(5):
        for station, story in stories(day):  # type: ignore[operator]  # one of the above
            if station not in presses:
                presses[station] = Press(folder / f"{station}.sqlite3")
            presses[station].day(story)
    for press in presses.values():
        press.recorder.close()
    return tuple(folder / f"{station}.sqlite3" for station in presses)
