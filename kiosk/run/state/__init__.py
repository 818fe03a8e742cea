"""State, commands and events of the station: values only."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.model import Approver, Demand
    from kiosk.run.state.commands import (
        Back, ChooseDisplay, Command, Forward, HoldOn, Inspect, Meaning, PressClosed, PressOpened,
        Read,
        ReadSetting, SayClosed, SayOpened, SignOff, Start, Tick, Verb,
    )
    from kiosk.run.state.commands_shift import (
        Elsewhere, EndBatches, MeetClaims, TakeBatch, UnbeginJob,
        DeleteNames, LetPass, NoteRecipes, ResetLearning, SayPlace, SeeTo, Touch,
    )
    from kiosk.run.state.cooling import (
        Estimate, Feels, Kept, Lesson, Lies, PadHeat, Points, Pressing, Taught,
    )
    from kiosk.run.state.event import Decision, Event, Now, Refusal, elapsed, refuse, replace
    from kiosk.run.state.events import (
        Closed, Confirmed, Finished, JobStarted, JobTaken, NeverClosed, NotClosed, ReadBack,
        SetAside,
        SettingRead, Skipped, Stopped, TakenBack, ToldPressed,
    )
    from kiosk.run.state.events_shift import (
        Change, FirstArticleJudged, Overridden, Overruled, PressVerified, RecipesRead,
        RepressAllowed,
        Ruled, TrialJudged,
    )
    from kiosk.run.state.events_station import (
        GarmentPractised, HandedOver, Held, LogSalvaged, QuizAnswered, SignOffAsked, SlipShown,
        StationStarted, StepPractised, Touched,
    )
    from kiosk.run.state.model import (
        ENDED, Confirm, Garment, Heat, JobRun, Seen, Stage, Ticket, Undo,
    )
    from kiosk.run.state.state import State
    from kiosk.run.state.defects import (
        CAUSES, DEFECTS, DEFECT_IDS, cause_word, causes_of, defect_word,
    )
    from kiosk.run.state.reasons import (
        ASIDE_REASONS, OVERRIDE_REASONS, RULING_REASONS, SKIP_REASONS,
    )
    from kiosk.run.state.rules import (
        Batch, Met, NO_RULES, Ask, Changed, Check, Cues, Display, Finding, First, Question,
        Role, Rules, Scrapped, rules_of, stations_called,
    )

__getattr__ = face(__name__)
