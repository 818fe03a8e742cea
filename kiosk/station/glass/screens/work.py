"""The work screen: draws a view and reports what was touched. It knows no rules."""

from functools import cached_property
from typing import Any

from kivy.clock import Clock

from kiosk.catalog.base import Message
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import Back, Forward, PutOnHold, SayOpened, TicketStage
from kiosk.station.desk.sheet import Action, ChipTouched, DullClick, ShowChoices
from kiosk.station.glass.inputs import PressSource, PressTimer, safe_callback
from kiosk.station.glass.screens.foot import Judging, earlier
from kiosk.station.glass.screens.picture import OFFERS, WorkPicture
from kiosk.station.glass.screens.plates import has_closer, has_rack
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

CHOOSES = frozenset(
    {
        ScreenKind.HANDS,
        ScreenKind.ASK,
        ScreenKind.SETTING,
        ScreenKind.HELD,
        ScreenKind.VERIFY,
        ScreenKind.LOT,
        ScreenKind.DONE,
    }
)
"""Light screens on which a long press opens the choices."""
READS_SECONDS = 0.05  # nobody reads a question faster
YOUNG_SECONDS = 0.5  # an earlier touch after a change was meant for the last picture


class WorkScreen(WorkPicture):
    """The job at the press, used by finger and by a pedal (`pedal_down` and `pedal_up`)."""

    _meaning: Any = None  # the bar's meaning as the press began

    @cached_property
    def press(self) -> PressTimer:
        """The press of the forward bar."""
        return PressTimer(self.clock, self._bar_down, self._bar_short, self._bar_long)

    def _act(self, action: Action) -> None:
        """Pass on what a button asks, unless its picture is too new to have been read."""
        if self.clock() - self._since < YOUNG_SECONDS:
            self.on_action(DullClick())
            return
        self._judging = None
        self._reading = None
        self.on_action(action)

    def _turn(self, judging: Judging | None) -> None:
        if self.clock() - self._since < YOUNG_SECONDS:
            self.on_action(DullClick())
            return
        self._judging, self._reading = judging, None
        self._typed.clear()
        if self.view is not None:  # nothing else refreshes after a pedal's long press
            self.show(self.view, self._notices, self._flags)

    def on_touch_down(self, touch: Any) -> bool:
        """Handle bar and side buttons here; the rest belongs to the widgets."""
        if self._painted is None or self.view is None:
            return False
        foot = self._painted.foot
        if foot.bar.holds(*touch.pos):
            touch.grab(self)
            self.press.down(PressSource.FINGER)
        elif foot.back is not None and foot.back.holds(*touch.pos):
            self._back()
        elif foot.right is not None and foot.right.holds(*touch.pos):
            self._act(SayOpened() if self.view.opened else PutOnHold())
        elif not super().on_touch_down(touch):
            self._look_closer(*touch.pos)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """End a press of the bar, wherever the finger lifts."""
        if touch.grab_current is self:
            touch.ungrab(self)
            self.press.up(PressSource.FINGER)
        return True

    def _look_closer(self, x: float, y: float) -> None:
        """Show the touched lay drawing, or the rack after a touch beside its chips, over the page.

        Another touch removes it.
        """
        closer = "" if self._closer else self._touched(x, y)
        if self.view is not None and closer != self._closer:
            self._closer = closer
            self.show(self.view, self._notices, self._flags)

    def _touched(self, x: float, y: float) -> str:
        """Return what can be looked at closer at a touched point, "" for nothing."""
        lay = next((each for each in self.walk() if isinstance(each, LayDrawing)), None)
        if self.view is None or self._judging is not None:
            return ""
        if lay is not None and has_closer(self.view) and lay.box.holds(x, y):
            return "lay"
        return "rack" if has_rack(self.view) else ""

    def _back(self) -> None:
        if self._reading is not None:
            self._reading = None
        elif self._judging is None and self.view is not None and self.view.touched:
            self._act(ChipTouched(self.view.touched))
        elif self._judging is None:
            self._act(Back())
        else:
            self._turn(earlier(self._judging))

    def judge(self, ticket: str, number: str, stage: TicketStage) -> None:
        """Ask for the defect and cause of a garment, once it is shown."""
        self._judging = Judging(ticket, number, stage)
        self._typed.clear()

    def pedal_down(self) -> None:
        """The pedal went down."""
        self.press.down(PressSource.PEDAL)

    def pedal_up(self) -> None:
        """The pedal came up."""
        self.press.up(PressSource.PEDAL)

    def second_pedal(self) -> None:
        """Do what a long press of forward does."""
        self._bar_long(PressSource.PEDAL, self.clock())

    def _bar_down(self, source: PressSource, since: float) -> bool:
        """Keep the bar's meaning: only the release tells whether the press was short."""
        self._meaning = None if self.view is None or self._judging else self.view.bar.meaning
        if self._meaning is not None:
            Clock.schedule_once(safe_callback(self._look_ahead), 0)
        return False

    def _put_up(self, view: View, flags: tuple[Message, ...], key: tuple[object, ...]) -> None:
        super()._put_up(view, flags, key)
        if view.kind is ScreenKind.ASK:  # in a later frame, so that a start does not wait for it
            look = safe_callback(self._look_ahead)
            Clock.schedule_once(lambda dt: Clock.schedule_once(look, READS_SECONDS), 0)

    def _look_ahead(self) -> None:
        """Draw ahead what the held press of forward, or the right answer, will show."""
        meaning = self._meaning if self.press.held else None
        if meaning is None and (self.view is None or self.view.kind is not ScreenKind.ASK):
            return
        view = self.ahead(None if meaning is None else Forward(meaning, self.clock()))
        if view is None or view.kind in OFFERS or self._closer:
            return
        self.draw_ahead(view)

    def _bar_short(self, source: PressSource, since: float) -> None:
        if self._meaning is not None:
            self.on_action(Forward(self._meaning, since))
        elif self._painted is not None and self._painted.choices.buttons:
            self._painted.choices.step()
        elif self.view is not None and self.view.ask is not None and self.view.ask.pad:
            self._stepping = True
            self.show(self.view, self._notices, self._flags)
        elif self.view is not None and self.view.kind is ScreenKind.SETTING and self.view.ask:
            self._reading = self.view.ask
            self.show(self.view, self._notices, self._flags)
        else:
            self.on_action(DullClick(None if self.view is None else self.view.bar.refusal))

    def _bar_long(self, source: PressSource, since: float) -> None:
        """On a long press: take the marked choice, report the press opened, or show the choices."""
        if self._painted is not None and self._painted.choices.choose():
            return
        if self.view is not None and self.view.opened:
            self.on_action(SayOpened())
        elif self.view is not None and self.view.kind in CHOOSES:
            self._judging = None
            self.on_action(ShowChoices())
        else:
            self.on_action(DullClick())
