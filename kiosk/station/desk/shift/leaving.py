"""Leaving the kiosk: unrecorded events are saved elsewhere, or shown before they are lost."""

import time
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import say
from kiosk.log.rescue import on_a_stick
from kiosk.run.facts import label_of
from kiosk.run.state import Event, State, events
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button, PageKind, Sheet, TablePicture
from kiosk.words import Words

GARMENT_EVENTS = events.Closed | events.ToldPressed | events.Finished
"""Events to write down by hand if the record lacks them: heat and results."""


def leave(desk: Desk) -> None:
    """End the program, or first show what could not be recorded."""
    recorder = desk.shell.recorder
    if recorder.retry():
        desk.on_leave()
        return
    recorder.keep_elsewhere()
    desk.go(PageKind.LEAVE)


def leaving(desk: Desk, words: Words) -> Sheet:
    """Page of unrecorded events: where they are saved, or what will be lost."""
    recorder = desk.shell.recorder
    count, why = recorder.unrecorded, recorder.why or say("log.why.disk")
    end = Button(words("page.leave"), desk.on_leave)
    page = Sheet(
        title=words("leave.title"),
        headline=words("leave.not_recorded", count=count, why=why) if count else "",
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
        main=end,
    )
    if not count:
        return page
    if recorder.kept is not None:
        place = _place_sentence(recorder.kept.path, recorder.store.path, words)
        return replace(page, lines=(place, words("leave.next_start")))
    lost = _lost(desk.shell.state, recorder.waiting, words)
    return replace(
        page,
        lines=(words("leave.no_place"), words("leave.write_down" if lost else "leave.no_garment")),
        picture=lost,
        main=Button(words("leave.again"), lambda: leave(desk)),
        right=Button(words("leave.lose", count=count), desk.on_leave),
    )


def _place_sentence(file: Path, log: Path, words: Words) -> str:
    """Return where they are saved."""
    if file.parent == log.parent:
        return words("leave.kept.beside", name=file.name)
    if on_a_stick(file):
        return words("leave.kept.stick", stick=file.parent.name, name=file.name)
    return words("leave.kept.temporary", name=file.name)


def _lost(state: State, waiting: tuple[Event, ...], words: Words) -> TablePicture | None:
    """Return the lost events of garments with times, and a count of others; None for no garment."""
    if not any(isinstance(event, GARMENT_EVENTS) for event in waiting):
        return None
    rows = [row for event in waiting for row in _row(state, event, words)]
    other_count = len(waiting) - len(rows)
    if other_count:
        rows.append(("", "", words("leave.rest", count=other_count)))
    head = (words("leave.when"), words("leave.garment"), words("leave.what"))
    return TablePicture(head, tuple(rows))


def _row(state: State, event: Event, words: Words) -> tuple[tuple[str, ...], ...]:
    job = state.job
    ticket = None if job is None else job.tickets.get(getattr(event, "ticket", ""))
    if job is None or ticket is None:
        return ()
    if isinstance(event, events.Closed | events.ToldPressed):
        step = job.plan.passes[ticket.passage].steps[event.step]
        label = words(f"phase.{step.phase.value}")
    elif isinstance(event, events.Finished):
        label = words(f"stage.{event.stage.name.lower()}")
    else:
        return ()
    hour = time.strftime("%H:%M:%S", time.localtime(event.at.wall))
    return ((hour, label_of(ticket), label),)
