"""The bar while the record cannot be written: no new garment begins, and the bar says so."""

from dataclasses import replace
from math import inf

from kiosk.catalog.base import Message, Value, say
from kiosk.log.record import Recorder
from kiosk.run.decide import SETTLES_SECONDS
from kiosk.run.facts import slot_ticket
from kiosk.run.show import View
from kiosk.run.state import Now, State, Verb, commands


class UnwrittenBar:
    """The bar in place of one that would begin a garment, and since when it is the usual one."""

    def __init__(self, recorder: Recorder) -> None:
        self._recorder = recorder
        self._shown = False
        self._gone = -inf

    def on_bar(self, view: View, state: State, now: Now) -> View:
        """Return the view; forward is refused with its reason if it would begin a garment."""
        blocked = self._blocks and _begins(state, view.bar.meaning)
        if self._shown and not blocked:
            self._gone = now.clock
        self._shown = blocked
        if not blocked:
            return view
        label, below = say("bar.not_recorded"), say(f"below.{self._way_out()}")
        refusal = say("refuse.not_recorded")
        bar = replace(view.bar, label=label, below=below, meaning=None, refusal=refusal)
        return replace(view, bar=bar)

    @property
    def _blocks(self) -> bool:
        return self._recorder.unrecorded > 0 or self._recorder.displaced is not None

    def _way_out(self) -> str:
        """Return the message id of what to do."""
        if self._recorder.displaced is not None:
            return "restart_station"
        return "make_room" if _id(self._recorder.why) == "log.why.full" else "once_written"

    def notices(self) -> tuple[Message, ...]:
        """Return how many events are not recorded and why, and where they are kept."""
        recorder, why = self._recorder, self._recorder.why
        id_ = "station.not_recorded" if why is None else "station.not_recorded_why"
        waiting = (say(id_, count=recorder.unrecorded, why=why),) if recorder.unrecorded else ()
        kept = () if recorder.displaced is None else (recorder.displaced.message,)
        return *waiting, *kept

    def too_soon(self, command: commands.Forward) -> bool:
        """Return whether the tap began before anybody could have read the usual label again."""
        return command.down - self._gone < SETTLES_SECONDS


def _begins(state: State, meaning: commands.Meaning | None) -> bool:
    """Return whether `meaning` confirms a garment's first step, or closes on it.

    The recorder asks the events (`begins_garment`); a tap that is asked about first has none yet.
    """
    ticket = slot_ticket(state.job)
    if meaning is None or ticket is None or meaning.ticket != ticket.id:
        return False
    first = ticket.step if meaning.verb is Verb.CLOSE else meaning.step
    return meaning.verb in (Verb.CLOSE, Verb.CONFIRM) and first == 0


def _id(value: Value) -> str:
    return value.id if isinstance(value, Message) else ""
