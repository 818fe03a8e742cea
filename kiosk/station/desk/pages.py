"""Which function draws which page."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from importlib import import_module
from typing import TypeVar

from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import Start
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import PageKind, Sheet
from kiosk.station.desk.side_files import first_frame_path, save_first_frame
from kiosk.words import Words

Key = TypeVar("Key", PageKind, ScreenKind)


class PageFunctions(Mapping[Key, Callable[[Desk, Words], Sheet]]):
    """Page functions by their place under the desk, each imported when its page is first opened."""

    def __init__(self, places: Mapping[Key, str]) -> None:
        self._places: Mapping[Key, str] = places

    def __getitem__(self, page: Key) -> Callable[[Desk, Words], Sheet]:
        module, _, name = self._places[page].rpartition(".")
        function: Callable[[Desk, Words], Sheet] = getattr(
            import_module(f"kiosk.station.desk.{module}"), name
        )
        return function

    def __iter__(self) -> Iterator[Key]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


SHEETS = PageFunctions(
    {
        PageKind.CHOOSE_PIN: "people.choose_pin",
        PageKind.REPEAT_PIN: "people.repeat_pin",
        PageKind.PIN: "people.pin",
        PageKind.SIGN_ON: "people.sign_on",
        PageKind.INITIALS: "people.initials",
        PageKind.JOBS: "jobs.jobs.jobs",
        PageKind.FAULTS: "jobs.job_doubts.faults",
        PageKind.SET_UP: "jobs.jobs.set_up",
        PageKind.PROOF: "jobs.proofing.proof",
        PageKind.HEAT: "jobs.proofing.heat",
        PageKind.QUESTIONS: "jobs.job_doubts.questions",
        PageKind.COLUMNS: "jobs.begin.columns",
        PageKind.DISPLAY: "display.display",
        PageKind.CHOICES: "work.choices.choices",
        PageKind.WAS_CLOSED: "work.choices.was_it_closed",
        PageKind.SECONDS_BY_HAND: "work.choices.seconds_by_hand",
        PageKind.CLEAR: "work.hold.clear",
        PageKind.SKIP: "work.hold.skip",
        PageKind.PUT_ASIDE: "work.hold.put_aside",
        PageKind.SUPERVISOR: "shift.supervisor.supervisor",
        PageKind.LEARNING: "shift.report.learning",
        PageKind.GARMENTS: "shift.supervisor.garments",
        PageKind.GARMENT: "shift.supervisor.garment",
        PageKind.REASON: "shift.supervisor.reason",
        PageKind.REPORT: "shift.report.questions",
        PageKind.REPORT_PART: "shift.report.part",
        PageKind.CARD: "shift.card.card",
        PageKind.CUES: "display.cues",
        PageKind.LISTEN: "display.listen",
        PageKind.KEYS: "display.keys",
        PageKind.LEARN_KEY: "display.learn_key",
        PageKind.SIGN_OFFS: "learn.progress.every_sign_off",
        PageKind.SIGN_OFF_OF: "learn.progress.sign_offs_of",
        PageKind.SIGN_OFF_ONE: "learn.progress.sign_off_one",
        PageKind.PRACTICE_WHO: "learn.practice_pages.choose_trainee",
        PageKind.PRACTICE_INITIALS: "learn.practice_pages.initials",
        PageKind.PRACTICE: "learn.practice_pages.menu",
        PageKind.PRACTICE_HOW: "learn.practice_pages.choose_way",
        PageKind.PRACTICE_ENDED: "learn.practice_pages.ended",
        PageKind.PROGRESS: "learn.progress.progress",
        PageKind.PROGRESS_OF: "learn.progress.family",
        PageKind.TIMES: "learn.progress.times",
        PageKind.QUIZ: "learn.quiz.quiz",
        PageKind.OVERRIDE: "shift.supervisor.override",
        PageKind.HAND_OVER: "shift.handover.hand_over",
        PageKind.OPEN_QUESTIONS: "shift.handover.open_questions",
        PageKind.NEXT_OPERATOR: "shift.handover.next_operator",
        PageKind.UPKEEP: "shift.supervisor.upkeep",
        PageKind.NEW_ENTRY: "shift.new_entry_pages.entering",
        PageKind.FILES: "shift.editing_pages.files",
        PageKind.VALUES: "shift.editing_pages.values",
        PageKind.VALUE: "shift.editing_pages.value",
        PageKind.ORDER: "jobs.order_pages.order",
        PageKind.SHOP: "shift.shop.shop",
        PageKind.LEAVE: "shift.leaving.leaving",
    }
)

AT_WORK = PageFunctions(
    {
        ScreenKind.VERIFY: "work.checks.verify",
        ScreenKind.TRIAL: "work.first_card.trial",
        ScreenKind.LOT: "work.lot.lot",
        ScreenKind.DONE: "work.hold.done",
    }
)
"""Pages that take the place of the work screen."""


def page_at_work(desk: Desk, words: Words, view: View) -> Sheet:
    """Return the page of AT_WORK for `view`, with OPEN on it if the work screen would show that."""
    sheet = AT_WORK[view.kind](desk, words)
    lines = () if view.first is None else (words.say(view.first).strip(),)
    if view.open_since is not None:
        lines = (words("page.open_since", seconds=int(view.open_since)), *lines)
    return replace(sheet, lines=(*lines, *sheet.lines)) if lines else sheet


def tick(desk: Desk) -> None:
    """Apply clock-driven transitions, then read messages from the shop's server."""
    desk.shell.tick()
    if desk.sending is not None:
        # not needed without a server
        from kiosk.station.desk.jobs.at_server import AtServer

        desk.of(AtServer).exchange()


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
        desk.go(PageKind.CHOOSE_PIN)
    elif shell.state.operator:
        desk.go_on()


def look_around(desk: Desk) -> None:
    """After a start: record changed files of the shop, and delete names that are due."""
    from kiosk.station.desk.shift.files import Files, dispose
    from kiosk.station.desk.work.trial import Trial

    shell = desk.shell
    shell.read_roster()
    desk.of(Files).record_changes()
    desk.of(Trial).note()
    for receipt in dispose(desk.library.jobs, shell.state, shell.do, shell.now()):
        shell.say(receipt.message, lasting=True)
    path, library = first_frame_path(shell.recorder.store.path), desk.library
    save_first_frame(path, library.recipes, library.catalog)
