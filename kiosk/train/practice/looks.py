"""Looks: questions in words whether something is right, some of them with a planted slip."""

from collections.abc import Callable
from enum import Enum
from random import Random

from kiosk.catalog.base import Message, Value, dataclass, say
from kiosk.plan.model import HOT_PHASES, LAYING, Pass, Phase, Plan, Step
from kiosk.plan.place import element_heights
from kiosk.plan.sizes import border
from kiosk.run.facts import pieces_of
from kiosk.run.state import Garment
from kiosk.train.practice.bench import Bench

SLIPS_IN = 0.5
"""The share of looks with a slip; half, so that neither answer is the safe guess."""

Length = Callable[[float], str]


class SlipKind(Enum):
    """The kinds of slip planted on purpose."""

    SIX_NINE = "six nine"
    LAST_SETTING = "last setting"
    DIGIT_TOO_MANY = "digit too many"
    SHEET = "sheet"
    BORDER = "border"
    WRONG_DIGIT = "wrong digit"
    SWAPPED = "swapped"
    FACE_DOWN = "face down"
    NAME = "name"
    LINER = "liner"
    CARRIER = "carrier"
    LAYERS = "layers"
    COLLAR = "collar"
    SEAM = "seam"
    PLATEN = "platen"
    CARD = "card"
    COLOUR = "colour"
    PEEL = "peel"


class LookTime(Enum):
    """When a look is asked for."""

    SETTING = "setting"  # before the press is confirmed as set
    BEFORE = "before"  # as the step begins
    AFTER = "after"  # as it is confirmed


@dataclass(frozen=True, slots=True)
class Sides:
    """The border around a top layer as the operator sees it, in parts of the border's width."""

    left: float
    right: float
    above: float
    below: float


@dataclass(frozen=True, slots=True)
class Worn:
    """The number on the garment after pressing."""

    number: str


LookDrawing = str | Sides | Worn | Bench
"""What to draw: text on a display or in a bag, a border, a finished number, or a bench."""


@dataclass(frozen=True, slots=True)
class SlipOutcome:
    """What a slip let through leads to: its word in message ids and the values of its messages."""

    word: str
    values: tuple[tuple[str, Value], ...] = ()
    drawing: LookDrawing | None = None

    def say(self, part: str) -> Message:
        """Return one part of the explanation: `looks`, `why`, `costs` or `seen`."""
        return say(f"practice.came.{self.word}.{part}", **dict(self.values))


@dataclass(frozen=True, slots=True)
class BenchLook:
    """A look at step `index`: what is required, what is seen, and the slip if there is one.

    `drawing` is what to draw, `outcome` what its slip leads to.
    """

    name: str
    index: int
    when: LookTime
    required: Message
    seen: Message
    slip: SlipKind | None
    drawing: LookDrawing | None = None
    outcome: SlipOutcome | None = None

    @property
    def hint(self) -> Message:
        """What to look for, shown up to GUIDED."""
        return say(f"practice.look.{self.name}.hint")


class BenchLooks:
    """The looks of one garment, each asked once.

    `length` formats a length in inches in the station's units.
    """

    def __init__(self, plan: Plan, garment: Garment, dice: Random, length: Length) -> None:
        self._looks = [
            (n, make(dice.random() < SLIPS_IN))
            for n, passage in enumerate(plan.passes)
            for make in _makers(plan, passage, garment, dice, length)
        ]

    def take(self, passage: int, when: LookTime, steps: tuple[int, ...]) -> BenchLook | None:
        """Remove and return the look due at these steps of a pass, or None."""
        for each in self._looks:
            n, look = each
            if (
                n == passage
                and look.when is when
                and (when is LookTime.SETTING or look.index in steps)
            ):
                self._looks.remove(each)
                return look
        return None


Make = Callable[[bool], BenchLook]


def _makers(
    plan: Plan, passage: Pass, garment: Garment, dice: Random, length: Length
) -> list[Make]:
    makers: list[Make] = []
    steps = passage.steps
    hot = next((i for i, step in enumerate(steps) if step.phase in HOT_PHASES), None)
    if hot is not None:
        makers.append(lambda slip: _setting(plan, steps[hot], hot, slip, dice))
    lay = next((i for i, step in enumerate(steps) if _lays_number(step)), None)
    if lay is not None and garment.number.isdecimal():
        makers.append(lambda slip: _bag(garment.number, lay, slip, dice))
    top = [i for i, step in enumerate(steps) if step.phase is Phase.LAY_TOP]
    if top:
        makers.append(lambda slip: _border(plan, passage, garment, top[-1], slip, dice, length))
    closings = [i for i, step in enumerate(steps) if step.phase in (Phase.TACK, Phase.FINAL)]
    if closings:
        makers.append(lambda slip: _sheet(passage, dice.choice(closings), slip))
    return makers


def _lays_number(step: Step) -> bool:
    laying = step.phase in LAYING
    return laying and any(name.startswith("number.") for name in step.pieces)


def _setting(plan: Plan, step: Step, index: int, slip: bool, dice: Random) -> BenchLook:
    """Return a look at the press's display: set as required, or far off it."""
    needed = step.temperature or 0
    shown = needed + dice.choice((-40, -30, -20, 20, 30)) if slip else needed
    unit = plan.unit.value
    return BenchLook(
        "setting",
        index,
        LookTime.SETTING,
        say("practice.look.setting.asked", temperature=needed, unit=unit),
        say("practice.look.setting.seen", temperature=shown, unit=unit),
        SlipKind.LAST_SETTING if slip else None,
        f"{shown} °{unit}",
        SlipOutcome(
            "hot" if shown > needed else "cold",
            (("shown", shown), ("asked", needed), ("unit", unit)),
        ),
    )


def _bag(number: str, index: int, slip: bool, dice: Random) -> BenchLook:
    """Return a look at the digits in the bag: right, a 9 for a 6, or one too many."""
    held, kind = number, None
    if slip:
        turned = number.translate(str.maketrans("69", "96"))
        kind = (
            SlipKind.SIX_NINE
            if turned != number and dice.random() < 0.5
            else SlipKind.DIGIT_TOO_MANY
        )
        held = turned if kind is SlipKind.SIX_NINE else number + dice.choice(number)
    digits = tuple(held)
    return BenchLook(
        "bag",
        index,
        LookTime.BEFORE,
        say("practice.look.bag.asked", number=number),
        say("practice.look.bag.seen", digits=digits),
        kind,
        " ".join(digits),
        SlipOutcome(
            "turned" if kind is SlipKind.SIX_NINE else "digit",
            (("held", held), ("number", number)),
            Worn(held),
        ),
    )


def _border(
    plan: Plan,
    passage: Pass,
    garment: Garment,
    index: int,
    slip: bool,
    dice: Random,
    length: Length,
) -> BenchLook:
    """Return a look at the border on four sides: even enough, or off by more than allowed."""
    pieces = pieces_of(plan, passage)
    element = pieces[passage.steps[index].pieces[0]].element
    height = element_heights(plan, passage.panel, garment.size).get(element, 8.0)
    own = border(height)
    off = own.most_off * (dice.choice((2.0, 3.0)) if slip else dice.choice((0.0, 0.5)))
    across = dice.random() < 0.5
    sides = (own.width - off, own.width + off)
    even = (own.width, own.width)
    left, right = sides if across else even
    collar, hem = even if across else sides
    near, far = (hem, collar) if plan.collar_toward_operator else (collar, hem)
    drawn = Sides(left / own.width, right / own.width, near / own.width, far / own.width)
    return BenchLook(
        "border",
        index,
        LookTime.AFTER,
        say("practice.look.border.asked", width=length(own.width), most=length(own.most_off)),
        say(
            "practice.look.border.seen",
            left=length(left),
            right=length(right),
            above=length(collar),
            below=length(hem),
        ),
        SlipKind.BORDER if slip else None,
        drawn,
        SlipOutcome("border", (("narrow", length(sides[0])), ("wide", length(sides[1]))), drawn),
    )


def _sheet(passage: Pass, closing: int, slip: bool) -> BenchLook:
    """Return a look at whether the cover sheet is on right before a closing."""
    required = passage.steps[closing].sheet
    on = required is not slip
    return BenchLook(
        "sheet",
        closing,
        LookTime.AFTER,
        say(
            "practice.look.sheet.asked",
            sheet=say("sheet_line.on" if required else "sheet_line.off"),
        ),
        say(f"practice.look.sheet.seen_{'on' if on else 'off'}"),
        SlipKind.SHEET if slip else None,
        outcome=SlipOutcome("sheet_on" if on else "no_sheet"),
    )
