"""Where the parts of a light screen go: side by side, in portrait one below the other."""

from collections.abc import Callable, Collection
from dataclasses import replace

from kiosk.catalog.base import dataclass
from kiosk.run.show import View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.type import CAPITAL, NARROWEST, TextBlock, breadth, column
from kiosk.station.glass.widgets.figures import stack_size
from kiosk.station.glass.widgets.ribbon import LEAST_WIDTH_MM, chip_height

NUMBER_SIZES = (2.3, 2.0, 1.75, 1.5, 1.3, 1.15)  # times the least height
WIDER_SHARES = (1.45, 1.2)  # buttons can have what the words do not need
LAY_SHARE = 0.5  # of the screen's width, for the lay drawing with its ruler and hands
LAY_KEEPS = 0.85  # of their least height: letters may shrink this far for that width
LAY_WANTED = 0.4  # of a portrait screen's height, for the drawing and what is around it
LEAST_LAY_MM = 18.5  # of its height; otherwise it goes beside the number
WEARER_BESIDE_MM = 100.0  # a column this wide fits the wearer beside any number
LAY_GAP_MM = 3.0  # between words and the lay drawing
SIDE_SHARES = (1.0, 0.85, 0.7, 0.56, 0.45)  # how narrow the right column becomes for the words
LEAST_FIGURE_MM = 40.0  # portrait: what the words leave to a drawing
BORDER_LEAST_MM, BORDER_BESIDE_MM = 20.0, 34.0  # the border check, with the gap beside it
LETTERS_KEEP = (0.91, 0.85, 0.79, 0.73)  # of their least height: how far letters may shrink


@dataclass(frozen=True, slots=True)
class SideFigure:
    """What is in the right column below sheet line and peel mark.

    `needs` returns its least width in a column of some height, both px; `across` is its height when
    a portrait screen has it at the foot over the whole width; `is_lay` marks the lay drawing, which
    is `tall` px in a box; `shows` returns the lines that it makes needless; `rows` is how many rows
    of buttons must fit on a low screen.
    """

    draw: Callable[[WorkPage, View, Box], None]
    needs: Callable[[WorkPage, View, float], float] | None = None
    across: float = 0.0
    is_lay: bool = False
    shows: Callable[[WorkPage, View, Box], Collection[str]] = lambda page, view, box: ()
    tall: Callable[[WorkPage, View, Box], float] = lambda page, view, box: box.h
    rows: int = 0


@dataclass(frozen=True, slots=True)
class LightBoxes:
    """The boxes of a light screen; in portrait the wearer is below the number."""

    number: Box
    capital: float
    text: Box
    side: Box
    figure: Box
    chips: Box | None = None


def landscape(
    page: WorkPage, view: View, content: Box, blocks: list[TextBlock], figure: SideFigure
) -> LightBoxes:
    """Divide a landscape page: words left, figure right with the chips below it."""
    scale, gap = page.scale, page.scale.mm(LAY_GAP_MM if figure.is_lay else 5.0)
    wide, _ = plates.plate_size(page)
    full = max(wide, scale.size[0] * LAY_SHARE if figure.is_lay else content.w * 0.38)
    best: tuple[float, LightBoxes] | None = None
    wider = WIDER_SHARES if figure.rows else ()
    enough = LAY_KEEPS if figure.is_lay else 1.0
    for share in (*wider, *SIDE_SHARES):
        needs = _side_needs(page, view, figure, content.h)
        width = min(full * max(1.0, share), max(full * share, needs))
        width = max(width, plates.peel_width(page, view)) if view.peel is not None else width
        side, left = content.from_right(width, gap)
        sizes = NUMBER_SIZES[:3] if share > 1 else NUMBER_SIZES
        for size in sizes if view.number else (0.0,):
            boxes = _with_side(page, view, content, side, left, scale.big * size)
            fitted, kept_share = column(blocks, boxes.text.w, boxes.text.h)
            if share > 1 and fitted[0].narrow < 1:  # not at the cost of the letters
                kept_share = 0.0
            reads = kept_share == 1.0 and (not figure.rows or _wearer_reads(page, view, boxes))
            if best is None or kept_share > best[0] or reads:
                best = (kept_share, boxes)
            if reads:
                break
        if best is not None and best[0] >= enough:
            break
    assert best is not None  # there is at least one share and one size
    return _with_chips(page, view, best[1])


def _with_side(
    page: WorkPage, view: View, content: Box, side: Box, left: Box, capital: float
) -> LightBoxes:
    """Put the number at the upper left with the words below it; the side below the sheet line."""
    scale = page.scale
    wide, high = plates.plate_size(page)
    plate = high if view.sheet_word is not None else 0.0
    tall = plates.number_height(capital)
    if side.w < wide and plate:
        tall = max(tall, plate)
    number, text = left.from_top(tall, scale.mm(2.0) if capital else 0.0)
    if plate:  # the number must not run under the sheet line
        number = Box(number.x, number.y, min(left.w, content.w - wide - scale.mm(5.0)), number.h)
        _, side = side.from_top(plate, scale.mm(2.0))
    return LightBoxes(number, capital, text, side, side)


def _wearer_reads(page: WorkPage, view: View, boxes: LightBoxes) -> bool:
    """Return whether the wearer's name fits beside the number as large as the move's lines."""
    em = boxes.capital / CAPITAL
    free = boxes.number.w - breadth(view.number, True) * em - page.scale.mm(3.0)
    return breadth(page.name, True) * page.scale.line / CAPITAL <= free


def _with_chips(page: WorkPage, view: View, boxes: LightBoxes) -> LightBoxes:
    scale, side, chips = page.scale, boxes.side, None
    if plates.has_chips(view):
        chips, side = side.from_bottom(chip_height(scale), scale.mm(2.0))
    return replace(boxes, side=side, figure=_below_peel(page, view, side), chips=chips)


def _side_needs(page: WorkPage, view: View, figure: SideFigure, tall: float) -> float:
    """Return the least width of the right column: for peel, chips, figure and cross-section."""
    scale = page.scale
    needs = [scale.mm(24)]
    if view.sheet_word is not None:
        tall -= plates.plate_size(page)[1] + scale.mm(2.0)
    if view.peel is not None:
        needs.append(plates.peel_width(page, view))
        tall -= plates.peel_height(page) + scale.mm(1.5)
    if plates.has_chips(view):
        tall -= chip_height(scale) + scale.mm(2.0)
        needs.append(
            scale.mm(LEAST_WIDTH_MM + (14 if len(view.chips) + len(view.aside) > 1 else 0))
        )
    if figure.needs is not None:
        needs.append(figure.needs(page, view, tall))
    checked = view.border_check and "border" not in page.left_out
    if checked and tall >= scale.mm(BORDER_LEAST_MM):  # the last moment to see it
        needs.append(scale.mm(BORDER_BESIDE_MM) + min(0.7 * tall, scale.mm(22.0)))
    if view.stack and not view.pieces:
        needs.append(stack_size(view.stack, scale, page.say)[0])
    return max(needs)


def portrait(
    page: WorkPage, view: View, content: Box, blocks: list[TextBlock], figure: SideFigure
) -> LightBoxes:
    """Divide a portrait page: chips at the foot, drawing above, move below."""
    chips = None
    if plates.has_chips(view):
        chips, content = content.from_bottom(chip_height(page.scale), page.scale.mm(2.0))
    if figure.is_lay and (view.number or any(page.cut)):
        boxes = _upright_lay(page, view, content, blocks)
        if boxes.figure.h >= page.scale.mm(LEAST_LAY_MM) - 1:
            return replace(boxes, chips=chips)
    return replace(_upright(page, view, content, blocks, figure), chips=chips)


def _upright(
    page: WorkPage, view: View, content: Box, blocks: list[TextBlock], figure: SideFigure
) -> LightBoxes:
    """Put number and wearer beside the drawing."""
    scale = page.scale
    wide, high = plates.plate_size(page)
    foot = None
    if figure.across:
        foot, content = content.from_bottom(figure.across, scale.mm(2.5))
    least = _least_height(blocks, content.w)
    if not view.number:
        if view.sheet_word is not None:  # the words go below it
            _, content = content.from_top(high, scale.mm(2.0))
        peel = 0.0 if view.peel is None else plates.peel_height(page) + scale.mm(4.0)
        text, side = content.from_top(min(least * 1.25, content.h - peel), scale.mm(4.0))
        return LightBoxes(text, 0.0, text, side, foot or _below_peel(page, view, side))
    upper_least = _upper_needs(page, view, figure, high)
    wearer = plates.wearer_height(page, content.h)
    roomy = plates.number_height(scale.big * 1.15) + wearer + scale.mm(4.0)
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
    figure_box = foot or _below_peel(page, view, side)
    return LightBoxes(left, _portrait_capital(page, view, left), text, side, figure_box)


def _below_peel(page: WorkPage, view: View, side: Box) -> Box:
    """Return what the peel mark leaves of the side."""
    if view.peel is None:
        return side
    return side.from_top(plates.peel_height(page), page.scale.mm(1.5))[1]


def _upright_lay(page: WorkPage, view: View, content: Box, blocks: list[TextBlock]) -> LightBoxes:
    """Put the lay drawing across the page, below number and sheet line and above the words."""
    scale, least = page.scale, _least_height(blocks, content.w)
    wide, high = plates.plate_size(page)
    wide = max(wide, plates.peel_width(page, view)) if view.peel is not None else wide
    tall = _upper_keeps(page, view, high)
    figure = scale.mm(LEAST_FIGURE_MM)
    roomy = content.h - tall - scale.size[1] * LAY_WANTED
    if least > roomy:  # narrower letters come before a lower drawing
        narrow = _least_height(blocks, content.w / NARROWEST)
        least = max(narrow, roomy) if narrow < least * 0.95 else least
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
    return LightBoxes(left, capital, text, side, _beside_wearer(page, view, left, side, drawing))


def _beside_wearer(page: WorkPage, view: View, left: Box, side: Box, drawing: Box) -> Box:
    """Let the drawing begin right below the sheet line if only the wearer is beside it there.

    Not if the collar is at the top: hands and lengths are drawn there.
    """
    page.corner = (0.0, 0.0)
    toward = page.plan is not None and page.plan.collar_toward_operator
    rise = side.top - drawing.top if view.peel is None and view.sheet_word is not None else 0.0
    if not toward or rise <= page.scale.mm(2.0):
        return drawing
    page.corner = (left.w, rise)
    return Box(drawing.x, drawing.y, drawing.w, drawing.h + rise)


def _upper_needs(page: WorkPage, view: View, figure: SideFigure, plate: float) -> float:
    """Return the height for sheet line, peel mark and figure, or for number and wearer."""
    scale = page.scale
    side = plate + scale.mm(2.0) if view.sheet_word is not None else 0.0
    if view.peel is not None:
        side += plates.peel_height(page) + scale.mm(1.5)
    if figure.is_lay:
        side += scale.mm(LEAST_FIGURE_MM)
    left = plates.number_height(scale.big * 1.15) + scale.mm(1.5) + plates.wearer_height(page)
    return max(side, left) + scale.mm(2.5)


def _upper_keeps(page: WorkPage, view: View, plate: float) -> float:
    """Return the height that words cannot take: sheet line and peel mark, or number and wearer."""
    scale = page.scale
    side = plate if view.sheet_word is not None else 0.0
    side += plates.peel_height(page) + scale.mm(2.0) if view.peel is not None else 0.0
    left = plates.number_height(scale.big * 1.15) if view.number else 0.0
    marked = view.sheet_word is not None or view.peel is not None
    if view.number and marked:  # otherwise they are side by side
        left = plates.number_height(scale.big) + scale.mm(1.5) + plates.wearer_height(page)
    return max(side, left) + scale.mm(2.5)


def _portrait_capital(page: WorkPage, view: View, left: Box, wide_mm: float = 60.0) -> float:
    """Return the number's capital, px, as large as its column allows beside or above the wearer.

    From a column of `wide_mm` mm on, the wearer is beside the number.
    """
    ems = breadth(view.number, True) / CAPITAL
    if left.w > page.scale.mm(wide_mm):
        return min(page.scale.big * 2.0, left.h / plates.number_height(1.0))
    free = left.h - page.scale.mm(1.5) - plates.wearer_height(page, left.h)
    room = free / plates.number_height(1.0)
    return max(page.scale.big, min(page.scale.big * 2.6, left.w / ems, room))


def _least_height(blocks: list[TextBlock], width: float) -> float:
    """Return the height that blocks take at their least sizes."""
    small = [b._replace(style=b.style._replace(most=b.style.least)) for b in blocks]
    fitted, _ = column(small, width, 1e6)
    return sum(f.height for f in fitted) + sum(b.gap for b in blocks)


def _narrowed_height(
    blocks: list[TextBlock], width: float, least: float, goal: float, keep: tuple[float, ...]
) -> float:
    """Return a height between `goal` and `least` at which narrower letters are enough.

    If there is none, letters become a little smaller to make room for the figure.
    """
    steps = [goal + (least - goal) * step / 8 for step in range(9)]
    for enough in (1.0, *keep):
        for tall in steps[: 9 if enough == 1.0 else 8]:
            if tall > 0 and column(blocks, width, tall)[1] >= enough and tall < least * 0.95:
                return tall
    return least
