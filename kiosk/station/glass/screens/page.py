"""What every part of the work screen draws with: place, size, colours and words."""

from collections.abc import Callable, Collection, Hashable, Sequence
from dataclasses import field, replace

from kivy.uix.widget import Widget

from kiosk.catalog.base import Message, Value, dataclass
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import Plan
from kiosk.plan.place import NOBODY, Team
from kiosk.run.show import View
from kiosk.station.desk.sheet import Action
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay, panel_lay
from kiosk.station.glass.theme import AMBER, INK, Colour, Shade
from kiosk.station.glass.type import FittedText, Style, TextBlock, column
from kiosk.station.glass.widgets.paint import Drawn, WidgetCache, fill
from kiosk.station.glass.widgets.text import Text, stacked
from kiosk.words import Words


@dataclass
class WorkPage:
    """One drawing of the work screen; `live` is called with each later view that fits it.

    `cache` holds parts of earlier drawings. `share` is the smallest share of its least size that a
    text kept to fit its box. `needless` holds the beginnings of line ids that a figure replaces.
    `left_out` is what is left out beside the lay drawing (`ruler`, `hands`, `border`) when it needs
    the room; `near_why` shows a practice step's reason in small letters; `collar_in_line` leaves
    the collar's direction to a line, not the drawing. `corner` is what the wearer takes of that
    drawing's upper left, width and height in px. `cut` is the number and size laid on a piece of
    cloth, which has neither itself.
    """

    root: Widget
    words: Words
    settings: StationSettings
    scale: Scale
    shade: Shade
    plan: Plan | None
    name: str
    act: Callable[[Action], None]
    cache: WidgetCache
    live: list[Callable[[View], None]] = field(default_factory=list)
    share: float = 1.0
    team: Team = NOBODY
    needless: set[str] = field(default_factory=set)
    left_out: frozenset[str] = frozenset()
    near_why: bool = False
    collar_in_line: bool = False
    corner: tuple[float, float] = (0.0, 0.0)
    cut: tuple[str, str] = ("", "")

    def lay_of(self, view: View) -> PanelLay:
        """Return how the garment or piece of cloth of `view` lies."""
        assert self.plan is not None
        return panel_lay(self.plan, self.as_cut(view), self.name, self.team)

    def as_cut(self, view: View) -> View:
        """Return the view with the laid number and size, if it is of a piece of cloth."""
        number, size = self.cut
        return replace(view, number=number, size=size) if number or size else view

    def length(self, inches: float) -> str:
        """Return a length in the station's unit."""
        return self.words.length(inches, self.settings.millimetres)

    def say(self, message: Message) -> str:
        """Return a message in words."""
        return self.words.say(message)

    def line(self, message: Message) -> str:
        """Return a line to be read while working; in brief on a small screen."""
        return self.words.brief(message) if self.scale.near else self.say(message)

    def word(self, id: str, **values: Value) -> str:  # noqa: A002 - as in Message
        """Return one of the screen's own words."""
        return self.words(f"work.{id}", **values)

    def add(self, widget: Widget) -> Widget:
        """Put a widget on the page."""
        self.root.add_widget(widget)
        return widget

    def put(self, kind: Callable[..., Drawn], *values: Hashable) -> Drawn:
        """Put a widget made of these values on the page, reusing one that was shown before."""
        widget = self.cache.get(kind, *values)
        self.add(widget)
        return widget

    def text(
        self,
        text: str,
        box: Box,
        style: Style,
        colour: Colour | None = None,
        halign: str = "left",
        valign: str = "middle",
        fitted: FittedText | None = None,
    ) -> Text:
        """Put a text on the page."""
        colour = colour or self.shade.text
        widget = self.cache.get(Text, text, box, style, colour, halign, valign, fitted)
        self.share = min(self.share, widget.fitted.share)
        self.add(widget)
        return widget

    def column(
        self,
        box: Box,
        blocks: Sequence[TextBlock],
        colours: Sequence[Colour],
        middle: bool = False,
        late: Collection[int] = (),
    ) -> tuple[Text, ...]:
        """Put texts one below the other, all grown and shrunk alike, from the top or in the middle.

        Those with an index in `late` get an amber ground.
        """
        fitted, share = column(blocks, box.w, box.h)
        self.share = min(self.share, share)
        tall = sum(f.height for f in fitted) + sum(b.gap for b in blocks[:-1])
        top = box.top - ((box.h - tall) / 2 if middle else 0.0)
        texts: list[Text] = []
        places = stacked(box, top, blocks, fitted)
        for block, each, colour, place in zip(blocks, fitted, colours, places, strict=True):
            if len(texts) in late:
                with self.root.canvas:
                    fill(Box(place.x, place.y, min(box.w, each.width), place.h), AMBER)
                colour = INK
            texts.append(self.text(block.text, place, block.style, colour, "left", "top", each))
        return tuple(texts)


BAR_SHARE = 0.2  # the forward bar fills the bottom fifth
SIDE_MM = 18.0
SIDE_SHARE = 0.135  # of the width, for the buttons beside it


@dataclass(frozen=True, slots=True)
class Areas:
    """`content` is between the ribbon and the bar; `left` and `right` are beside the bar."""

    whole: Box
    header: Box
    ribbon: Box
    content: Box
    left: Box
    bar: Box
    right: Box


def areas(whole: Box, scale: Scale, header: float, ribbon: float, bar_to_edge: bool) -> Areas:
    """Divide the screen; `header`, `ribbon` px high; `bar_to_edge` if there is no back button."""
    tight = 0.6 if scale.near else 1.0
    foot, rest = whole.from_bottom(whole.h * BAR_SHARE, scale.mm(2.2 * tight))
    side = max(scale.mm(SIDE_MM), whole.w * SIDE_SHARE)
    left, middle = foot.from_left(side, scale.gap)
    right, bar = middle.from_right(side, scale.gap)
    if bar_to_edge:
        bar = Box(whole.x, bar.y, bar.right - whole.x, bar.h)
    page = Box(rest.x + scale.margin, rest.y, rest.w - 2 * scale.margin, rest.h)
    head, page = page.from_top(
        header + scale.mm(1.6 * tight), scale.mm(0.8 * tight) if ribbon else 0.0
    )
    head = Box(head.x, head.y, head.w, header)
    marks, content = page.from_top(ribbon, scale.mm(2.2 * tight))
    return Areas(whole, head, marks, content, left, bar, right)
