"""Which function says what stands on which page."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kiosk.station.desk import Desk, Page
from kiosk.station.pages import columns, display, hands_free, heat, held, jobs, people, supervisor
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
}
