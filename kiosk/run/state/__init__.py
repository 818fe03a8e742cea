"""What the station is, what is asked of it and what happened: values only."""

# fmt: off
from kiosk.run.state.anew import replace
from kiosk.run.state.asked import Display
from kiosk.run.state.classes import DEFECT_IDS, DEFECTS, cause_word, causes_of, defect_word
from kiosk.run.state.commands import (
    Back,
    ChooseDisplay,
    Command,
    Forward,
    HoldOn,
    Inspect,
    PressClosed,
    PressOpened,
    Read,
    ReadSetting,
    ResetLearning,
    SayClosed,
    SayOpened,
    SayPlace,
    SignOff,
    Start,
    Tick,
    Touch,
    Verb,
)
from kiosk.run.state.commands_shift import DeleteNames, LetPass, NoteRecipes, SeeTo
from kiosk.run.state.cooling import (
    Estimate,
    Feels,
    Kept,
    Lesson,
    Lies,
    PadHeat,
    Points,
    Pressing,
    Taught,
)
from kiosk.run.state.event import Event, Now, elapsed
from kiosk.run.state.events import (
    Closed,
    Confirmed,
    Finished,
    HandedOver,
    Held,
    JobStarted,
    JobTaken,
    LogSalvaged,
    NeverClosed,
    NotClosed,
    ReadBack,
    RepressAllowed,
    Ruled,
    SetAside,
    SettingRead,
    Skipped,
    StationStarted,
    Stopped,
    TakenBack,
    ToldPressed,
    Touched,
)
from kiosk.run.state.events_practice import (
    GarmentPractised,
    QuizAnswered,
    SignOffAsked,
    SlipShown,
    StepPractised,
)
from kiosk.run.state.events_shift import (
    Change,
    FirstArticleJudged,
    Overridden,
    Overruled,
    PressVerified,
    RecipesRead,
)
from kiosk.run.state.events_trial import TrialJudged
from kiosk.run.state.model import (
    ENDED,
    Ask,
    Confirm,
    Cues,
    Finding,
    First,
    Garment,
    Heat,
    JobRun,
    Refusal,
    Role,
    Seen,
    Stage,
    State,
    Ticket,
)
from kiosk.run.state.rules import NO_RULES, Approver, Demand, Rules, rules_of

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
