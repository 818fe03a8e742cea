"""Which function says what stands on which page."""

from collections.abc import Callable, Mapping

from kiosk.run.facts import Kind
from kiosk.run.state import Start
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs import begin as columns
from kiosk.station.desk.jobs import jobs, order_pages, proofing
from kiosk.station.desk.jobs import proofing as heat
from kiosk.station.desk.learn import practice_pages as practice
from kiosk.station.desk.learn import progress, sign_offs
from kiosk.station.desk.people import display, people
from kiosk.station.desk.people import display as hands_free
from kiosk.station.desk.sheet import Page, Sheet
from kiosk.station.desk.shift import editing as files
from kiosk.station.desk.shift import entering_pages as entering
from kiosk.station.desk.shift import handing, report, shop, supervisor
from kiosk.station.desk.shift import supervisor as upkeep
from kiosk.station.desk.shift.files import Files, dispose
from kiosk.station.desk.work import checks as verify
from kiosk.station.desk.work import choices, held, lot
from kiosk.station.desk.work import first_card as trial
from kiosk.station.desk.work import held as clearing
from kiosk.station.desk.work.trial import Trial
from kiosk.words import Words

SHEETS: Mapping[Page, Callable[[Desk, Words], Sheet]] = {
    Page.CHOOSE_PIN: people.choose_pin,
    Page.REPEAT_PIN: people.repeat_pin,
    Page.PIN: people.pin,
    Page.SIGN_ON: people.sign_on,
    Page.INITIALS: people.initials,
    Page.JOBS: jobs.jobs,
    Page.FAULTS: jobs.faults,
    Page.SET_UP: jobs.set_up,
    Page.PROOF: proofing.proof,
    Page.HEAT: heat.heat,
    Page.QUESTIONS: jobs.questions,
    Page.COLUMNS: columns.columns,
    Page.DISPLAY: display.display,
    Page.CHOICES: choices.choices,
    Page.WAS_CLOSED: choices.was_it_closed,
    Page.TOLD: choices.told,
    Page.CLEAR: clearing.clear,
    Page.SKIP: held.skip,
    Page.PUT_ASIDE: held.put_aside,
    Page.SUPERVISOR: supervisor.supervisor,
    Page.LEARNING: report.learning,
    Page.GARMENTS: supervisor.garments,
    Page.GARMENT: supervisor.garment,
    Page.REASON: supervisor.reason,
    Page.REPORT: report.questions,
    Page.REPORT_PART: report.part,
    Page.CUES: hands_free.cues,
    Page.LISTEN: hands_free.listen,
    Page.KEYS: hands_free.keys,
    Page.LEARN_KEY: hands_free.learn_key,
    Page.SIGN_OFFS: sign_offs.people,
    Page.SIGN_OFF_OF: sign_offs.person,
    Page.SIGN_OFF_ONE: sign_offs.family,
    Page.PRACTICE_WHO: practice.who,
    Page.PRACTICE_INITIALS: practice.initials,
    Page.PRACTICE: practice.menu,
    Page.PRACTICE_HOW: practice.how,
    Page.PRACTICE_ENDED: practice.ended,
    Page.PROGRESS: progress.progress,
    Page.PROGRESS_OF: progress.family,
    Page.TIMES: progress.times,
    Page.QUIZ: practice.quiz,
    Page.OVERRIDE: upkeep.override,
    Page.HAND_OVER: handing.hand_over,
    Page.OPEN_QUESTIONS: handing.open_questions,
    Page.WHO_COMES: handing.who_comes,
    Page.UPKEEP: upkeep.upkeep,
    Page.NEW_ENTRY: entering.entering,
    Page.FILES: files.files,
    Page.VALUES: files.values,
    Page.VALUE: files.value,
    Page.ORDER: order_pages.order,
    Page.SHOP: shop.shop,
}

AT_WORK: Mapping[Kind, Callable[[Desk, Words], Sheet]] = {
    Kind.VERIFY: verify.verify,
    Kind.TRIAL: trial.trial,
    Kind.LOT: lot.lot,
    Kind.DONE: held.done,
}
"""What the station draws as a page of its own in place of the work screen."""


def start_at(desk: Desk) -> None:
    """Record a start of the program at this desk, and go on where the log left off."""
    shell = desk.shell
    if shell.state.job is not None:  # a start may call the next garment at once
        desk.take_roster()
    shell.do(Start(desk.identity.version))
    desk.of(Files).note()
    desk.of(Trial).note()
    for receipt in dispose(desk.library.jobs, shell.state, shell.do, shell.now()):
        shell.say(receipt.message, lasting=True)
    if not desk.pin.is_set():
        desk.go(Page.CHOOSE_PIN)
    elif shell.state.operator:
        desk.go_on()
