"""A person at a job made for a test, who then makes a mistake with real touches."""

from __future__ import annotations

from pathlib import Path

from station_driver import PIN, Person, lay_out
from station_harness import Bench
from station_tree import walk

from kiosk.plan.model import HOT_PHASES, Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import SlabKind
from kiosk.run.state.events import Closed, ReadBack
from kiosk.run.state.rules import QuestionKind
from kiosk.station.demo.hands import NotShown
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

STACK = ("raft-polo", "Orsavel raft polo")  # two layers, tacked; nothing to peel
PLAIN = ("ice-crew", "Orsavel ice crew")  # one layer

ROWS = "1,AS,QUILLON,31\n2,AS,MARROWAY,13\n3,AS,FENN,45\n"


def at(
    bench: Bench,
    place: Path,
    rows: str = ROWS,
    job: tuple[str, str] = STACK,
    recipe: str = "",
    written: str = "",
    by: type[Person] = Person,
) -> Person:
    """Return a signed-off person who has begun a job with these roster lines.

    `written` is the text of a recipe that the shop does not have.
    """
    lay_out(place, job[0])
    if written:
        (place / "recipes" / f"{recipe}.yaml").write_text(written, "utf-8")
    folder = place / "jobs" / job[0]
    (folder / "roster.csv").write_text(f"line,size,name,number\n{rows}", "utf-8")
    if recipe:
        text = (folder / "job.yaml").read_text("utf-8")
        lines = [f"recipe: {recipe}" if x.startswith("recipe:") else x for x in text.splitlines()]
        (folder / "job.yaml").write_text("\n".join(lines) + "\n", "utf-8")
    person = by(bench, place)
    person.first_start()
    person.sign_off()
    person.choose(job[1])
    try:
        person.choose("Read the cautions")
    except NotShown:
        person.choose("Start with the supervisor's PIN", *PIN, "Enter")
    return person


def said(person: Person) -> str:
    """Return all words on the screen, in one line."""
    return " ".join(person.texts().split())


def asked(person: Person, ask: QuestionKind) -> Person:
    """Go on until the station asks this, answering everything before it correctly."""
    while not _asks(person, ask):
        person.move_on()
    return person


def _asks(person: Person, ask: QuestionKind) -> bool:
    shown = person.view
    if shown.kind is not ScreenKind.ASK or shown.ask is None:
        return False
    return shown.ask.pad is (ask is QuestionKind.NUMBER)


def judge(person: Person, result: str) -> None:
    """Give a garment a result other than good, with the first class and cause listed."""
    person.choose(result)
    for _ in range(2):
        person.stage.pass_time(0.6)
        person.choose(next(iter(person.buttons())).label)


def hands(person: Person, phase: Phase) -> Person:
    """Go on until this is to be done by hand, with everything before it done."""
    while not (person.view.kind is ScreenKind.HANDS and phase in at_hand(person)):
        person.move_on()
    person.stage.pass_time(0.6)
    return person


def at_hand(person: Person) -> set[Phase]:
    """Return the phases of the current move: from the ticket's step to the next closing."""
    job = person.station.shell.state.job
    assert job is not None
    ticket = job.tickets.get(job.slot)
    found: set[Phase] = set()
    for step in () if ticket is None else job.plan.passes[ticket.passage].steps[ticket.step :]:
        if step.phase in HOT_PHASES:
            break
        found.add(step.phase)
    return found


def closings(person: Person) -> list[Closed]:
    """Return the closings in the log."""
    return [e for e in person.events() if isinstance(e, Closed)]


def wrong_reads(person: Person) -> list[str]:
    """Return the wrong readings in the log."""
    return [e.read for e in person.events() if isinstance(e, ReadBack) and not e.right]


def no_heat_by_the_bar(person: Person) -> bool:
    """Return whether pressing forward closes nothing now."""
    before = len(closings(person))
    person.bar(1.0)
    return len(closings(person)) == before and person.station.shell.state.heat is None


def drawings(person: Person) -> list[LayDrawing]:
    """Return the lay drawings on the screen."""
    return [each for each in walk(person.station) if isinstance(each, LayDrawing)]


def coming(person: Person) -> list[tuple[SlabKind, str]]:
    """Return what goes down or comes off in the cross-section, with its colour."""
    return [(slab.kind, slab.colour) for slab in person.view.stack if slab.coming]
