"""Which function says what stands on which page."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kiosk.station.desk import Desk, Page
from kiosk.station.pages import (
    columns,
    display,
    hands_free,
    heat,
    held,
    jobs,
    people,
    practice,
    progress,
    quiz,
    sign_offs,
    supervisor,
)
from kiosk.station.pages.sheet import Sheet
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
    Page.HEAT: heat.heat,
    Page.QUESTIONS: jobs.questions,
    Page.COLUMNS: columns.columns,
    Page.DISPLAY: display.display,
    Page.SKIP: held.skip,
    Page.PUT_ASIDE: held.put_aside,
    Page.SUPERVISOR: supervisor.supervisor,
    Page.GARMENTS: supervisor.garments,
    Page.GARMENT: supervisor.garment,
    Page.REASON: supervisor.reason,
    Page.CUES: hands_free.cues,
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
    Page.QUIZ: quiz.quiz,
}
