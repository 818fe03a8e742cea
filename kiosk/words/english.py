"""All English sentences by id, gathered from the tables of the rooms."""

from __future__ import annotations

from kiosk.words.marks import Sentence
from kiosk.words.of_catalog import CATALOG
from kiosk.words.of_cautions import CAUTIONS
from kiosk.words.of_choices import CHOICES
from kiosk.words.of_commands import COMMANDS
from kiosk.words.of_heat import HEAT
from kiosk.words.of_help import HELP
from kiosk.words.of_log import LOG
from kiosk.words.of_pages import PAGES
from kiosk.words.of_plan import PLAN
from kiosk.words.of_report import REPORT
from kiosk.words.of_run import RUN
from kiosk.words.of_shift_pages import SHIFT_PAGES
from kiosk.words.of_sources import SOURCES
from kiosk.words.of_station import STATION
from kiosk.words.of_train import TRAIN
from kiosk.words.of_trial import TRIAL
from kiosk.words.of_voice import VOICE
from kiosk.words.of_work import WORK

TABLE: dict[str, Sentence] = {
    **CATALOG,
    **HEAT,
    **PLAN,
    **RUN,
    **LOG,
    **REPORT,
    **TRAIN,
    **TRIAL,
    **STATION,
    **WORK,
    **PAGES,
    **CHOICES,
    **CAUTIONS,
    **VOICE,
    **SHIFT_PAGES,
    **COMMANDS,
    **HELP,
    **SOURCES,
}
