"""The right column of a light screen: what the operator looks at beside the words."""

from kiosk.plan.model import Phase
from kiosk.plan.place import ElementBox as Placed
from kiosk.plan.sizes import Border, end_of
from kiosk.run.show import Ink, View
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay, widest_border
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.theme import Colour, film
from kiosk.station.glass.type import CAPITAL, NO_BREAK, Style, breadth, height, wrap
from kiosk.station.glass.widgets import figures
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.lay_margin import divide, margin_of, marks_of

LAY_PHASES = frozenset({Phase.LOAD, Phase.LAY, Phase.LAY_TOP, Phase.COVER})
COLLAR_LINES = {"line.load.toward", "line.load.away"}
LEAST_DRAWING_MM = 15.0
WITH_CAPTION_MM = 32.0
FOR_A_LINE_MM = 20.0  # if the caption replaces a line that is higher than the caption
WORN_MM = 17.0  # the least width of a shirt with a readable number
BORDER_MM, BORDER_NEAR_MM = 31.0, 26.5  # the least width of both samples
SMALL_PLACES = frozenset({"left-chest", "right-chest"})
BORDER_TALL_MM = 24.5
BORDER_LEAST_MM = 14.0


def draw_figure(page: WorkPage, view: View, box: Box) -> None:
    """Draw the platen while something is laid, otherwise the cross-section if it fits."""
    if view.phase in LAY_PHASES and page.plan is not None and view.pieces:
        _draw_lay(page, view, box, page.lay_of(view))
    elif view.stack:
        wide, tall = figures.stack_size(view.stack, page.scale, page.say)
        if tall <= box.h and wide <= box.w:
            page.put(figures.Stack, box, page.scale, view.stack, page.words.say, page.shade)


def _draw_lay(page: WorkPage, view: View, box: Box, lay: PanelLay) -> None:
    """Draw the platen over the whole box, with smaller figures beside it, away from the collar."""
    scale = page.scale
    if box.h < scale.mm(LEAST_DRAWING_MM):
        return
    area = _collar(page, view, lay, box)
    border, hands, distances = _around_lay(page, view, lay)
    free = scale.mm(border_mm(scale) + 0.1) if border is not None else 0.0
    area, wearer, _ = _platen_room(page, view, lay, area, (hands, distances, free))
    drawing = LayDrawing(area, scale, lay, view.pieces, hands, distances, free, wearer[0])
    page.add(drawing)
    left, right = drawing.free
    left = left.from_bottom(max(0.0, left.h - wearer[1]))[0]
    if plates.has_closer(view):
        right, marked = _draw_enlarge_note(page, right, border)
        plates.mark_closer(page, area if marked else drawing.platen)
    left = _below(page, view, left)
    if border is not None:
        _border(page, border, right)
    else:
        _as_worn(page, view, right, lay)


def _around_lay(
    page: WorkPage, view: View, lay: PanelLay
) -> tuple[Border | None, tuple[str, str] | None, dict[str, str]]:
    """Return what is beside the platen: an even border, the hands, each piece's distance."""
    left_out = page.left_out
    border = widest_border(lay.boxes, view) if view.border_check else None
    return (
        None if "border" in left_out else border,
        None if "hands" in left_out else hands_of(page, view, lay),
        {} if any(page.cut) or "ruler" in left_out else distances_of(page, lay),
    )


def lay_height(page: WorkPage, view: View, box: Box) -> float:
    """Return how high the platen is drawn in `box`, px."""
    lay, scale = page.lay_of(view), page.scale
    if box.h < scale.mm(LEAST_DRAWING_MM):
        return 0.0
    border, hands, distances = _around_lay(page, view, lay)
    rows = _collar_rows(page, view, lay, box)[1]
    tall = height(rows, scale.small / CAPITAL) + 1 + scale.mm(0.6) if rows else 0.0
    right = scale.mm(border_mm(scale) + 0.1) if border is not None else 0.0
    area = box.from_top(max(0.0, box.h - tall))[0]
    return _platen_room(page, view, lay, area, (hands, distances, right))[2]


Margins = tuple[tuple[str, str] | None, dict[str, str], float]
"""Beside a platen: the hands, distances of pieces from the seam, free width at the right."""


def _platen_room(
    page: WorkPage, view: View, lay: PanelLay, box: Box, beside: Margins
) -> tuple[Box, tuple[float, float], float]:
    """Return the box of a lay drawing, what the wearer takes of it, and the platen's height.

    It takes as much of the height beside the wearer as possible without the hands touching them.
    """
    hands, distances, right = beside
    wide, rise = page.corner
    drawn = {p.element for p in view.pieces if p.ink is not Ink.AHEAD}
    marks = marks_of(lay, {e: d for e, d in distances.items() if e in drawn})
    best = box, (0.0, 0.0), 0.0
    for share in SHARES if rise else (0.0,):
        area = box.from_bottom(box.h - rise * (1.0 - share))[0]
        wearer = (wide, rise * share) if share else (0.0, 0.0)
        room = divide(area, page.scale, lay, hands, marks, right, wearer[0])
        margin = margin_of(room, page.scale, lay)
        if margin.whole.h > best[2] and (not share or wearer[1] <= margin.free[0].h):
            best = area, wearer, margin.whole.h
    return best


SHARES = (1.0, 0.66, 0.33, 0.0)  # of the height beside the wearer


def distances_of(page: WorkPage, lay: PanelLay) -> dict[str, str]:
    """Return, by element, how far from the seam it begins."""
    return {each.element: distance_of(page, lay, each) for each in lay.boxes}


def distance_of(page: WorkPage, lay: PanelLay, placed: Placed) -> str:
    """Return how far below the seam a piece begins, and how far off centre its middle is."""
    below = _whole(page.length(lay.from_seam(placed)))
    if not placed.x:
        return below
    return page.word("off_centre", below=below, off=_whole(page.length(abs(placed.x))))


def _draw_enlarge_note(page: WorkPage, box: Box, border: Border | None) -> tuple[Box, bool]:
    """Write what a touch does beside the mark in the corner, if nothing has to give way.

    Return what is left, and whether the mark fits there; if not, it goes in the platen's
    corner.
    """
    scale, em = page.scale, page.scale.small / CAPITAL
    word = page.word("larger")
    row, rest = box.from_top(height(1, em), scale.mm(0.8))
    place = row.from_right(plates.MARK_MM * scale.px_per_mm, scale.mm(1.0))[1]

    def fits(room: Box) -> bool:
        return _border_fits(page, room) if border is not None else _shirt_fits(page, room)

    if breadth(word, False) * em > place.w or (fits(box) and not fits(rest)):
        below = box.from_top(scale.mm(plates.MARK_MM), scale.mm(0.8))[1]
        return (box, False) if fits(box) and not fits(below) else (below, True)
    page.text(word, place, Style(scale.small, scale.small, rows=1), page.shade.second, "right")
    return rest, True


def _whole(length: str) -> str:
    """Return a length with no-break spaces."""
    return length.replace(" ", NO_BREAK)


def hands_of(page: WorkPage, view: View, lay: PanelLay) -> tuple[str, str] | None:
    """Return the figure and word at each hand; None until the number lies there."""
    number_lies = any(p.element == "number" and p.ink is not Ink.AHEAD for p in view.pieces)
    if not number_lies or not lay.left_hand:
        return None
    left, right = page.word("left_hand"), page.word("right_hand")
    return f"{lay.left_hand} {left}", f"{lay.right_hand} {right}"


def _below(page: WorkPage, view: View, box: Box) -> Box:
    """Draw the cross-section, or the colours if it does not fit; return what is left."""
    wide, tall = figures.stack_size(view.stack, page.scale, page.say) if view.stack else (0.0, 0.0)
    if not view.stack or wide > box.w or tall > box.h:
        return _swatches(page, view, box)
    place, rest = box.from_top(tall, page.scale.mm(2.0))
    place = Box(place.x, place.y, wide, tall)
    page.put(figures.Stack, place, page.scale, view.stack, page.words.say, page.shade)
    return rest


def _as_worn(page: WorkPage, view: View, box: Box, lay: PanelLay) -> None:
    """Draw how it is worn: large for a whole side, otherwise small pieces at their place."""
    scale = page.scale
    if any(page.cut) or not _shirt_fits(page, box):  # a piece of cloth is not worn
        return
    shirt_box, caption = box.from_top(min(box.h, scale.mm(36)))[0], page.word("as_worn")
    if view.panel in SMALL_PLACES:
        top = film(view.pieces[-1].colour) if view.pieces else None
        page.add(
            figures.PlaceWorn(shirt_box, scale, lay.worn, lay.half_body, top, caption, page.shade)
        )
    elif end_of(view.panel) == "collar":
        films = {piece.element: film(piece.colour) for piece in view.pieces}  # of the top layer
        name, number = ((lay.texts.get(each, ""), films.get(each)) for each in ("name", "number"))
        if name[0] or number[0]:
            page.add(figures.AsWorn(shirt_box, scale, name, number, caption, page.shade))


def _shirt_fits(page: WorkPage, box: Box) -> bool:
    return min(box.w, box.h - figures.caption_height(page.scale)) >= page.scale.mm(WORN_MM)


def border_mm(scale: Scale) -> float:
    """Return the least width of the border check, mm: a small screen needs room for the platen."""
    return BORDER_NEAR_MM if scale.near else BORDER_MM


def _border_fits(page: WorkPage, box: Box) -> bool:
    return box.w >= page.scale.mm(border_mm(page.scale)) and box.h >= page.scale.mm(BORDER_LEAST_MM)


def _border(page: WorkPage, border: Border, box: Box) -> None:
    """Draw even and uneven borders at the top, if they fit."""
    scale = page.scale
    if not _border_fits(page, box):
        return
    figure, _ = box.from_top(min(box.h, scale.mm(BORDER_TALL_MM)))
    words = (page.word("even"), page.word("move_it"))
    width, most = page.length(border.width), page.length(border.most_off)
    measures = page.word("border", width=width, most=most)
    page.add(figures.BorderCheck(figure, scale, words, page.shade, border, measures))
    page.needless.add("line.border")


def _swatches(page: WorkPage, view: View, box: Box) -> Box:
    """Draw the colours that are laid next; return what is left below."""
    em = page.scale.small / CAPITAL
    for films in (_films(page, view, by_layer=True), _films(page, view, by_layer=False)):
        wide = max((breadth(word, True) for word, _ in films), default=0.0) * em + page.scale.mm(8)
        tall = height(1, em) * len(films)
        if films and wide <= box.w and tall <= box.h:
            head, rest = box.from_top(tall, page.scale.mm(2.0))
            page.add(figures.Swatches(head, page.scale, films, page.shade))
            return rest
    return box


def drawn_lines(page: WorkPage, view: View, box: Box) -> set[str]:
    """Return the beginnings of the ids of lines that the drawing in `box` is likely to show."""
    lay = page.lay_of(view)
    border = {"line.border"} if view.border_check and "border" not in page.left_out else set()
    return border | (COLLAR_LINES if _collar_rows(page, view, lay, box)[1] else set())


def _collar_rows(page: WorkPage, view: View, lay: PanelLay, box: Box) -> tuple[str, int]:
    """Return which side is up and the seam's distance from the edge, with the rows; 0 if no room.

    Shorts have a waistband there, a sleeve its shoulder seam.
    """
    panel = view.panel
    if any(page.cut):  # a piece of cloth has no collar
        return "", 0
    distance = page.length(abs(lay.seam_ruler))
    direction = f"{end_of(panel)}_{'toward' if lay.toward else 'away'}"
    text = page.word(direction if lay.seam_ruler >= 0 else f"{direction}_over", distance=distance)
    collar_lines = [line for line in view.lines if line.id.startswith(tuple(COLLAR_LINES))]
    if collar_lines and page.collar_in_line:
        return "", 0
    if collar_lines:  # replaces that line, with all that it says
        text = page.word("side_up", side=collar_lines[0].values["panel"], way=text)
    em = page.scale.small / CAPITAL
    rows = len(wrap(text, True, box.w / em))
    left = box.h - height(rows, em) - 1 - page.scale.mm(0.6)
    least = page.scale.mm(FOR_A_LINE_MM if collar_lines else WITH_CAPTION_MM)
    return text, rows if rows <= 2 and left >= least else 0


def _collar(page: WorkPage, view: View, lay: PanelLay, box: Box) -> Box:
    """Write the seam's distance beside the collar edge; return the room left."""
    text, rows = _collar_rows(page, view, lay, box)
    if not rows:
        return box
    small = page.scale.small
    cut = box.from_bottom if lay.toward else box.from_top
    words, rest = cut(height(rows, small / CAPITAL) + 1, page.scale.mm(0.6))
    page.text(text, words, Style(small, small * 1.1, bold=True, rows=2), halign="center")
    page.needless |= COLLAR_LINES
    return rest


def _films(page: WorkPage, view: View, by_layer: bool) -> tuple[tuple[str, Colour | None], ...]:
    """Return the colours that are laid next; with `by_layer`, each of a stack names its layer."""
    stacked = {piece.element for piece in view.pieces if piece.layer > 1} if by_layer else set()
    coming = (piece for piece in view.pieces if piece.ink is Ink.NEXT and piece.colour)
    films = {}
    for piece in coming:
        word = piece.colour.upper()
        if piece.element in stacked:
            word = page.word("film_of_layer", layer=piece.layer, colour=word)
        films[word] = piece.colour
    return tuple((word, film(colour)) for word, colour in films.items())
