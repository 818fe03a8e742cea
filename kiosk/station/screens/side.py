"""The right column of a light screen: what the hands look at beside the words."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.plan.model import Phase
from kiosk.plan.placement_box import Box as Placed
from kiosk.plan.placement_questions import element_word
from kiosk.plan.placement_sizes import Border
from kiosk.run.views import Ink, View
from kiosk.station.boxes import Box
from kiosk.station.lay import Laid, laid, widest_border
from kiosk.station.screens.page import Page
from kiosk.station.theme import Colour, film
from kiosk.station.type import CAPITAL, NO_BREAK, Style, breadth, fit, height, wrap
from kiosk.station.widgets.figures import AsWorn, BorderCheck, PlaceWorn, Swatches, caption_height
from kiosk.station.widgets.lay_drawing import LayDrawing, hands_fit
from kiosk.station.widgets.stack import Stack, stack_size

LYING = frozenset({Phase.LOAD, Phase.LAY, Phase.LAY_TOP, Phase.COVER})
LEAST_DRAWING_MM = 15.0
WITH_CAPTION_MM = 32.0
SMALLER = 0.72  # the drawing may give up this much of its width for the cross-section
WORN_MM = 17.0  # the least width of a shirt whose number can still be read
BORDER_MM = 31.0
SMALL_PLACES = frozenset({"left-chest", "right-chest"})
NOT_ON_THE_BODY = frozenset({"left-sleeve", "right-sleeve", "sleeve", "shorts"})
BORDER_TALL_MM = 24.5
BORDER_LEAST_MM = 16.0


def draw_figure(page: Page, view: View, box: Box) -> None:
    """Draw the platen while something is laid on it, the cross-section where there is room.

    Where nothing is laid the cross-section stands alone.
    """
    if view.phase in LYING and page.plan is not None and view.pieces:
        _lying(page, view, box, laid(page.plan, view, page.name, page.team))
    elif view.stack:
        wide, tall = stack_size(view.stack, page.scale, page.say)
        if tall <= box.h and wide <= box.w:
            page.put(Stack, box, page.scale, view.stack, page.words.say, page.shade)


def _lying(page: Page, view: View, box: Box, lying: Laid) -> None:
    """The drawing at the right, smaller figures in what it leaves at its left."""
    if box.h < page.scale.mm(LEAST_DRAWING_MM):
        return
    scale = page.scale
    area = _collar(page, view.panel, lying, box)
    drawing, beside = _cut(page, view, area, lying)
    hands = _hands(page, view, lying)
    border = widest_border(lying.boxes, view) if view.border_check else None
    low = border is not None and area.h < scale.mm(BORDER_LEAST_MM) + 2 * scale.small / CAPITAL
    if low and hands is not None and not _inside(page, lying, drawing, hands):
        hands = None  # what lies below shows which hand; the border has to be judged
    swatched = False
    if hands is not None and not _inside(page, lying, drawing, hands):
        rows = 1 if _hands_width(page, hands) <= area.w else 2
        row, area = area.from_bottom(height(rows, scale.small / CAPITAL) + 1, scale.mm(0.4))
        drawing, beside = _cut(page, view, area, lying)
        left = _name_below(page, hands, row, drawing)
        swatched = border is not None and _swatches(page, view, left) is not left
        hands = None
    distances = {each.element: _distance(page, lying, each) for each in lying.boxes}
    shown = LayDrawing(drawing, scale, lying, view.pieces, hands, distances)
    page.add(shown)
    if border is not None:
        beside = _border(page, border, beside)
    if shown.unsaid and any(piece.ink is Ink.NEXT for piece in view.pieces):
        beside = _from_seam(
            page, view, [(p.element, distances[p.element]) for p in shown.unsaid], beside
        )
    _beside(page, view, beside, lying, swatched)


def _distance(page: Page, lying: Laid, placed: Placed) -> str:
    """How far from the seam a piece begins; and how far off the centre line its middle is."""
    below = _whole(page.length(lying.from_seam(placed)))
    if not placed.x:
        return below
    return page.word("off_centre", below=below, off=_whole(page.length(abs(placed.x))))


def _whole(length: str) -> str:
    """A length that no row ends in."""
    return length.replace(" ", NO_BREAK)


def _cut(page: Page, view: View, area: Box, lying: Laid) -> tuple[Box, Box]:
    """The drawing as wide as it is high, less what the cross-section needs."""
    _, _, across, along = lying.extent
    gap = page.scale.mm(3.0)
    wide = min(area.h * across / along, area.w)
    stack = stack_size(view.stack, page.scale, page.say)[0] if view.stack else 0.0
    if stack > area.w - wide - gap >= stack - wide * (1 - SMALLER):
        wide = area.w - gap - stack
    if view.border_check:
        beside_border = area.w - gap - page.scale.mm(BORDER_MM)
        wide = beside_border if wide * SMALLER <= beside_border <= wide else wide
    drawing, beside = area.from_right(wide, gap)
    return drawing.fitted(across / along), beside


def _hands(page: Page, view: View, lying: Laid) -> tuple[str, str] | None:
    """What stands at each hand, once the number lies there."""
    drawn = any(p.element == "number" and p.ink is not Ink.AHEAD for p in view.pieces)
    if not drawn or not lying.left_hand:
        return None
    left, right = page.word("left_hand"), page.word("right_hand")
    return f"{lying.left_hand} {left}", f"{lying.right_hand} {right}"


def _inside(page: Page, lying: Laid, drawing: Box, hands: tuple[str, str]) -> bool:
    tall = lying.free_at_collar * drawing.h / lying.extent[3]
    return hands_fit(hands, Box(drawing.x, drawing.y, drawing.w, tall), page.scale)


def _hands_width(page: Page, hands: tuple[str, str]) -> float:
    em = page.scale.small / CAPITAL
    return sum(breadth(word, True) * em + 2 for word in hands) + page.scale.mm(3.0)


def _name_below(page: Page, hands: tuple[str, str], row: Box, drawing: Box) -> Box:
    """Name the hands below a drawing that is too small to hold their words; return the rest."""
    small = page.scale.small
    wide = min(max(drawing.w, _hands_width(page, hands)), row.w)
    row, rest = row.from_right(wide, page.scale.mm(2.0))
    style = Style(small, small, bold=True, rows=2)
    gap = page.scale.mm(1.0)
    share = breadth(hands[0], True) / sum(breadth(word, True) for word in hands)
    left, right = row.from_left((row.w - gap) * share, gap)
    page.text(hands[0], left, style)
    page.text(hands[1], right, style, halign="right")
    return rest


def _from_seam(page: Page, view: View, places: Sequence[tuple[str, str]], box: Box) -> Box:
    """Say at the foot where pieces begin that the drawing had no room for; returns the rest.

    Where there is no room either, `page.beside_number` has it.
    """
    said = [
        _whole(page.word("place", element=element_word(element), distance=distance))
        for element, distance in places
    ]
    text = page.word("from_seam", places=", ".join(said))
    em = page.scale.small / CAPITAL
    rows = len(wrap(text, False, box.w / em))
    foot, rest = box.from_bottom(height(rows, em) + 1, page.scale.mm(1.5))
    style = Style(page.scale.small, page.scale.small, rows=rows)
    needed, gap = _foot_height(page, view, box), page.scale.mm(2.0)
    room = rest.h >= needed
    worn = [_shirt_fits(page, each.from_bottom(needed, gap)[1]) for each in (box, rest)]
    if view.panel not in NOT_ON_THE_BODY and not view.border_check:
        room = room and worn[0] == worn[1]  # how it is worn comes first
    if rows > 4 or not room or fit(text, style, foot.w, foot.h).share < 1:
        page.beside_number = text
        return box
    page.text(text, foot, style)
    return rest


def _foot_height(page: Page, view: View, box: Box) -> float:
    """What cross-section or swatches take at the foot."""
    wide, tall = stack_size(view.stack, page.scale, page.say) if view.stack else (0.0, 0.0)
    if view.stack and wide <= box.w and tall <= box.h:
        return tall
    return height(1, page.scale.small / CAPITAL) * len(_films(view))


def _beside(page: Page, view: View, box: Box, lying: Laid, swatched: bool) -> None:
    """Cross-section (or swatches) at the foot; above it how it is worn."""
    scale, gap = page.scale, page.scale.mm(2.0)
    wide, tall = stack_size(view.stack, scale, page.say) if view.stack else (0.0, 0.0)
    if view.stack and wide <= box.w and tall <= box.h:
        foot, box = box.from_bottom(tall, gap)
        place = Box(foot.x, foot.y, wide, foot.h)
        page.put(Stack, place, scale, view.stack, page.words.say, page.shade)
    elif not swatched:
        box = _swatches(page, view, box)
    if not view.border_check:
        _as_worn(page, view, box, lying)


def _as_worn(page: Page, view: View, box: Box, lying: Laid) -> None:
    """How it is worn: large where a whole side is pressed, else small pieces at their place."""
    scale = page.scale
    if not _shirt_fits(page, box):
        return
    worn, caption = _upper(box, scale.mm(36)), page.word("as_worn")
    if view.panel in SMALL_PLACES:
        page.add(PlaceWorn(worn, scale, lying.worn, lying.half_body, caption, page.shade))
    elif view.panel not in NOT_ON_THE_BODY:
        page.add(AsWorn(worn, scale, page.name, view.number, caption, page.shade))


def _shirt_fits(page: Page, box: Box) -> bool:
    return min(box.w, box.h - caption_height(page.scale)) >= page.scale.mm(WORN_MM)


def _border(page: Page, border: Border, box: Box) -> Box:
    """Show even and uneven borders at the top; returns what is left below."""
    scale = page.scale
    if box.w < scale.mm(BORDER_MM) or box.h < scale.mm(BORDER_LEAST_MM):
        return box
    figure, rest = box.from_top(min(box.h, scale.mm(BORDER_TALL_MM)), scale.mm(2.0))
    words = (page.word("even"), page.word("move_it"))
    width, most = page.length(border.width), page.length(border.most_off)
    measures = page.word("border", width=width, most=most)
    page.add(BorderCheck(figure, scale, words, page.shade, border, measures))
    return rest


def _upper(box: Box, most: float) -> Box:
    return box.from_top(min(box.h, most))[0]


def _swatches(page: Page, view: View, box: Box) -> Box:
    """The colours that go down next, at the foot; returns what is left above."""
    films = _films(view)
    row = height(1, page.scale.small / CAPITAL)
    em = page.scale.small / CAPITAL
    wide = max((breadth(word, True) for word, _ in films), default=0.0) * em + page.scale.mm(8)
    tall = row * len(films)
    if not films or wide > box.w or tall > box.h:
        return box
    foot, rest = box.from_bottom(tall, page.scale.mm(2.0))
    page.add(Swatches(foot, page.scale, films, page.shade))
    return rest


def _collar(page: Page, panel: str, lying: Laid, box: Box) -> Box:
    """Write beside the edge at the collar how far its seam is off it; returns the room left.

    Shorts have a waistband there, a sleeve its shoulder seam.
    """
    end = "waistband" if panel == "shorts" else "sleeve" if "sleeve" in panel else "collar"
    small = page.scale.small
    distance = page.length(abs(lying.seam_ruler))
    way = f"{end}_{'toward' if lying.toward else 'away'}"
    text = page.word(way if lying.seam_ruler >= 0 else f"{way}_over", distance=distance)
    rows = len(wrap(text, True, box.w * CAPITAL / small))
    if rows > 2:
        return box
    cut = box.from_bottom if lying.toward else box.from_top
    words, rest = cut(height(rows, small / CAPITAL) + 1, page.scale.mm(0.6))
    if rest.h < page.scale.mm(WITH_CAPTION_MM):
        return box
    style = Style(small, small * 1.1, bold=True, rows=2)
    page.text(text, words, style, halign="right")
    return rest


def _films(view: View) -> tuple[tuple[str, Colour | None], ...]:
    """The colours that go down next; in a stack with the number of their layer."""
    stacked = {piece.element for piece in view.pieces if piece.layer > 1}
    coming = (piece for piece in view.pieces if piece.ink is Ink.NEXT and piece.colour)
    films = {
        f"{p.layer} {p.colour.upper()}" if p.element in stacked else p.colour.upper(): p.colour
        for p in coming
    }
    return tuple((word, film(colour)) for word, colour in films.items())
