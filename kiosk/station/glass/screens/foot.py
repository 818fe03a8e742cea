"""The forward bar and the buttons beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil

from kiosk.catalog.base import Message, dataclass, say
from kiosk.run.facts import BarOwner, ScreenKind
from kiosk.run.show import View
from kiosk.run.state import PutOnHold, TicketStage, Verb
from kiosk.station.desk.sheet import ChipTouched
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens.ask import Choices
from kiosk.station.glass.screens.page import Areas, WorkPage
from kiosk.station.glass.screens.plates import due_chips
from kiosk.station.glass.theme import AMBER, DIM, INK, MUTED, NIGHT, PAPER, SLATE, SNOW, Colour
from kiosk.station.glass.type import CAPITAL, Style, breadth, height
from kiosk.station.glass.widgets.buttons import (
    INSET_MM,
    SIDE_FRAME_MM,
    ForwardBar,
    PaperButton,
    SideButton,
    alike,
)
from kiosk.station.glass.widgets.paint import frame

DARK = frozenset({ScreenKind.HEAT, ScreenKind.OVER, ScreenKind.UNASKED})


@dataclass(frozen=True, slots=True)
class Foot:
    """What can be touched at the foot of the screen; None for a missing button."""

    bar: Box
    back: Box | None
    right: Box | None


def draw_foot(
    page: WorkPage,
    view: View,
    places: Areas,
    judging: Judging | None,
    reading: bool,
    progress: ChoiceProgress,
) -> Foot:
    """Draw the bar, back at its left, hold or opened at its right."""
    dark = view.kind in DARK
    label, below = _bar_words(page, view, judging, reading)
    colours = _bar_colours(view, dark, judging, reading)
    page.put(ForwardBar, places.bar, page.scale, label, below, *colours)
    own_page = judging is not None or reading
    leaves = own_page or bool(view.touched)
    back = places.left if (view.back and not dark) or leaves else None
    bar_opens = view.bar.meaning is not None and view.bar.meaning.verb is Verb.OPENED
    right = places.right if (view.opened and not bar_opens) or view.hold else None
    side = (SLATE, SNOW) if dark else (INK, PAPER)
    if back is not None and leaves:
        look = None if own_page else ChipTouched(view.touched)  # a second touch ends the look
        leave = lambda: progress.turn(earlier(judging)) if look is None else page.act(look)  # noqa: E731 - used once
        _stepped(page, back, page.word("cancel"), side, progress.choices, leave)
    elif back is not None:
        page.put(SideButton, back, page.scale, page.word("back"), *side)
    has_question = progress.choices.buttons and not own_page
    if right is not None and has_question and not view.opened:
        hold = lambda: page.act(PutOnHold())  # noqa: E731 - used once
        _stepped(page, right, page.word("hold"), side, progress.choices, hold)
    elif right is not None:
        word = page.word("opened" if view.opened else "hold")
        page.put(SideButton, right, page.scale, word, *side)
    return Foot(places.bar, back, right)


def _bar_words(
    page: WorkPage, view: View, judging: Judging | None, reading: bool
) -> tuple[str, str]:
    if judging is not None:
        id_ = "touch_cause" if judging.defect else "touch_class"
        label = page.word(id_ if judging.stage is not None else "touch_cooling")
        return label, page.say(say("below.leave_it"))
    if reading:
        return page.word("enter_shown"), page.word("pedal_steps")
    return page.say(view.bar.label), page.say(view.bar.below)


def _stepped(
    page: WorkPage,
    box: Box,
    word: str,
    colours: tuple[Colour, Colour],
    choices: Choices,
    act: Leave,
) -> None:
    """Draw a side button that the pedal can step to: a question can then be left by pedal alone."""
    button = SideButton(box, page.scale, word, *colours)
    page.add(button)
    choices.buttons.append(SideChoice(button, page.scale, colours[1], act))


def _bar_colours(
    view: View, dark: bool, judging: Judging | None, reading: bool
) -> tuple[Colour, Colour, Colour]:
    """Return the colours of ground, label and line; a bar that refuses does not look pressable."""
    if judging is None and view.bar.owner is BarOwner.OVER:
        return AMBER, INK, INK
    if dark:
        rack = judging is None and view.bar.owner is BarOwner.RACK
        return (SNOW, NIGHT, NIGHT) if rack else (SLATE, SNOW, DIM)
    leads_on = (
        view.kind is ScreenKind.SETTING and view.ask is not None and not reading
    )  # the bar leads to the page for reading it
    refuses = judging is not None or (view.bar.meaning is None and not leads_on)
    return (PAPER, INK, MUTED) if refuses else (INK, PAPER, PAPER)


@dataclass(frozen=True, slots=True)
class Judging:
    """How far an inspection is: `stage` (None: how it cools is asked), then the defect."""

    ticket: str
    number: str
    stage: TicketStage | None
    defect: str = ""
    reads: bool = False  # a thermometer's reading is being entered


Turn = Callable[[Judging | None], None]
Leave = Callable[[], None]


def earlier(judging: Judging | None) -> Judging | None:
    """Return the page of an inspection before this one, None for the work screen."""
    if judging is not None and (judging.defect or judging.reads):
        return replace(judging, defect="", reads=False)
    return None


@dataclass(frozen=True, slots=True)
class ChoiceProgress:
    """Where a choice leads, what a pedal steps through, and the figures typed so far."""

    turn: Turn
    choices: Choices
    typed: list[str]


@dataclass(frozen=True, slots=True)
class SideChoice:
    """A side button as a choice for the pedal; a thick frame marks the current one."""

    button: SideButton
    scale: Scale
    edge: Colour
    on_press: Leave

    @property
    def label(self) -> str:
        """The word on it."""
        return self.button.label

    def fill_in(self, filled: bool) -> None:
        """Draw or remove the mark."""
        after, box = self.button.canvas.after, self.button.box.inset(self.scale.mm(SIDE_FRAME_MM))
        after.clear()
        if filled:
            with after:
                frame(box, self.edge, self.scale.mm(1.2))


def grid(
    page: WorkPage,
    content: Box,
    title: str,
    words: Sequence[tuple[str, Callable[[], None]]],
    choices: Choices,
) -> None:
    """Draw a title and, below it, choices to touch or step through."""
    scale, head = page.scale, height(1, page.scale.line / CAPITAL)
    columns, gap = _columns(scale, len(words), content.h - head)
    rows = -(-len(words) // columns)
    top, room = content.from_top(head, gap)
    page.text(title, top, Style(scale.small, scale.line * 1.2, bold=True, rows=1))
    tall = min(room.h, rows * scale.mm(22) + (rows - 1) * gap)
    labels = [word for word, _ in words]
    wides = columns_for(
        scale, room.w - gap * (columns - 1), [labels[n::columns] for n in range(columns)]
    )
    boxes = room.from_top(tall)[0].table(wides, rows, gap)
    most = alike(scale, [(box, word, "") for box, (word, _) in zip(boxes, words, strict=False)])
    for box, (word, choose) in zip(boxes, words, strict=False):
        button = PaperButton(box, scale, word, choose, most=most)
        page.add(button)
        choices.buttons.append(button)


def columns_for(scale: Scale, wide: float, labels: Sequence[Sequence[str]]) -> tuple[float, ...]:
    """Return the widths of columns of buttons in `wide` px for their `labels`: equal if they fit.

    Otherwise each gets a share by its longest word, so that all words can have one size.
    """
    em, inset = scale.label / CAPITAL, 2 * scale.mm(INSET_MM)
    needs = [
        max((breadth(word, True) for label in column for word in label.split()), default=0.0)
        for column in labels
    ]
    equal = wide / len(needs)
    if max(needs) * em + inset <= equal:
        return (equal,) * len(needs)
    needs = [max(scale.target, need * em + inset) for need in needs]
    spare = (wide - scale.target * len(needs)) / max(1.0, sum(needs) - scale.target * len(needs))
    return tuple(scale.target + (need - scale.target) * spare for need in needs)


def _columns(scale: Scale, count: int, room: float) -> tuple[int, float]:
    """Return columns for `count` choices and their gap, which shrinks before a column is added."""
    columns = 2 if scale.portrait else 3
    while True:
        for gap in (scale.mm(2.0), scale.mm(1.2)):
            if -(-count // columns) * (scale.target + gap) <= room:
                return columns, gap
        columns += 1


def picture_key(view: View) -> tuple[object, ...]:
    """Return everything that redraws a screen when it changes; seconds and chip progress do not."""
    time = view.countdown
    return (
        view.kind,
        (view.job, view.title, view.nth, view.count, view.setting, view.ribbon, view.finish),
        (view.ticket, view.line, view.number, view.set, view.size, view.panel),
        (view.move, _lines(view), view.sheet_word),
        (view.peel, view.peel_word, view.peel_line, view.phase, view.border_check),
        (view.stack, view.pieces, view.ask, view.warnings),
        (view.bar.label, view.bar.below, view.bar.owner, view.bar.meaning),
        (view.back, view.hold, view.opened),
        (tuple((chip.ticket, chip.following) for chip in view.chips), view.aside),
        due_chips(view) if view.kind is ScreenKind.SETTING else (),
        (view.inspecting, view.inspect_ticket, view.inspect_number, view.stage_peel),
        (view.inspect_scrap, view.inspect_cools, view.inspect_lies, view.touched, view.upcoming),
        view.open_since is None or len(view.open_lines),
        None
        if time is None
        else (time.total, time.counting_in > 0, len(str(ceil(abs(time.left)))) > 2),
    )


def _lines(view: View) -> tuple[object, ...]:
    """Return the lines without their seconds, which change in place."""
    if view.kind in DARK:
        return tuple(line.id for line in view.lines)
    return tuple(_less_seconds(line) for line in view.lines)


WITH_BASIS = "line.zone"  # how long to wait, and what that is based on


def _less_seconds(line: Message) -> object:
    """Return what redraws a line when it changes; a late line counts in full."""
    if line.id == WITH_BASIS:
        zone = line.values["zone"]
        return zone.id if isinstance(zone, Message) else zone, line.values["beside"]
    return "time" if shows_seconds(line) and not is_late(line) else line


def shows_seconds(line: Message) -> bool:
    """Return whether a line of a light screen shows seconds that run down."""
    return line.id.startswith("time.") or line.id == WITH_BASIS


def is_late(line: Message) -> bool:
    """Return whether a line reports that a peel is overdue."""
    return line.id in {"time.late", "time.late_about", "time.hot.late"}
