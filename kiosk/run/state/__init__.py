"""State, commands and events of the station: values only."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.model import Approver, Demand
    from kiosk.run.state.commands import (
        AnswerQuestion, Back, ChooseDisplay, Command, Forward, GiveSignOff, Inspect, Meaning,
        PressClosed, PressOpened, PutOnHold, ReadSetting, SayClosed, SayOpened, Start, Tick, Verb,
    )
    from kiosk.run.state.commands_shift import (
        DeleteNames, EndBatches, LetPass, MeetClaims, NoteRecipes, NoteUpkeep, OtherStation,
        ReportTouch, ResetLearning, SayPlace, TakeBatch, UnbeginJob,
    )
    from kiosk.run.state.cooling import (
        CoolingPlace, Estimate, LearnedCooling, Lesson, LessonSource, PadHeat, Points, Pressing,
        TouchFeel,
    )
    from kiosk.run.state.event import Decision, Event, Now, Refusal, elapsed, refuse, replace
    from kiosk.run.state.events import (
        Closed, Confirmed, Finished, JobStarted, JobTaken, NeverClosed, NotClosed, ReadBack,
        SetAside, SettingRead, Skipped, Stopped, TakenBack, ToldPressed,
    )
    from kiosk.run.state.events_shift import (
        Change, FirstArticleJudged, Overridden, Overruled, PressVerified, RecipesRead,
        RepressAllowed, Ruled, TrialJudged,
    )
    from kiosk.run.state.events_station import (
        GarmentPractised, HandedOver, Held, LogSalvaged, QuizAnswered, SignOffAsked, SlipShown,
        StationStarted, StepPractised, Touched,
    )
    from kiosk.run.state.model import (
        ENDED, ConfirmMode, Garment, Heat, JobRun, Ticket, TicketStage, TimeSource, Undo,
    )
    from kiosk.run.state.state import State
    from kiosk.run.state.defects import (
        CAUSES, DEFECTS, DEFECT_IDS, cause_word, causes_of, defect_word,
    )
    from kiosk.run.state.reasons import (
        ASIDE_REASONS, OVERRIDE_REASONS, RULING_REASONS, SKIP_REASONS,
    )
    from kiosk.run.state.rules import (
        NO_RULES, Batch, CountedScrap, Cues, Display, FirstGarment, LastCheck, OtherClaims,
        Question, QuestionCause, QuestionKind, Role, Rules, TrialFinding, rules_of, stations_called,
    )

__getattr__ = face(__name__)
