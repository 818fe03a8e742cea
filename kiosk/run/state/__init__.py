"""What the station is, what is asked of it and what happened: values only."""

# fmt: off
# isort: skip_file
from kiosk.catalog.model import Approver, Demand
from kiosk.run.state.commands import (
    Back, ChooseDisplay, Command, Forward, HoldOn, Inspect, PressClosed, PressOpened, Read,
    ReadSetting, SayClosed, SayOpened, SignOff, Start, Tick, Verb,
)
from kiosk.run.state.commands_shift import (
    DeleteNames, LetPass, NoteRecipes, ResetLearning, SayPlace, SeeTo, Touch,
)
from kiosk.run.state.cooling import (
    Estimate, Feels, Kept, Lesson, Lies, PadHeat, Points, Pressing, Taught,
)
from kiosk.run.state.event import Event, Now, Refusal, elapsed, replace
from kiosk.run.state.events import (
    Closed, Confirmed, Finished, JobStarted, JobTaken, NeverClosed, NotClosed, ReadBack, SetAside,
    SettingRead, Skipped, Stopped, TakenBack, ToldPressed,
)
from kiosk.run.state.events_shift import (
    Change, FirstArticleJudged, Overridden, Overruled, PressVerified, RecipesRead, RepressAllowed,
    Ruled, TrialJudged,
)
from kiosk.run.state.events_station import (
    GarmentPractised, HandedOver, Held, LogSalvaged, QuizAnswered, SignOffAsked, SlipShown,
    StationStarted, StepPractised, Touched,
)
from kiosk.run.state.model import ENDED, Confirm, Garment, Heat, JobRun, Seen, Stage, State, Ticket
from kiosk.run.state.rules import (
    DEFECTS, DEFECT_IDS, NO_RULES, Ask, Cues, Display, Finding, First, Role, Rules, cause_word,
    causes_of, defect_word, rules_of,
)

__all__ = [
    "DEFECTS", "DEFECT_IDS", "ENDED", "NO_RULES", "Approver", "Ask", "Back", "Change",
    "ChooseDisplay", "Closed", "Command", "Confirm", "Confirmed", "Cues", "DeleteNames", "Demand",
    "Display", "Estimate", "Event", "Feels", "Finding", "Finished", "First", "FirstArticleJudged",
    "Forward", "Garment", "GarmentPractised", "HandedOver", "Heat", "Held", "HoldOn", "Inspect",
    "JobRun", "JobStarted", "JobTaken", "Kept", "Lesson", "LetPass", "Lies", "LogSalvaged",
    "NeverClosed", "NotClosed", "NoteRecipes", "Now", "Overridden", "Overruled", "PadHeat",
    "Points", "PressClosed", "PressOpened", "PressVerified", "Pressing", "QuizAnswered", "Read",
    "ReadBack", "ReadSetting", "RecipesRead", "Refusal", "RepressAllowed", "ResetLearning", "Role",
    "Ruled", "Rules", "SayClosed", "SayOpened", "SayPlace", "SeeTo", "Seen", "SetAside",
    "SettingRead", "SignOff", "SignOffAsked", "Skipped", "SlipShown", "Stage", "Start", "State",
    "StationStarted", "StepPractised", "Stopped", "TakenBack", "Taught", "Tick", "Ticket",
    "ToldPressed", "Touch", "Touched", "TrialJudged", "Verb", "cause_word", "causes_of",
    "defect_word", "elapsed", "replace", "rules_of",
]
