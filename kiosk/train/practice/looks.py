"""What practice asks: looks with the slips that it puts in, the next step, what to read after."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from random import Random

from kiosk.catalog.base import Message, say
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Plan, Step
from kiosk.plan.place import element_heights
from kiosk.plan.sizes import border
from kiosk.run.state import Garment
from kiosk.train.practice.levels import Level, step_name

SLIPS_IN = 0.5
"""The share of looks that find something wrong: as often as not, so that a look is a look."""

Length = Callable[[float], str]


class Slip(Enum):
    """What is put in on purpose."""

    SIX_NINE = "six nine"
    LAST_SETTING = "last setting"
    DIGIT_TOO_MANY = "digit too many"
    SHEET = "sheet"
    BORDER = "border"


class When(Enum):
    """When a look is asked for."""

    SETTING = "setting"  # before the press is said to be set
    BEFORE = "before"  # as the step begins
    AFTER = "after"  # as it is confirmed


@dataclass(frozen=True, slots=True)
class Sides:
    """The border of a piece on a piece as the hands see it, in parts of its width."""

    left: float
    right: float
    above: float
    below: float


@dataclass(frozen=True, slots=True)
class Look:
    """A look at step `index`: what is asked of it, what is seen, and the slip, if there is one.

    `shown` is what is to be drawn of it: what stands on a display or in a bag, or a border.
    """

    name: str
    index: int
    when: When
    asked: Message
    seen: Message
    slip: Slip | None
    shown: str | Sides | None = None

    @property
    def hint(self) -> Message:
        """What to look for, said while there is help."""
        return say(f"practice.look.{self.name}.hint")


def looks(
    plan: Plan, passage: Pass, garment: Garment, dice: Random, length: Length, sure: bool
) -> tuple[Look, ...]:
    """Return the looks of one garment in a pass; `sure` that at least one finds a slip.

    `length` writes a length in inches as the station's ruler has it.
    """
    found = [
        make(dice.random() < SLIPS_IN) for make in _makers(plan, passage, garment, dice, length)
    ]
    if sure and found and not any(look.slip for look in found):
        again = _makers(plan, passage, garment, dice, length)
        nth = dice.randrange(len(found))
        found[nth] = again[nth](True)
    return tuple(found)


Make = Callable[[bool], Look]


def _makers(
    plan: Plan, passage: Pass, garment: Garment, dice: Random, length: Length
) -> list[Make]:
    found: list[Make] = []
    steps = passage.steps
    hot = next((i for i, step in enumerate(steps) if step.phase in HOT_PHASES), None)
    if hot is not None:
        found.append(lambda slip: _setting(plan, steps[hot], hot, slip, dice))
    lay = next((i for i, step in enumerate(steps) if _lays_number(step)), None)
    if lay is not None and garment.number.isdecimal():
        found.append(lambda slip: _bag(garment.number, lay, slip, dice))
    top = [i for i, step in enumerate(steps) if step.phase is Phase.LAY_TOP]
    if top:
        found.append(lambda slip: _border(plan, passage, garment, top[-1], slip, dice, length))
    closings = [i for i, step in enumerate(steps) if step.phase in (Phase.TACK, Phase.FINAL)]
    if closings:
        found.append(lambda slip: _sheet(passage, dice.choice(closings), slip))
    return found


def _lays_number(step: Step) -> bool:
    laying = step.phase in (Phase.LAY, Phase.LAY_TOP)
    return laying and any(name.startswith("number.") for name in step.pieces)


def _setting(plan: Plan, step: Step, index: int, slip: bool, dice: Random) -> Look:
    """The press stands where the last job left it, or as asked."""
    needed = step.temperature or 0
    shown = needed + dice.choice((-40, -30, -20, 20, 30)) if slip else needed
    unit = plan.unit.value
    return Look(
        "setting",
        index,
        When.SETTING,
        say("practice.look.setting.asked", temperature=needed, unit=unit),
        say("practice.look.setting.seen", temperature=shown, unit=unit),
        Slip.LAST_SETTING if slip else None,
        f"{shown} °{unit}",
    )


def _bag(number: str, index: int, slip: bool, dice: Random) -> Look:
    """The digits in the bag: a 9 for a 6, one too many, or the right ones."""
    held, kind = number, None
    if slip:
        turned = number.translate(str.maketrans("69", "96"))
        kind = Slip.SIX_NINE if turned != number and dice.random() < 0.5 else Slip.DIGIT_TOO_MANY
        held = turned if kind is Slip.SIX_NINE else number + dice.choice(number)
    digits = tuple(held)
    return Look(
        "bag",
        index,
        When.BEFORE,
        say("practice.look.bag.asked", number=number),
        say("practice.look.bag.seen", digits=digits),
        kind,
        " ".join(digits),
    )


def _border(
    plan: Plan,
    passage: Pass,
    garment: Garment,
    index: int,
    slip: bool,
    dice: Random,
    length: Length,
) -> Look:
    """The border left and right, above and below: off by more than the first grade, or not."""
    pieces = {p.name: p for p in plan.pieces if p.panel in ("", passage.panel)}
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
    return Look(
        "border",
        index,
        When.AFTER,
        say("practice.look.border.asked", width=length(own.width), most=length(own.most_off)),
        say(
            "practice.look.border.seen",
            left=length(left),
            right=length(right),
            above=length(collar),
            below=length(hem),
        ),
        Slip.BORDER if slip else None,
        Sides(left / own.width, right / own.width, near / own.width, far / own.width),
    )


def _sheet(passage: Pass, closing: int, slip: bool) -> Look:
    """The cover sheet lies on top, or not, right before a closing."""
    wanted = passage.steps[closing].sheet
    on = wanted is not slip
    return Look(
        "sheet",
        closing,
        When.AFTER,
        say(
            "practice.look.sheet.asked", sheet=say("sheet_line.on" if wanted else "sheet_line.off")
        ),
        say(f"practice.look.sheet.seen_{'on' if on else 'off'}"),
        Slip.SHEET if slip else None,
    )


MOST_CHOICES = 4
GO_ON = say("practice.go_on")


@dataclass(frozen=True, slots=True)
class Asked:
    """A page of practice: its title, its lines, and what can be chosen, one of it right.

    `index` is the step that it is about, `look` the look where it is one, `why` where it asks for
    the step's reason. With one choice it is only to be read.
    """

    title: Message
    lines: tuple[Message, ...]
    choices: tuple[Message, ...]
    right: int
    index: int
    look: Look | None = None
    why: bool = False


def ask_look(look: Look, level: Level) -> Asked:
    """Return the question of a look: is it as it should be? A hint while there is help."""
    hint = (look.hint,) if level <= Level.GUIDED else ()
    return Asked(
        say(f"practice.look.{look.name}"),
        (look.seen, look.asked, *hint),
        (say(f"practice.look.{look.name}.fits"), say(f"practice.look.{look.name}.stop")),
        0 if look.slip is None else 1,
        look.index,
        look,
    )


def ask_next(passage: Pass, index: int, dice: Random) -> Asked:
    """Return the question which of the procedure's steps comes next."""
    others = [n for n in range(len(passage.steps)) if n != index]
    taken = dice.sample(others, min(MOST_CHOICES - 1, len(others)))
    shown = sorted([index, *taken], key=lambda n: dice.random())
    return Asked(
        say("practice.what_next"),
        (),
        tuple(step_name(passage, n) for n in shown),
        shown.index(index),
        index,
    )


def ask_why(passage: Pass, index: int, dice: Random) -> Asked | None:
    """Return the question why a step is there, among the other steps' reasons; None without one."""
    own = passage.steps[index]
    steps = [
        step for step in passage.steps if step.phase is not own.phase
    ]  # one tack is as another
    others = [
        why for why in dict.fromkeys(step.why for step in steps) if why not in (None, own.why)
    ]
    if own.why is None or not others:
        return None
    taken = [own.why, *dice.sample(others, min(MOST_CHOICES - 2, len(others)))]
    shown = sorted(filter(None, taken), key=lambda each: dice.random())
    title = say("practice.why", step=step_name(passage, index))
    return Asked(title, (), tuple(shown), shown.index(own.why), index, why=True)


def explain(asked: Asked, passage: Pass) -> Asked:
    """Return what is to be read after a wrong answer: the right one, and why."""
    why = passage.steps[asked.index].why
    reasons: tuple[Message, ...] = (asked.choices[asked.right],)
    if asked.look is not None:
        reasons = (asked.look.seen, asked.look.asked, asked.look.hint)
    elif why is not None:
        reasons = (*reasons, why)
    missed = asked.look is not None and asked.look.slip is not None
    title = say("practice.missed" if missed else "practice.not_so")
    lines = (*reasons, say("practice.help_back"))
    return Asked(title, lines, (GO_ON,), 0, asked.index)
