"""The light screen: number and wearer, the move and its lines, what the hands look at."""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

from kiosk.catalog.base import Message
from kiosk.run.facts import Kind
from kiosk.run.show import Upcoming, View
from kiosk.station.glass.boxes import NEAR_BELOW_INCHES, Box
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.dark_words import next_lines
from kiosk.station.glass.screens.foot import is_late, tells_time
from kiosk.station.glass.screens.page import Page
from kiosk.station.glass.theme import Colour
from kiosk.station.glass.type import CAPITAL, Block, Style, breadth, column
from kiosk.station.glass.widgets.chips import LEAST_WIDTH_MM, chip_height
from kiosk.station.glass.widgets.figures import stack_size
from kiosk.station.glass.widgets.text import Text

NUMBER_SIZES = (2.3, 2.0, 1.75, 1.5, 1.3, 1.15)  # times the least height
WIDER_SHARES = (1.45, 1.2)  # a drawing may have what the words do not need
LAY_SHARE = 0.5  # of the screen's width, for the lay drawing with its ruler and hands
LAY_KEEPS = 0.85  # of the letters' least height, for the sake of that width
LEAST_LAY_MM = 18.5  # of its height; else it stands beside the number
WEARER_BESIDE_MM = 100.0  # so wide a column has room for the wearer beside any number
LAY_GAP_MM = 3.0  # between words and the lay drawing
DRAWN = ("line.load.toward", "line.load.away", "line.border")  # what the lay drawing may show
SIDE_SHARES = (1.0, 0.85, 0.7, 0.56, 0.45)  # how narrow the right column becomes for the words
BRIEF_BELOW = 0.94  # of their least height: then lines are said in fewer words
LEAST_FIGURE_MM = 40.0  # portrait: what the words leave to a drawing
BORDER_LEAST_MM, BORDER_BESIDE_MM = 20.0, 34.0  # the border check, with the gap beside it
WHOLE_PIXELS = 1.025  # so that rounding to whole pixels takes nothing of the height
LETTERS_KEEP = (0.91, 0.85, 0.79, 0.73)  # of their least height, for the sake of that


@dataclass(frozen=True, slots=True)
class Figure:
    """What stands in the right column below sheet line and peel mark.

    `needs` gives its least width in a column of some height, both px; `across` is its height
    where a portrait screen has it at the foot over the whole width; `lies` for the lay drawing;
    `rows` how many rows of buttons it is to have room for where the screen is low.
    """

    draw: Callable[[Page, View, Box], None]
    needs: Callable[[Page, View, float], float] | None = None
    across: float = 0.0
    lies: bool = False
    shows: Callable[[Page, View, Box], Collection[str]] = lambda page, view, box: ()
    rows: int = 0


@dataclass(frozen=True, slots=True)
class Parts:
    """The boxes of a light screen; in portrait the wearer stands below the number."""

    number: Box
    capital: float
    text: Box
    side: Box
    figure: Box
    chips: Box | None = None


def draw_light(page: Page, view: View, content: Box, figure: Figure) -> None:
    """Draw a light screen."""
    view = _with_room(page, view, content, figure)
    if page.scale.portrait and view.peel is not None:
        view = replace(view, upcoming=None)  # the wearer's name needs the height to be compared
    plates.draw_sheet(page, view, content)
    say = _on_one_row(page, content) if figure.lies else page.say
    parts = _cut(page, view, content, figure, say)
    figure.draw(page, view, parts.figure)
    view = _less(view, page.drawn)
    blocks, colours = words_of(page, view, say)
    if view.number:
        _number(page, view, parts)
    kept = column(blocks, parts.text.w, parts.text.h)[1]
    if kept < BRIEF_BELOW:  # fewer words, rather than letters too small for their distance
        fewer, _ = words_of(page, view, page.words.brief)
        blocks = fewer if column(fewer, parts.text.w, parts.text.h)[1] > kept else blocks
    if view.upcoming is not None and not _is_near(page):
        blocks, colours = _with_next(page, view.upcoming, blocks, colours, parts.text)
    late = {nth for nth, line in enumerate(view.lines, 1) if is_late(line)}
    shown = page.column(parts.text, blocks, colours, late=late)
    for nth, line in enumerate(view.lines):
        if tells_time(line):
            page.live.append(_tell(page, shown[nth + 1], nth))
    if view.peel is not None:
        plates.draw_peel(page, view, parts.side.from_top(plates.peel_height(page))[0])


def _on_one_row(page: Page, content: Box) -> Callable[[Message], str]:
    """What says a line beside the lay drawing: in full where it stays on one row, else brief."""
    scale = page.scale
    aside = 0.0 if scale.portrait else scale.size[0] * LAY_SHARE + scale.mm(LAY_GAP_MM)
    ems = (content.w - aside) * CAPITAL / scale.line

    def say(line: Message) -> str:
        full = page.say(line)
        return full if breadth(full, False) * 0.95 <= ems else page.words.brief(line)

    return say


def _cut(
    page: Page, view: View, content: Box, figure: Figure, say: Callable[[Message], str]
) -> Parts:
    """Divide the page for the lines that are said beside the figure."""
    cut = _portrait if page.scale.portrait else _landscape
    told = _less(view, DRAWN) if figure.lies else view
    parts = cut(page, told, content, words_of(page, told, say)[0], figure)
    shown = figure.shows(page, view, parts.figure) if figure.lies else ()
    if figure.lies and (less := _less(view, shown)) != told:
        parts = cut(page, less, content, words_of(page, less, say)[0], figure)
    if parts.chips is not None:
        plates.draw_chips(page, view, parts.chips)
    return parts


def _less(view: View, drawn: Collection[str]) -> View:
    """The view less the lines that the lay drawing shows: which way the collar, an even border."""
    lines = tuple(line for line in view.lines if not line.id.startswith(tuple(drawn)))
    return replace(view, lines=lines)


def _number(page: Page, view: View, parts: Parts) -> None:
    """Draw the number, the wearer beside or below it, and one line that asks for nothing."""
    beside = plates.draw_number(page, view, parts.number, parts.capital)
    if page.scale.portrait and beside.w < page.scale.mm(30):
        _, beside = parts.number.from_top(plates.number_height(parts.capital), page.scale.mm(1.5))
    elif view.upcoming is not None and _is_near(page):
        beside = plates.remark(page, next_lines(page, view.upcoming)[-1], beside)
    elif view.peel is None and view.peel_line is not None:
        beside = plates.remark(page, page.say(view.peel_line), beside)
    plates.draw_wearer(page, view, beside)


def _with_next(
    page: Page, following: Upcoming, blocks: list[Block], colours: list[Colour], box: Box
) -> tuple[list[Block], list[Colour]]:
    """The last block tells what comes next: in fewer words or not at all where there is no room."""
    for said in next_lines(page, following):
        tried = [*blocks[:-1], replace(blocks[-1], text=said)]
        if column(tried, box.w, box.h)[1] == 1.0:
            return tried, colours
    return blocks[:-1], colours[:-1]


def _is_near(page: Page) -> bool:
    """On a 7-inch screen the last move's lines have no room for what comes next."""
    return page.scale.screen_inches < NEAR_BELOW_INCHES


def _tell(page: Page, text: Text, nth: int) -> Callable[[View], None]:
    """Bring a line that tells seconds up to date."""
    return lambda later: text.say(page.say(later.lines[nth]))


def _with_room(page: Page, view: View, content: Box, figure: Figure) -> View:
    """On a low screen buttons for gloves come before what is said elsewhere as well.

    The peel stands in the move and on its chip; a hold has no sheet to be right about.
    """
    scale = page.scale
    needed = figure.rows * (scale.target + scale.mm(2.5))
    chips = chip_height(scale) + scale.mm(2.0) if plates.chips_wanted(view) else 0.0
    above = plates.peel_height(page) if view.peel is not None else 0.0
    above += plates.plate_size(page)[1] + scale.mm(2.0) if view.sheet_word is not None else 0.0
    if scale.portrait or not figure.rows or content.h - chips - above >= needed:
        return view
    if view.kind is Kind.HELD:
        view = replace(view, sheet_word=None)
    return replace(view, peel=None, peel_line=None)


def words_of(
    page: Page, view: View, say: Callable[[Message], str] | None = None
) -> tuple[list[Block], list[Colour]]:
    """Return the move and its lines as blocks, with their colours; `say` may be brief."""
    scale, shade, say = page.scale, page.shade, say or page.say
    move = Style(scale.big, scale.big * 1.45, bold=True)
    blocks, colours = [Block(page.say(view.move), move, scale.mm(1.6))], [shade.text]
    lines = [say(line) for line in view.lines]
    if view.peel is None and view.peel_line is not None and scale.portrait:
        lines.append(page.say(view.peel_line))
    if view.upcoming is not None and not _is_near(page):
        lines.append(next_lines(page, view.upcoming)[0])
    for nth, line in enumerate(lines):
        told = view.lines[nth].id if nth < len(view.lines) else ""
        keeps = told.startswith(plates.LAID_LINES) and not _is_near(page)
        least = scale.line * (WHOLE_PIXELS if keeps else 1.0)
        blocks.append(Block(line, Style(least, scale.line * 1.35), scale.mm(0.6), keeps))
        colours.append(shade.text if len(colours) == 1 else shade.second)
    return blocks, colours


def _landscape(page: Page, view: View, content: Box, blocks: list[Block], figure: Figure) -> Parts:
    """Words left, figure right with the chips below it."""
    scale, gap = page.scale, page.scale.mm(LAY_GAP_MM if figure.lies else 5.0)
    wide, _ = plates.plate_size(page)
    full = max(wide, scale.size[0] * LAY_SHARE if figure.lies else content.w * 0.38)
    best: tuple[float, Parts] | None = None
    wider = WIDER_SHARES if figure.rows else ()
    enough = LAY_KEEPS if figure.lies else 1.0
    for share in (*wider, *SIDE_SHARES):
        needs = _side_needs(page, view, figure, content.h)
        width = min(full * max(1.0, share), max(full * share, needs))
        width = max(width, plates.peel_width(page, view)) if view.peel is not None else width
        side, left = content.from_right(width, gap)
        sizes = NUMBER_SIZES[:3] if share > 1 else NUMBER_SIZES
        for size in sizes if view.number else (0.0,):
            parts = _beside(page, view, content, side, left, scale.big * size)
            fitted, kept = column(blocks, parts.text.w, parts.text.h)
            if share > 1 and fitted[0].narrow < 1:  # not at the cost of the letters
                kept = 0.0
            if best is None or kept > best[0]:
                best = (kept, parts)
            if kept == 1.0:
                break
        if best is not None and best[0] >= enough:
            break
    assert best is not None  # there is at least one share and one size
    return _with_chips(page, view, best[1])


def _beside(page: Page, view: View, content: Box, side: Box, left: Box, capital: float) -> Parts:
    """Number at the upper left, words below it; below the sheet line, if they run under that."""
    scale = page.scale
    wide, high = plates.plate_size(page)
    plate = high if view.sheet_word is not None else 0.0
    tall = plates.number_height(capital)
    if side.w < wide and plate:
        tall = max(tall, plate)
    number, text = left.from_top(tall, scale.mm(2.0) if capital else 0.0)
    if plate:  # the number must not run under the sheet line
        number = Box(number.x, number.y, min(left.w, content.w - wide - scale.mm(5.0)), number.h)
    if plate:
        _, side = side.from_top(plate, scale.mm(2.0))
    return Parts(number, capital, text, side, side)


def _with_chips(page: Page, view: View, parts: Parts) -> Parts:
    scale, side, chips = page.scale, parts.side, None
    if plates.chips_wanted(view):
        chips, side = side.from_bottom(chip_height(scale), scale.mm(2.0))
    figure = side
    if view.peel is not None:
        _, figure = side.from_top(plates.peel_height(page), scale.mm(1.5))
    return replace(parts, side=side, figure=figure, chips=chips)


def _side_needs(page: Page, view: View, figure: Figure, tall: float) -> float:
    """The least width of a right column: for the peel's word, a chip, a cross-section alone."""
    scale = page.scale
    needs = [scale.mm(24)]
    if view.sheet_word is not None:
        tall -= plates.plate_size(page)[1] + scale.mm(2.0)
    if view.peel is not None:
        needs.append(plates.peel_width(page, view))
        tall -= plates.peel_height(page) + scale.mm(1.5)
    if figure.needs is not None:
        needs.append(figure.needs(page, view, tall))
    if plates.chips_wanted(view):
        needs.append(
            scale.mm(LEAST_WIDTH_MM + (14 if len(view.chips) + len(view.aside) > 1 else 0))
        )
    if view.border_check and tall >= scale.mm(BORDER_LEAST_MM):  # the last moment to see it
        needs.append(scale.mm(BORDER_BESIDE_MM) + min(0.7 * tall, scale.mm(22.0)))
    if view.stack and not view.pieces:
        needs.append(stack_size(view.stack, scale, page.say)[0])
    return max(needs)


def _portrait(page: Page, view: View, content: Box, blocks: list[Block], figure: Figure) -> Parts:
    """What the chips at the foot leave: drawing above, move below."""
    chips = None
    if plates.chips_wanted(view):
        chips, content = content.from_bottom(chip_height(page.scale), page.scale.mm(2.0))
    if figure.lies and (view.number or any(page.cut)):
        parts = _upright_lay(page, view, content, blocks)
        if parts.figure.h >= page.scale.mm(LEAST_LAY_MM) - 1:
            return replace(parts, chips=chips)
    return replace(_upright(page, view, content, blocks, figure), chips=chips)


def _upright(page: Page, view: View, content: Box, blocks: list[Block], figure: Figure) -> Parts:
    """Number and wearer stand beside the drawing."""
    scale = page.scale
    wide, high = plates.plate_size(page)
    foot = None
    if figure.across:
        foot, content = content.from_bottom(figure.across, scale.mm(2.5))
    least = _least_height(blocks, content.w)
    if not view.number:
        if view.sheet_word is not None:  # the words stand below it
            _, content = content.from_top(high, scale.mm(2.0))
        text, side = content.from_top(min(least * 1.25, content.h), scale.mm(4.0))
        return Parts(text, 0.0, text, side, foot or side)
    upper_least = _upper_needs(page, view, figure, high)
    roomy = (
        plates.number_height(scale.big * 1.15)
        + plates.wearer_height(page, content.h)
        + scale.mm(4.0)
    )
    tall = max(least, min(content.h * 0.42, content.h - roomy))
    if tall > content.h - upper_least:
        keep = LETTERS_KEEP[2:] if view.border_check else LETTERS_KEEP
        tall = _narrowed_height(blocks, content.w, least, content.h - upper_least, keep)
        tall = min(tall, content.h - _upper_keeps(page, view, high))
    text, upper = content.from_bottom(min(tall, content.h - high), scale.mm(2.5))
    bare = view.sheet_word is None and view.peel is None and foot is not None
    wide = max(wide, plates.peel_width(page, view)) if view.peel is not None else wide
    side, left = upper.from_right(0.0 if bare else wide, scale.mm(3.0))
    if view.sheet_word is not None:
        _, side = side.from_top(high, scale.mm(2.0))
    below = side
    if view.peel is not None:
        _, below = side.from_top(plates.peel_height(page), scale.mm(1.5))
    return Parts(left, _portrait_capital(page, view, left), text, side, foot or below)


def _upright_lay(page: Page, view: View, content: Box, blocks: list[Block]) -> Parts:
    """Number and sheet line, below them the lay drawing over the whole width, then the words."""
    scale, least = page.scale, _least_height(blocks, content.w)
    wide, high = plates.plate_size(page)
    wide = max(wide, plates.peel_width(page, view)) if view.peel is not None else wide
    tall = _upper_keeps(page, view, high)
    figure = scale.mm(LEAST_FIGURE_MM)
    if least > content.h - tall - figure:
        least = _narrowed_height(
            blocks, content.w, least, content.h - tall - figure, (0.97, 0.94, *LETTERS_KEEP)
        )
    words = min(least * 1.06, content.h - tall)
    most = content.h - tall - scale.mm(LEAST_LAY_MM + 3.5)  # with the gaps around the drawing
    if words > most > 0 and column(blocks, content.w, most)[1] >= LETTERS_KEEP[-1]:
        words = most
    text, upper = content.from_bottom(words, scale.mm(2.5))
    upper, drawing = upper.from_top(tall, scale.mm(1.0))
    side, left = upper.from_right(wide, scale.mm(3.0))
    _, side = side.from_top(high if view.sheet_word is not None else 0.0, scale.mm(2.0))
    capital = _portrait_capital(page, view, left, WEARER_BESIDE_MM) if view.number else 0.0
    return Parts(left, capital, text, side, drawing)


def _upper_needs(page: Page, view: View, figure: Figure, plate: float) -> float:
    """The height that sheet line, peel mark and figure, or number and wearer, ask for."""
    scale = page.scale
    side = plate + scale.mm(2.0) if view.sheet_word is not None else 0.0
    if view.peel is not None:
        side += plates.peel_height(page) + scale.mm(1.5)
    if figure.lies:
        side += scale.mm(LEAST_FIGURE_MM)
    left = plates.number_height(scale.big * 1.15) + scale.mm(1.5) + plates.wearer_height(page)
    return max(side, left) + scale.mm(2.5)


def _upper_keeps(page: Page, view: View, plate: float) -> float:
    """What words may not take: sheet line and peel mark; the number with its wearer."""
    scale = page.scale
    side = plate if view.sheet_word is not None else 0.0
    side += plates.peel_height(page) + scale.mm(2.0) if view.peel is not None else 0.0
    left = plates.number_height(scale.big * 1.15) if view.number else 0.0
    if view.number and (
        view.sheet_word is not None or view.peel is not None
    ):  # else they stand beside each other
        left = plates.number_height(scale.big) + scale.mm(1.5) + plates.wearer_height(page)
    return max(side, left) + scale.mm(2.5)


def _portrait_capital(page: Page, view: View, left: Box, beside: float = 60.0) -> float:
    """As wide as the column, unless the wearer below (from `beside` mm: beside) needs height."""
    ems = breadth(view.number, True) / CAPITAL
    if left.w > page.scale.mm(beside):
        return min(page.scale.big * 2.0, left.h / plates.number_height(1.0))
    room = (
        left.h - page.scale.mm(1.5) - plates.wearer_height(page, left.h)
    ) / plates.number_height(1.0)
    return max(page.scale.big, min(page.scale.big * 2.6, left.w / ems, room))


def _least_height(blocks: list[Block], width: float) -> float:
    """The height that blocks take at their least sizes."""
    small = [replace(b, style=replace(b.style, most=b.style.least)) for b in blocks]
    fitted, _ = column(small, width, 1e6)
    return sum(f.height for f in fitted) + sum(b.gap for b in blocks)


def _narrowed_height(
    blocks: list[Block], width: float, least: float, wanted: float, keep: tuple[float, ...]
) -> float:
    """The height between `wanted` and `least` for which narrower letters are enough.

    Where they are not, letters become a little smaller for the sake of the figure.
    """
    steps = [wanted + (least - wanted) * step / 8 for step in range(9)]
    for enough in (1.0, *keep):
        for tall in steps[: 9 if enough == 1.0 else 8]:
            if tall > 0 and column(blocks, width, tall)[1] >= enough and tall < least * 0.95:
                return tall
    return least
