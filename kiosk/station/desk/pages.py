"""Which function draws which page."""

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from typing import TypeVar

from kiosk.run.facts import Kind
from kiosk.run.state import Start
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Page, Sheet
from kiosk.station.desk.side_files import keep, kept_beside
from kiosk.words import Words

Key = TypeVar("Key", Page, Kind)


class Pages(Mapping[Key, Callable[[Desk, Words], Sheet]]):
    """Page functions by their place under the desk, each imported when its page is first opened."""

    def __init__(self, places: Mapping[Key, str]) -> None:
        self._places: Mapping[Key, str] = places

    def __getitem__(self, page: Key) -> Callable[[Desk, Words], Sheet]:
        module, _, name = self._places[page].rpartition(".")
        drawn: Callable[[Desk, Words], Sheet] = getattr(
            import_module(f"kiosk.station.desk.{module}"), name
        )
        return drawn

    def __iter__(self) -> Iterator[Key]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


SHEETS = Pages(
    {
        Page.CHOOSE_PIN: "people.choose_pin",
        Page.REPEAT_PIN: "people.repeat_pin",
        Page.PIN: "people.pin",
        Page.SIGN_ON: "people.sign_on",
        Page.INITIALS: "people.initials",
        Page.JOBS: "jobs.jobs.jobs",
        Page.FAULTS: "jobs.job_doubts.faults",
        Page.SET_UP: "jobs.jobs.set_up",
        Page.PROOF: "jobs.proofing.proof",
        Page.HEAT: "jobs.proofing.heat",
        Page.QUESTIONS: "jobs.job_doubts.questions",
        Page.COLUMNS: "jobs.begin.columns",
        Page.DISPLAY: "display.display",
        Page.CHOICES: "work.choices.choices",
        Page.WAS_CLOSED: "work.choices.was_it_closed",
        Page.TOLD: "work.choices.seconds_by_hand",
        Page.CLEAR: "work.held.clear",
        Page.SKIP: "work.held.skip",
        Page.PUT_ASIDE: "work.held.put_aside",
        Page.SUPERVISOR: "shift.supervisor.supervisor",
        Page.LEARNING: "shift.report.learning",
        Page.GARMENTS: "shift.supervisor.garments",
        Page.GARMENT: "shift.supervisor.garment",
        Page.REASON: "shift.supervisor.reason",
        Page.REPORT: "shift.report.questions",
        Page.REPORT_PART: "shift.report.part",
        Page.CARD: "shift.card.card",
        Page.CUES: "display.cues",
        Page.LISTEN: "display.listen",
        Page.KEYS: "display.keys",
        Page.LEARN_KEY: "display.learn_key",
        Page.SIGN_OFFS: "learn.progress.every_sign_off",
        Page.SIGN_OFF_OF: "learn.progress.sign_offs_of",
        Page.SIGN_OFF_ONE: "learn.progress.sign_off_one",
        Page.PRACTICE_WHO: "learn.practice_pages.who",
        Page.PRACTICE_INITIALS: "learn.practice_pages.initials",
        Page.PRACTICE: "learn.practice_pages.menu",
        Page.PRACTICE_HOW: "learn.practice_pages.how",
        Page.PRACTICE_ENDED: "learn.practice_pages.ended",
        Page.PROGRESS: "learn.progress.progress",
        Page.PROGRESS_OF: "learn.progress.family",
        Page.TIMES: "learn.progress.times",
        Page.QUIZ: "learn.quiz.quiz",
        Page.OVERRIDE: "shift.supervisor.override",
        Page.HAND_OVER: "shift.handing.hand_over",
        Page.OPEN_QUESTIONS: "shift.handing.open_questions",
        Page.WHO_COMES: "shift.handing.who_comes",
        Page.UPKEEP: "shift.supervisor.upkeep",
        Page.NEW_ENTRY: "shift.entering_pages.entering",
        Page.FILES: "shift.editing_pages.files",
        Page.VALUES: "shift.editing_pages.values",
        Page.VALUE: "shift.editing_pages.value",
        Page.ORDER: "jobs.order_pages.order",
        Page.SHOP: "shift.shop.shop",
        Page.LEAVE: "shift.leaving.leaving",
    }
)

AT_WORK = Pages(
    {
        Kind.VERIFY: "work.checks.verify",
        Kind.TRIAL: "work.first_card.trial",
        Kind.LOT: "work.lot.lot",
        Kind.DONE: "work.held.done",
    }
)
"""Pages that take the place of the work screen."""


def tick(desk: Desk) -> None:
    """Apply clock-driven transitions, then read messages from the shop's server."""
    desk.shell.tick()
    if desk.beside is not None:
        # not needed without a server
        from kiosk.station.desk.jobs.at_server import AtServer

        desk.of(AtServer).look()


def start_at(desk: Desk) -> None:
    """Record a start of the program at this desk, and go on where the log left off.

    Names of the job at the press are not read and its rows not checked: `look_around` does that.
    """
    shell = desk.shell
    shell.rosters.waits = True
    if shell.state.job is not None:
        desk.take_roster()
    shell.do(Start(desk.identity.version))
    if not desk.pin.is_set():
        desk.go(Page.CHOOSE_PIN)
    elif shell.state.operator:
        desk.go_on()


def look_around(desk: Desk) -> None:
    """After a start: record changed files of the shop, and delete names that are due."""
    from kiosk.station.desk.shift.files import Files, dispose
    from kiosk.station.desk.work.trial import Trial

    shell = desk.shell
    shell.read_roster()
    desk.of(Files).note()
    desk.of(Trial).note()
    for receipt in dispose(desk.library.jobs, shell.state, shell.do, shell.now()):
        shell.say(receipt.message, lasting=True)
    keep(kept_beside(shell.recorder.store.path), desk.library.recipes, desk.library.catalog)
