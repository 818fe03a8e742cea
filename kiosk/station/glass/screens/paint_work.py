"""Paints one view: ground, header, ribbon, content and foot, with OPEN and the rack on top."""

from collections.abc import Callable, Sequence
from dataclasses import field
from math import floor

from kiosk.catalog.base import dataclass
from kiosk.run.facts import ScreenKind
from kiosk.run.show import Chip, ChoiceView, View
from kiosk.station.desk.sheet import HoldOption
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens import ask, plates
from kiosk.station.glass.screens.dark import draw_dark
from kiosk.station.glass.screens.enlarged_lay import FromAfar, draw_closer
from kiosk.station.glass.screens.foot import DARK, ChoiceProgress, Foot, Judging, Turn, draw_foot
from kiosk.station.glass.screens.light import draw_light, gives_reason, words_of
from kiosk.station.glass.screens.light_parts import SideFigure
from kiosk.station.glass.screens.page import Areas, WorkPage, areas
from kiosk.station.glass.screens.results import (
    draw_judging,
    draw_results,
    results_rows,
    results_width,
)
from kiosk.station.glass.screens.side import LAY_PHASES, draw_figure, drawn_lines, lay_height
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import Style, TextBlock, column
from kiosk.station.glass.widgets import heading
from kiosk.station.glass.widgets.buttons import PaperButton, alike
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.ribbon import Ribbon, ribbon_height, rows_of
from kiosk.station.glass.widgets.text import Text


def draw_open_first(page: WorkPage, view: View, content: Box) -> None:
    """Draw the page after a stop in heat: a dark plate that says OPEN first of all."""
    scale = page.scale
    below = plates.number_height(scale.big * 1.15) if view.number else 0.0
    row, plate = content.from_bottom(below, scale.mm(2.5) if below else 0.0)
    with page.root.canvas:
        fill(plate, INK)
    blocks, _ = words_of(page, view)
    blocks[0] = blocks[0]._replace(style=Style(scale.big, scale.big * 1.9, bold=True))
    page.column(plate.inset(scale.mm(4), scale.mm(2.5)), blocks, [PAPER] * len(blocks), middle=True)
    if view.number:
        plates.draw_wearer(page, view, plates.draw_number(page, view, row, scale.big * 1.15))


GAP_MM = 1.5


def draw_rack(page: WorkPage, view: View, box: Box) -> None:
    """Draw the rack, then what is put aside, at 16' from afar; what does not fit is counted."""
    scale = FromAfar(page.scale.size, page.scale.screen_inches)
    style = Style(scale.small, scale.small * 1.3, bold=True, rows=2)
    order = sorted(range(len(view.chips)), key=lambda i: not view.chips[i].following)
    gap = scale.mm(GAP_MM)
    rows = [_chip_row(page, view.chips[i]) for i in order]
    rows += [f"{each.number} · {page.say(each.word)}" for each in view.aside]
    blocks: list[TextBlock] = []
    for count in range(len(rows), 0, -1):
        more = [f"+{len(rows) - count}"] if count < len(rows) else []
        blocks = [TextBlock(text, style, gap) for text in (*rows[:count], *more)]
        if column(blocks, box.w, box.h)[1] == 1.0:
            break
    texts = page.column(box, blocks, [page.shade.text] * len(blocks))
    for index, text in zip(order, texts, strict=False):
        if text.text.startswith("+"):
            continue
        page.live.append(_updater(page, text, index))


def _chip_row(page: WorkPage, chip: Chip) -> str:
    """Return the garment's number and when it is due."""
    return f"{chip.number} · {page.say(chip.line)}"


def _updater(page: WorkPage, text: Text, index: int) -> Callable[[View], None]:
    """Return an update for the seconds of a row."""
    return lambda later: text.say(_chip_row(page, later.chips[index]))


LARGE_INCHES = 12.0  # on smaller screens the border check needs the room of the ribbon's names


@dataclass(frozen=True, slots=True)
class PaintRequest:
    """What to paint besides the view."""

    judging: Judging | None
    options: Sequence[HoldOption]
    choose: Callable[[object], None]
    turn: Turn
    flags: tuple[str, ...] = ()
    typed: list[str] = field(default_factory=list)
    stepping: bool = False  # a pedal steps through the choices of a question that has a pad
    closer: str = ""  # "lay" or "rack" after a touch: it is shown over the page
    reading: bool = False  # what the press shows is being entered: nothing may give it away


@dataclass(frozen=True, slots=True)
class PaintResult:
    """What the screen needs to know of what it painted."""

    foot: Foot
    choices: ask.Choices
    notices: Box
    opening: bool  # notices go into the dark strip that says OPEN


def paint(page: WorkPage, view: View, whole: Box, request: PaintRequest) -> PaintResult:
    """Paint a view from scratch."""
    opening = view.open_since is not None and view.kind not in DARK
    words = _heading(page, view, request)
    inner = whole.w - 2 * page.scale.margin
    head = (
        heading.open_height(page.scale)
        if opening
        else heading.heading_height(page.scale, words, inner)
    )
    checked = view.border_check and page.scale.screen_inches < LARGE_INCHES
    upright = page.scale.portrait
    low = opening and (page.scale.near if upright else page.scale.near or checked)
    low = low and (not upright or view.phase in LAY_PHASES)
    low = low or (page.scale.near and upright and gives_reason(view) and bool(view.pieces))
    rows = rows_of(page.scale, [page.say(mark.label) for mark in view.ribbon], inner)
    ribbon_tall = ribbon_height(page.scale, low, rows) if view.ribbon else 0.0
    to_edge = view.kind in DARK and request.judging is None
    places = areas(whole, page.scale, head, ribbon_tall, to_edge)
    free = _open(page, view, whole) if opening else None
    if not opening:
        page.put(heading.Heading, places.header, page.scale, words, page.shade)
    page.put(Ribbon, places.ribbon, page.scale, view.ribbon, page.words.say, page.shade, low)
    choices = ask.Choices()
    _content(page, view, places, request, choices)
    progress = ChoiceProgress(request.turn, choices, request.typed)
    foot = draw_foot(page, view, places, request.judging, request.reading, progress)
    return PaintResult(foot, choices, _for_notices(page, whole, places, free), free is not None)


def _for_notices(page: WorkPage, whole: Box, places: Areas, free: Box | None) -> Box:
    """Return the room for notices: header and ribbon, or what OPEN leaves of them."""
    low = places.content.top + page.scale.mm(0.8)
    if free is None:
        return Box(whole.x, low, whole.w, whole.top - low)
    return Box(whole.x, low, whole.w, free.top - low) if heading.is_narrow(page.scale) else free


def _heading(page: WorkPage, view: View, request: PaintRequest) -> heading.HeaderWords:
    nth = page.word("garment", nth=view.nth, count=view.count) if view.nth else ""
    brief = page.word("garment_brief", nth=view.nth, count=view.count) if view.nth else ""
    done = page.say(view.finish) if view.finish is not None else ""
    setting = "" if request.reading else page.say(view.setting)
    alone = "" if request.reading else page.words.brief(view.setting)
    title = " · ".join((*request.flags, view.title))
    return heading.HeaderWords(title, nth, setting, done, brief, alone)


def _open(page: WorkPage, view: View, whole: Box) -> Box:
    """Draw a dark strip until the press is seen open; return the part a notice can take."""
    strip = whole.from_top(heading.open_height(page.scale))[0]
    open_strip = heading.OpenStrip(strip, page.scale, open_words(page, view), INK, PAPER)
    page.add(open_strip)
    page.live.append(lambda later: open_strip.show(open_words(page, later)))
    return open_strip.free


def open_words(page: WorkPage, view: View) -> tuple[str, ...]:
    """Return OPEN, the seconds since the tone, and how the press opens."""
    since = floor(view.open_since or 0.0)
    first = page.say(view.open_lines[0]) if view.open_lines else ""
    how = page.say(view.open_lines[2]) if len(view.open_lines) > 2 else ""
    return first, page.word("seconds", seconds=since), f"{page.word('since_tone')} · {how}"


def _content(
    page: WorkPage, view: View, places: Areas, request: PaintRequest, choices: ask.Choices
) -> None:
    content = places.content
    if request.judging is not None:
        draw_judging(
            page,
            view,
            content,
            request.judging,
            ChoiceProgress(request.turn, choices, request.typed),
        )
    elif view.kind is ScreenKind.ASK and view.ask is not None and view.ask.choices:
        if view.ask.pad and not request.stepping:
            ask.draw_asked_number(page, view, content)
        else:
            ask.draw_ask(page, view, content, choices)
    elif view.kind is ScreenKind.ASK_CLOSED:
        ask.draw_closed(page, view, content, choices)
    elif view.ask is not None and not view.ask.choices:
        _setting(page, view, view.ask, content, choices if request.reading else None)
    elif view.kind is ScreenKind.OPEN_FIRST:
        draw_open_first(page, view, content)
    elif view.kind in DARK:
        results = _results(request, choices) if view.inspecting else None
        draw_dark(page, view, content, draw_rack if request.closer else results)
    elif request.closer == "rack":
        plates.draw_sheet(page, view, content)
        draw_rack(page, view, content.from_top(plates.plate_size(page)[1], page.scale.mm(2.0))[1])
    elif request.closer:
        draw_closer(page, view, content)
    else:
        draw_light(page, view, content, _figure(page, view, request, choices, content.w))


def _setting(
    page: WorkPage, view: View, asked: ChoiceView, content: Box, choices: ask.Choices | None
) -> None:
    """Draw what to set the press to, above what is due on the rack; with `choices`, its reading."""
    if choices is not None:
        ask.draw_reading(page, asked, content, choices)
    else:
        ask.draw_setting(page, asked, plates.draw_due(page, view, content), view)


def _figure(
    page: WorkPage, view: View, request: PaintRequest, choices: ask.Choices, width: float
) -> SideFigure:
    if view.inspecting:
        rows = results_rows(page, view, width)
        tall = rows * page.scale.target * 1.15 + (rows - 1) * page.scale.mm(2.5)
        across = tall if page.scale.portrait else 0.0
        return SideFigure(_results(request, choices), needs=results_width, across=across, rows=2)
    if request.options:
        rows = -(-len(request.options) // 2)
        across = rows * (page.scale.target + page.scale.mm(2.5)) if page.scale.portrait else 0.0
        options = lambda page, view, box: _options(page, box, request)  # noqa: E731 - a figure
        return SideFigure(options, needs=options_width, across=across, rows=rows)
    is_lay = view.phase in LAY_PHASES and bool(view.pieces)
    return SideFigure(draw_figure, is_lay=is_lay, shows=drawn_lines, tall=lay_height)


def _results(request: PaintRequest, choices: ask.Choices) -> Callable[[WorkPage, View, Box], None]:
    return lambda page, view, box: draw_results(page, view, box, request.turn, choices)


def _options(page: WorkPage, box: Box, request: PaintRequest) -> None:
    """Draw the further options in as many rows as fit, in two columns if necessary."""
    gap = page.scale.mm(2.5)
    count = len(request.options)
    columns = 1 if count * (page.scale.target + gap) <= box.h + gap else 2  # two across a foot
    rows = -(-count // columns)
    tall = min(box.h, rows * page.scale.mm(20) + (rows - 1) * gap)
    boxes = box.from_bottom(tall)[0].grid(columns, rows, gap)
    texts = [_option_words(page, option) for option in request.options]
    most = alike(page.scale, [(place, *words) for place, words in zip(boxes, texts, strict=False)])
    for place, option, words in zip(boxes, request.options, texts, strict=False):
        _option(page, place, option, words, request, most)


def options_width(page: WorkPage, view: View, height: float) -> float:
    """Return the least width of the options: their labels are sentences."""
    return page.scale.mm(60)


def _option_words(page: WorkPage, option: HoldOption) -> tuple[str, str]:
    return page.say(option.label), page.say(option.line) if option.line is not None else ""


def _option(
    page: WorkPage,
    box: Box,
    option: HoldOption,
    words: tuple[str, str],
    request: PaintRequest,
    most: float,
) -> None:
    choose = lambda: request.choose(option.action)  # noqa: E731 - used once
    page.add(PaperButton(box, page.scale, words[0], choose, words[1], "left", most=most))
