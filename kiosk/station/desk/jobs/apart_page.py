"""The page of a job that others press by another plan, before it begins here."""

from kiosk.catalog.base import say
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import PlanConflict
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.begin import begun
from kiosk.station.desk.jobs.other_ways import begin_apart
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.words import Words


def other_plan(desk: Desk, found: PlanConflict, words: Words) -> Sheet:
    """Page of the differences, where a supervisor may begin or resume the job all the same."""
    purpose = say("pin.for.begin_apart")
    under_way = desk.offer is not None and begun(desk, desk.offer)
    choose, on = ("page.apart.choose", "page.begin_apart")
    if under_way:  # whatever the files give now
        choose, on = "page.apart.kept", "page.go_on_apart"

    def back() -> None:
        desk.of(AtServer).conflict = PlanConflict()
        desk.go(PageKind.JOBS)

    return Sheet(
        title=words("page.apart", station=found.stations),
        headline=words.say(found.differs[0]),
        lines=(*map(words.say, found.differs[1:]), words(choose, station=found.stations)),
        left=Button(words("page.back"), back),
        right=Button(words(on), lambda: ask_pin(desk, lambda: begin_apart(desk), purpose)),
    )
