"""Beside the time on a dark screen: number, peel mark, lines, cross-section, next garment."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from kiosk.catalog.base import dataclass
from kiosk.plan.model import Phase
from kiosk.run.show import NextGarment, View
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens import plates
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.type import CAPITAL, Style, TextBlock, breadth, column, height
from kiosk.station.glass.widgets.figures import Stack, stack_size
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text

SMALLER = 0.85  # than the number under the press, so that the two are not confused


def next_height(page: WorkPage, pull: bool = True) -> float:
    """Return the height of the next garment on a dark screen, px; with `pull`, its pieces too."""
    scale = page.scale
    row = height(1, scale.big * SMALLER / CAPITAL) + scale.mm(1.2)
    return row + (height(1, scale.line / CAPITAL) + scale.mm(1.0) if pull else 0.0)


def draw_next(page: WorkPage, view: View, box: Box) -> None:
    """Draw the next garment in `box`: number and size in one row, what to pull below them."""
    following, scale = view.upcoming, page.scale
    if following is None:
        return
    with page.root.canvas:
        fill(Box(box.x, box.top - scale.mm(0.4), box.w, scale.mm(0.4)), page.shade.second)
    row = Box(box.x, box.y, box.w, box.h - scale.mm(1.2))
    if box.h >= next_height(page) - 1:
        pull, row = row.from_bottom(height(1, scale.line / CAPITAL) + 1, scale.mm(0.6))
        page.text(page.say(following.pull), pull, Style(scale.label, scale.line, rows=2))
    label = page.word("next")
    wide = breadth(label, True) * scale.label / CAPITAL + 2
    style = Style(scale.label, scale.label, bold=True, rows=1)
    word, rest = row.from_left(wide, scale.mm(2.5))
    page.text(label, word, style, page.shade.second)
    number = replace(view, number=following.number, set=following.set)
    rest = plates.draw_number(page, number, rest, scale.big * SMALLER, shirted=True)
    if following.size_line is not None:
        sized = Style(scale.label, scale.big * SMALLER, bold=True, rows=2)
        page.text(page.say(following.size_line), rest, sized)


def next_lines(page: WorkPage, following: NextGarment) -> tuple[str, ...]:
    """Return what comes next as one sentence, then in fewer words."""
    number = f"{following.number} {following.set}".strip()
    pull = following.pull
    if following.size_line is None:
        return (page.word("next_line_bare", number=number, pull=pull),)
    sized = following.size_line
    return (
        page.word("next_line", number=number, sized=sized, pull=pull),
        page.word("next_line_short", number=number, sized=sized),
    )


TIME_SHARES = (0.56, 0.5, 0.45, 0.4, 0.34, 0.28)
LARGE_SHARE = 0.45
LEAST_KEPT = 0.7


@dataclass(frozen=True, slots=True)
class DarkLayout:
    """How a screen is divided beside the time, and the box of the cross-section if it fits.

    `kept_share` is the share of their least size that the lines keep, `share` the time's share of
    the width, `following` the height of the next garment with its gap, px.
    """

    time: Box
    words: Box
    one_row: bool
    stack: Box | None
    lines: tuple[str, ...]
    kept_share: float = 1.0
    share: float = 1.0
    following: float = 0.0


def dark_layout(page: WorkPage, view: View, box: Box) -> DarkLayout:
    """Divide `box` between time and words: side by side, in portrait one above the other."""
    if page.scale.portrait:
        return _upright(page, view, box)
    if view.inspecting:  # the results replace the words
        time, words = box.from_left(box.w * 0.28, page.scale.mm(4.0))
        return DarkLayout(time, words, True, None, ())
    return _wide(page, view, box)


def _wide(page: WorkPage, view: View, box: Box) -> DarkLayout:
    """Put the time at the left, as large as the words allow.

    Lines that repeat the header give way to a larger time. For the cross-section the time shrinks
    to LARGE_SHARE, no further. What to pull for the next garment gives way to the cross-section,
    because phases are told apart by it.
    """
    choices = (*_line_choices(page, view), _lines(page, view)[:1])
    layouts = [_best(page, view, box, choices, following) for following in _frames(page, view)]
    whole = [best for best in layouts if best.kept_share == 1.0]
    with_stack = [best for best in whole if best.stack is not None]
    if view.phase is Phase.TACK and not with_stack:  # too short to fetch the next one anyway
        bare = _best(page, view, box, choices)
        with_stack = [bare] if bare.kept_share == 1.0 and bare.stack is not None else []
    for best in with_stack or whole:
        return best
    best = _best(page, view, box, tuple(_line_choices(page, view)))
    lines = _lines(page, view)
    for fewer in (lines[:-1], lines[:1]):  # the last line is the least needed
        if best.kept_share < LEAST_KEPT:
            best = _best(page, view, box, (fewer,))
    return best


def _frames(page: WorkPage, view: View) -> tuple[float, ...]:
    """Return the heights that the next garment can have: with what to pull, and without."""
    gap = page.scale.mm(1.5)
    if view.upcoming is None:
        return ()
    return next_height(page) + gap, next_height(page, pull=False) + gap


def _best(
    page: WorkPage,
    view: View,
    box: Box,
    choices: tuple[tuple[str, ...], ...],
    following: float = 0.0,
) -> DarkLayout:
    """Return the first division that fits; with a cross-section if the time stays large."""
    best: DarkLayout | None = None
    sizes = replace(_sizes(page, view), following=following)
    for share in TIME_SHARES:
        whole = best is not None and best.kept_share == 1.0
        if whole and (share < LARGE_SHARE or not view.stack):
            break
        for lines in choices:
            found = _layout(page, sizes, box, share, lines)
            if found.kept_share == 1.0 and found.stack is not None and share >= LARGE_SHARE:
                return found
            if best is None or found.kept_share > best.kept_share:
                best = found
    assert best is not None  # there is at least one share
    return best


def _line_choices(page: WorkPage, view: View) -> Iterator[tuple[str, ...]]:
    """Yield all lines, then fewer: without those that repeat the header, then the peel mark."""
    lines = _lines(page, view)
    yield lines
    settings = {page.say(line) for line in view.lines if line.id.startswith("setting.")}
    lines = tuple(line for line in lines if line not in settings)
    yield lines
    if view.peel is not None and view.peel_line is not None:
        yield tuple(line for line in lines if line != page.say(view.peel_line))


@dataclass(frozen=True, slots=True)
class DarkSizes:
    """The sizes of number, peel mark and cross-section, px."""

    row_wide: float
    row_tall: float
    rows: int
    stack: tuple[float, float] | None
    following: float = 0.0


def _sizes(page: WorkPage, view: View) -> DarkSizes:
    scale = page.scale
    return DarkSizes(
        number_width(page, view) + plates.peel_width(page, view) + scale.mm(5.0),
        plates.peel_height(page) + scale.mm(1.5),
        bool(view.number) + (view.peel is not None),
        stack_size(view.stack, scale, page.say) if view.stack else None,
    )


def _layout(
    page: WorkPage, sizes: DarkSizes, box: Box, share: float, lines: tuple[str, ...]
) -> DarkLayout:
    scale = page.scale
    time, words = box.from_left(box.w * share, scale.mm(5.0))
    one_row = sizes.row_wide <= words.w
    free = words.h - (min(sizes.rows, 1) if one_row else sizes.rows) * sizes.row_tall
    free -= sizes.following
    kept_share = column(_blocks(page, lines), words.w, free)[1]
    fitted, _ = column(_blocks(page, lines, grow=False), words.w, free)
    spare = free - sum(f.height for f in fitted) - len(lines) * scale.mm(0.8)
    stack = _stack(sizes, words, spare) if kept_share == 1.0 else None
    return DarkLayout(time, words, one_row, stack, lines, kept_share, share, sizes.following)


def _stack(sizes: DarkSizes, words: Box, free: float) -> Box | None:
    if sizes.stack is None:
        return None
    wide, tall = sizes.stack
    if tall > free or wide > words.w:
        return None
    return Box(words.x, words.y + sizes.following, wide, tall)


def _upright(page: WorkPage, view: View, box: Box) -> DarkLayout:
    """Divide a portrait screen: time above, words below it."""
    scale = page.scale
    needs, lines, following = _upright_needs(page, view, box)
    if view.inspecting:  # the results replace the words, below whose they are
        needs = scale.target * 1.1 + scale.mm(2.6) + height(1, scale.line / CAPITAL)
    words, time = box.from_bottom(min(max(needs, box.h * 0.36), box.h * 0.7), scale.mm(2.0))
    stack = None
    if view.stack:
        wide, tall = stack_size(view.stack, scale, page.say)
        if tall <= time.h and wide <= time.w * 0.45:
            stack, time = time.from_right(wide, scale.mm(3.0))
    return DarkLayout(time, words, True, stack, lines, following=following)


def _upright_needs(page: WorkPage, view: View, box: Box) -> tuple[float, tuple[str, ...], float]:
    """Return the height of a portrait screen's words, their lines, the next garment's height."""
    scale = page.scale
    peel = plates.peel_height(page) + scale.mm(1.5) if view.peel is not None else 0.0
    for following in (*_frames(page, view), 0.0):
        for lines in (*_line_choices(page, view), _lines(page, view)[:1]):
            fitted, _ = column(_blocks(page, lines, grow=False), box.w, 1e6)
            needs = sum(f.height for f in fitted) + len(lines) * scale.mm(0.8) + peel + following
            if needs <= box.h * 0.6:
                return needs, lines, following
    return needs, lines, 0.0


def _lines(page: WorkPage, view: View) -> tuple[str, ...]:
    """Return the lines beside the time; how to peel comes after how to open."""
    lines = [page.line(line) for line in view.lines]
    if view.peel_line is not None:
        lines.insert(1, page.say(view.peel_line))
    return tuple(lines)


def _blocks(page: WorkPage, lines: tuple[str, ...], grow: bool = True) -> list[TextBlock]:
    scale = page.scale
    style = Style(scale.line, scale.line * (1.35 if grow else 1.0))
    return [TextBlock(line, style, scale.mm(0.8)) for line in lines]


def number_width(page: WorkPage, view: View) -> float:
    """Return the width of the number and its shirt, px."""
    if not view.number:
        return 0.0
    capital = page.scale.big * 1.05
    wide = breadth(view.number, True) * capital / CAPITAL + plates.set_width(page, view)
    return wide + plates.peel_height(page) + page.scale.mm(4.0)


def draw_words(page: WorkPage, view: View, layout: DarkLayout) -> None:
    """Draw the words; their lines are updated with each later view."""
    scale, rest = page.scale, layout.words
    high = plates.peel_height(page)
    with_line = view.peel_line is not None and page.say(view.peel_line) not in layout.lines
    if view.number:
        row, below = rest.from_top(high, scale.mm(1.5))
        after = plates.draw_number(
            page, view, row, min(scale.big * 1.05, high / 1.19), shirted=True
        )
        if layout.one_row and view.peel is not None:
            place = Box(after.x + scale.mm(2), after.y, after.w - scale.mm(2), high)
            plates.draw_peel(page, view, place, line=with_line)
        rest = below
    if view.peel is not None and (not layout.one_row or not view.number):
        row, rest = rest.from_top(high, scale.mm(1.5))
        plates.draw_peel(page, view, row, line=with_line)
    if layout.following:
        foot, rest = rest.from_bottom(layout.following - scale.mm(1.5), scale.mm(1.5))
        draw_next(page, view, foot)
    if layout.stack is not None:
        page.put(Stack, layout.stack, scale, view.stack, page.words.say, page.shade)
        if not scale.portrait:
            _, rest = rest.from_bottom(layout.stack.h, scale.mm(1.0))
    blocks = _blocks(page, layout.lines)
    colours = [page.shade.text if i == 0 else page.shade.second for i in range(len(blocks))]
    texts = page.column(rest, blocks, colours)
    index = {line: i for i, line in enumerate(_lines(page, view))}
    for line, text in zip(layout.lines, texts, strict=True):
        page.live.append(_say(page, text, index[line]))


def _say(page: WorkPage, text: Text, index: int) -> Callable[[View], None]:
    return lambda later: text.say(_lines(page, later)[index])
