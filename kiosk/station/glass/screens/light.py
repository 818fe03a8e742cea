"""The light screen: number and wearer, the move and its lines, a drawing or buttons."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from typing import NamedTuple

from kiosk.catalog.base import Message
from kiosk.run.facts import ScreenKind
from kiosk.run.show import NextGarment, View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens import light_parts, plates
from kiosk.station.glass.screens.dark_words import next_lines
from kiosk.station.glass.screens.foot import is_late, shows_seconds
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.theme import Colour
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, breadth, column
from kiosk.station.glass.widgets.ribbon import chip_height
from kiosk.station.glass.widgets.text import Text

DRAWN_LINES = ("line.load.toward", "line.load.away", "line.border")  # what the lay drawing can show
BRIEF_BELOW = 0.94  # share of their least height; below it the lines use fewer words
LAY_TALL = 1 / 3  # of the screen's height, for the platen of a lay drawing
LAY_UPRIGHT = 0.2  # of the height of a larger screen in portrait
LAY_SEEN_MM = 15.0  # a lower platen cannot be read
WORTH = 1.08  # by this factor it must grow for something to be left out
WHY = "plan.why."  # the reason of a step, in practice
_SAME = "edges", "last_moment", "liner", "load.flat", "load.seams", "load.seams_flat", "sheet"
REMINDERS = frozenset(f"line.{each}" for each in _SAME)
"""Lines that are the same for every garment: they give way to a lay drawing."""
REMARK_NEAR_MM = 55.0  # beside the number on a small screen
WHOLE_PIXELS = 1.025  # so that rounding to whole pixels takes nothing of the height


def draw_light(page: WorkPage, view: View, content: Box, figure: light_parts.SideFigure) -> None:
    """Draw a light screen."""
    view = _with_room(page, view, content, figure)
    if page.scale.portrait and view.peel is not None:
        view = replace(view, upcoming=None)  # the wearer's name needs the height to be compared
    plates.draw_sheet(page, view, content)
    say = _on_one_row(page, content) if figure.is_lay else page.say
    all_lines = view.lines  # as in later views
    view, boxes = _divide(page, view, content, figure, say)
    if boxes.chips is not None:
        plates.draw_chips(page, view, boxes.chips)
    figure.draw(page, view, boxes.figure)
    view = _without(view, page.needless)
    blocks, colours = words_of(page, view, say)
    if view.number:
        _number(page, view, boxes)
    share = column(blocks, boxes.text.w, boxes.text.h)[1]
    if share < BRIEF_BELOW:  # fewer words, rather than letters too small for their distance
        fewer, _ = words_of(page, view, page.words.brief)
        if column(fewer, boxes.text.w, boxes.text.h)[1] > share:
            blocks, say = fewer, page.words.brief
    if view.upcoming is not None and not page.scale.near:  # on small screens its lines do not fit
        blocks, colours = _with_next(page, view.upcoming, blocks, colours, boxes.text)
    late = {nth for nth, line in enumerate(view.lines, 1) if is_late(line)}
    texts = page.column(boxes.text, blocks, colours, late=late)
    for nth, line in enumerate(view.lines):
        if shows_seconds(line):
            page.live.append(_updater(say, texts[nth + 1], all_lines.index(line)))
    if view.peel is not None:
        plates.draw_peel(page, view, boxes.side.from_top(plates.peel_height(page))[0])


def _on_one_row(page: WorkPage, content: Box) -> Callable[[Message], str]:
    """Return a function that words a line: in full if it fits on one row, else in brief."""
    scale = page.scale
    aside = (
        0.0
        if scale.portrait
        else scale.size[0] * light_parts.LAY_SHARE + scale.mm(light_parts.LAY_GAP_MM)
    )
    ems = (content.w - aside) * CAPITAL / scale.line

    def say(line: Message) -> str:
        full = page.say(line)
        return full if breadth(full, False) * 0.95 <= ems else page.words.brief(line)

    return say


def _divide(
    page: WorkPage,
    view: View,
    content: Box,
    figure: light_parts.SideFigure,
    say: Callable[[Message], str],
) -> tuple[View, light_parts.LightBoxes]:
    """Divide a page so that a lay drawing is large enough to be read from afar.

    A reason in practice is made smaller for it. On a small page, and in portrait, reminders give
    way to it, the last one first; if it still could not be seen, so does what is beside it.
    """
    scale = page.scale
    ways = list(_ways(view) if scale.near else _by_reason(view, upright=scale.portrait))
    least_lay = (LAY_TALL if scale.near else LAY_UPRIGHT) * scale.size[1]
    if not figure.is_lay or len(ways) == 1:
        return view, _divide_for_lines(page, view, content, figure, say)
    best: tuple[float, View, light_parts.LightBoxes, LightLayout] | None = None
    for way in ways:
        if way.left_out and best is not None and best[0] >= page.scale.mm(LAY_SEEN_MM):
            break
        page.left_out, page.near_why, page.collar_in_line = way[1:]
        shorter = replace(view, lines=way.lines)
        boxes = _divide_for_lines(page, shorter, content, figure, say)
        tall = figure.tall(page, shorter, boxes.figure)
        if best is None or tall > best[0] * WORTH:
            best = (tall, shorter, boxes, way)
        if tall >= least_lay:
            break
    assert best is not None  # there is at least one way
    page.left_out, page.near_why, page.collar_in_line = best[3][1:]
    return best[1], best[2]


class LightLayout(NamedTuple):
    """Which lines go with a lay drawing, and what is left out beside its platen.

    `near_why` shows the reason in small letters, for close reading; `collar_in_line` keeps the
    collar's direction among the lines, not in the drawing.
    """

    lines: tuple[Message, ...]
    left_out: frozenset[str] = frozenset()
    near_why: bool = False
    collar_in_line: bool = False


def gives_reason(view: View) -> bool:
    """Return whether a line gives the reason of a step, as for a trainee."""
    return any(line.id.startswith(WHY) for line in view.lines)


def _by_reason(view: View, upright: bool = False) -> Iterator[LightLayout]:
    """Yield all lines, then with a step's reason in small letters, if there is one.

    `upright` also yields them without the last reminder.
    """
    yield LightLayout(view.lines)
    why = gives_reason(view)
    if why:
        yield LightLayout(view.lines, near_why=True)
    last = next((line for line in reversed(view.lines) if line.id in REMINDERS), None)
    if upright and last is not None:
        yield LightLayout(tuple(line for line in view.lines if line is not last), near_why=why)


def _ways(view: View) -> Iterator[LightLayout]:
    """Yield all lines, then fewer and fewer; facts of this garment and reasons stay."""
    yield from _by_reason(view)
    why = gives_reason(view)
    if any(line.id.startswith(DRAWN_LINES[:2]) for line in view.lines):
        yield LightLayout(view.lines, near_why=why, collar_in_line=True)
    lines = list(view.lines)
    for line in reversed(view.lines):
        if line.id in REMINDERS:
            lines.remove(line)
            yield LightLayout(tuple(lines), near_why=why)
    for left_out in (("ruler",), ("ruler", "hands"), ("ruler", "hands", "border")):
        yield LightLayout(tuple(lines), frozenset(left_out), why)


def _divide_for_lines(
    page: WorkPage,
    view: View,
    content: Box,
    figure: light_parts.SideFigure,
    say: Callable[[Message], str],
) -> light_parts.LightBoxes:
    """Divide a page for the lines beside the figure: no room for lines that the figure shows."""
    divide = light_parts.portrait if page.scale.portrait else light_parts.landscape
    shorter = _without(view, DRAWN_LINES) if figure.is_lay else view
    boxes = divide(page, shorter, content, words_of(page, shorter, say)[0], figure)
    drawn = figure.shows(page, view, boxes.figure) if figure.is_lay else ()
    if figure.is_lay and (less := _without(view, drawn)) != shorter:
        boxes = divide(page, less, content, words_of(page, less, say)[0], figure)
    return boxes


def _without(view: View, drawn: Collection[str]) -> View:
    """Return the view without the lines that the drawing shows: ids beginning as in `drawn`."""
    lines = tuple(line for line in view.lines if not line.id.startswith(tuple(drawn)))
    return replace(view, lines=lines)


def _number(page: WorkPage, view: View, boxes: light_parts.LightBoxes) -> None:
    """Draw the number, the wearer beside or below it, and a remark if it fits."""
    free = plates.draw_number(page, view, boxes.number, boxes.capital)
    level = page.scale.portrait  # level with the number: its room reaches down to the words
    if page.scale.portrait and free.w < page.scale.mm(30):
        _, free = boxes.number.from_top(plates.number_height(boxes.capital), page.scale.mm(1.5))
        level = False
    elif view.upcoming is not None and page.scale.near:
        free = plates.remark(page, next_lines(page, view.upcoming)[-1], free)
    elif view.peel is None and view.peel_line is not None and _has_room(page, free):
        free = plates.remark(page, page.say(view.peel_line), free)
    plates.draw_wearer(page, view, free, middle=not level)


def _has_room(page: WorkPage, free: Box) -> bool:
    """Return whether a remark leaves room for the wearer's size and panel in one row."""
    wide = page.scale.mm(REMARK_NEAR_MM) if page.scale.near else 0.0
    return not page.scale.portrait and free.w >= wide


def _with_next(
    page: WorkPage, following: NextGarment, blocks: list[TextBlock], colours: list[Colour], box: Box
) -> tuple[list[TextBlock], list[Colour]]:
    """Put what comes next into the last block: in fewer words or not at all if it does not fit."""
    for words in next_lines(page, following):
        attempt = [*blocks[:-1], blocks[-1]._replace(text=words)]
        if column(attempt, box.w, box.h)[1] == 1.0:
            return attempt, colours
    return blocks[:-1], colours[:-1]


def _updater(say: Callable[[Message], str], text: Text, nth: int) -> Callable[[View], None]:
    """Return an update for a line that shows seconds."""
    return lambda later: text.say(say(later.lines[nth]))


def _with_room(page: WorkPage, view: View, content: Box, figure: light_parts.SideFigure) -> View:
    """Return the view without what gives way to glove-sized buttons on a low screen.

    The peel is also in the move and on its chip; a hold needs no sheet line, nor does a garment
    that only gets its result.
    """
    scale = page.scale
    options_height = figure.rows * (scale.target + scale.mm(2.5))
    chips_height = chip_height(scale) + scale.mm(2.0) if plates.has_chips(view) else 0.0
    peel = plates.peel_height(page) if view.peel is not None else 0.0
    plate = plates.plate_size(page)[1] + scale.mm(2.0) if view.sheet_word is not None else 0.0
    free = content.h - chips_height - plate
    if scale.portrait or not figure.rows or free - peel >= options_height:
        return view
    if view.kind is ScreenKind.HELD or (view.inspecting and free < options_height):
        view = replace(view, sheet_word=None)
    return replace(view, peel=None, peel_line=None)


def words_of(
    page: WorkPage, view: View, say: Callable[[Message], str] | None = None
) -> tuple[list[TextBlock], list[Colour]]:
    """Return the move and its lines as blocks, with their colours; `say` may be brief."""
    scale, shade, say = page.scale, page.shade, say or page.say
    move = Style(scale.big, scale.big * 1.45, bold=True)
    blocks, colours = [TextBlock(page.say(view.move), move, scale.mm(1.6))], [shade.text]
    lines = [say(line) for line in view.lines]
    if view.peel is None and view.peel_line is not None and scale.portrait:
        lines.append(page.say(view.peel_line))
    if view.upcoming is not None and not page.scale.near:
        lines.append(next_lines(page, view.upcoming)[0])
    for nth, line in enumerate(lines):
        line_id = view.lines[nth].id if nth < len(view.lines) else ""
        keeps = line_id.startswith(plates.LAID_LINES) and not page.scale.near
        least = scale.line * (WHOLE_PIXELS if keeps else 1.0)
        least = scale.small if page.near_why and line_id.startswith(WHY) else least
        blocks.append(TextBlock(line, Style(least, scale.line * 1.35), scale.mm(0.6), keeps))
        colours.append(shade.text if len(colours) == 1 else shade.second)
    return blocks, colours
