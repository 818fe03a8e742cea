"""What a screen is about: the job, the ticket that it shows, and what forward means."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.commands import Verb
from kiosk.run.kind import kind_of
from kiosk.run.late_hot import asks_how_it_peeled
from kiosk.run.meaning import BarMeaning, bar_meaning
from kiosk.run.model import JobRun, Now, Stage, State, Ticket
from kiosk.run.naming import called
from kiosk.run.rack import serve_next
from kiosk.run.scene import Scene, hands_on, under_press
from kiosk.run.views import Kind

DARK = frozenset({Kind.HEAT, Kind.OVER, Kind.UNASKED})
FOCUSABLE = frozenset({Stage.COOLING, Stage.UNKNOWN, Stage.REWORK})
OF_A_TICKET = frozenset({Verb.CLOSE, Verb.CONFIRM, Verb.FINISH, Verb.PEELED, Verb.GO_ON})


@dataclass(frozen=True, slots=True)
class Moment:
    """A settled state at `now`; `scene` is None where no garment is to be shown.

    `touched` is the garment whose chip a finger touched, if it can be given a result.
    """

    state: State
    now: Now
    kind: Kind
    job: JobRun
    means: BarMeaning
    scene: Scene | None
    touched: Ticket | None

    @property
    def inspected(self) -> Ticket | None:
        """The garment that can be given a result now."""
        if self.touched is not None:
            return self.touched
        scene = self.scene
        if scene is None or self.kind is not Kind.HANDS:
            return None
        ends = scene.move.ends or scene.ticket.stage is Stage.UNKNOWN
        return scene.ticket if ends else None

    @property
    def asks_how_it_peeled(self) -> bool:
        """Whether the garment shown had its hot peel so late that it is asked about."""
        ticket = None if self.scene is None else self.scene.ticket
        if ticket is None or ticket.id != self.job.slot or self.inspected is None:
            return False
        return self.means.meaning is None and asks_how_it_peeled(self.job, ticket, self.now)

    @property
    def rack_first(self) -> str | None:
        """What the garment is called whose load waits while one of the rack is peeled first."""
        meaning = self.means.meaning
        if self.kind is not Kind.HANDS or meaning is None or meaning.verb is not Verb.PEELED:
            return None
        return called(self.job.tickets[self.job.slot]) if self.job.slot else None


def moment(state: State, job: JobRun, now: Now, focus: str) -> Moment:
    """Return what the screen of a settled `state` is about; `focus` is a touched ticket or ""."""
    kind, means = kind_of(state, now), bar_meaning(state, now)
    touched = job.tickets.get(focus)
    if touched is not None and touched.stage not in FOCUSABLE:
        touched = None
    scene = _scene(state, job, now, kind, means, touched)
    return Moment(state, now, kind, job, means, scene, touched)


def _scene(
    state: State, job: JobRun, now: Now, kind: Kind, means: BarMeaning, touched: Ticket | None
) -> Scene | None:
    """The press's own garment on a dark screen, else the touched one, else forward's."""
    heat = state.heat
    if heat is not None and heat.ticket in job.tickets:
        return under_press(state, job, job.tickets[heat.ticket], heat.step, now)
    if touched is not None and kind not in DARK:
        return hands_on(state, job, touched, now)
    if kind in (Kind.LOT, Kind.DONE):
        return None
    ticket = job.tickets.get(job.slot)
    meaning = means.meaning
    if meaning is not None and meaning.verb in OF_A_TICKET and kind not in DARK:
        ticket = job.tickets.get(meaning.ticket, ticket)
    if ticket is None:
        ticket = job.tickets.get(serve_next(job, now))
    return None if ticket is None else hands_on(state, job, ticket, now)
