"""The station without its window: commands to the record, notices, sounds."""

from collections.abc import Callable
from concurrent.futures import Executor, Future

from kiosk.catalog.base import Message, say, why_of
from kiosk.log.record import Outcome, Recorder
from kiosk.log.rescue import LogPatrol
from kiosk.log.store import LogFault
from kiosk.peel.estimate import changed_estimates
from kiosk.peel.lessons import read_again
from kiosk.peel.worker import Advice, Estimates, changes_estimates, lessons
from kiosk.run.decide import carry_out, settled
from kiosk.run.facts import incomplete_lines, label_of, missing_tickets, pass_of
from kiosk.run.show import View, view
from kiosk.run.state import (
    Command,
    Now,
    Refusal,
    State,
    Ticket,
    TicketStage,
    commands,
    commands_shift,
    events,
    events_station,
    stations_called,
)  # fmt: skip
from kiosk.station.desk.cues import COUNTS, Cue, CuesGiven
from kiosk.station.desk.jobs.rosters import Rosters
from kiosk.station.desk.notices import SECONDS, Notices
from kiosk.station.desk.work.unwritten import UnwrittenBar

IDLE_SECONDS = 2.0  # since the last tap: old events are read again only while nobody waits
ROW_IS_CHECKED = (
    events.TicketCalled, events.TimeUp, events.Opened, events.WasClosed, events.ToldPressed,
)  # fmt: skip
CLOSING_COMMANDS = (commands.PressClosed, commands_shift.SayPressed)
AUTOMATIC = (
    commands.Tick, commands_shift.GiveEstimate, commands_shift.LearnPeel, commands_shift.TakeBatch,
    commands_shift.EndBatches, commands_shift.MeetClaims,
)  # fmt: skip


class Shell:
    """Passes commands to the recorder; `now` gives the moment, `cue` plays a sound."""

    def __init__(
        self,
        recorder: Recorder,
        rosters: Rosters,
        now: Callable[[], Now],
        cue: Callable[[Cue], None],
        executor: Executor | None = None,
    ) -> None:
        self.recorder = recorder
        self.estimates = Estimates(executor)
        self.advice = Advice()
        self._stale = False
        self.rosters = rosters
        self.now = now
        self.cue = cue
        self.focus = ""
        self._notices = Notices()
        self._cues_given = CuesGiven()
        self._unwritten = UnwrittenBar(recorder)
        self._view_inputs: tuple[State | None, Now | None, str, frozenset[str]]
        self._view_inputs = None, None, "", frozenset()
        self._awaited: dict[object, tuple[Future[object], Callable[[object], None]]] = {}
        self.patrol = LogPatrol(recorder.store)
        self._tapped = float("-inf")

    @property
    def state(self) -> State:
        """The station's state."""
        return self.recorder.state

    def do(self, command: Command) -> Outcome:
        """Pass a command to the recorder; a refusal becomes a notice and a dull click."""
        before = self.state
        outcome = self.recorder.do(command, self.now())
        if outcome.refusal is not None:
            self._refuse(outcome.refusal)
        elif outcome.events and not isinstance(command, AUTOMATIC):
            self.hush()  # the earlier notice is answered
        if not isinstance(command, AUTOMATIC):
            self._tapped = self.now().clock
        for event in outcome.events:
            self._react(event)
        self._follow(before, outcome.events)
        return outcome

    def _refuse(self, reason: Message, lasting: bool = False) -> None:
        self.say(reason, lasting)
        self.cue(Cue.REFUSED)

    def _follow(self, before: State, new_events: tuple[events.Event, ...]) -> None:
        """Pass events on for estimates: lessons at once, solving on its own thread."""
        for event in new_events:
            notice = read_again(before, event)
            if notice is not None:
                self.hush()
                self._refuse(notice, lasting=True)
            elif isinstance(event, events_station.Touched | events.Finished):
                self._notices.remove("station.read_again")
        for learn in lessons(before, new_events):
            self.do(learn)
        if changes_estimates(new_events) or self.estimates.wanted(self.state):
            self._stale = True  # for the next frame: a tap cannot wait for it

    def _react(self, event: events.Event) -> None:
        if isinstance(event, events.Closed):
            self._notices.remove("station.stopped")
            self._count_in(event)
        elif isinstance(event, events.TimeUp):
            self.cue(Cue.TIME_UP)
        elif isinstance(event, events.ReadBack) and not event.right:
            self._refuse(say("station.wrong_read", read=event.read))
        elif isinstance(event, events.AskedQuick):
            self.cue(Cue.REFUSED)
        elif isinstance(event, events_station.Touched | events_station.PlaceSaid):
            self.say(say("station.noted"))
        elif isinstance(event, events_station.ClaimsLeft):
            names = stations_called(event.stations)
            self.say(say("station.claims_left", station=names), lasting=True)
        elif isinstance(event, events.JobDone):
            self.cue(Cue.DONE)
        elif isinstance(event, events.Stopped) and (ticket := self._ticket(event.ticket)):
            self._refuse(say("station.stopped", number=label_of(ticket)), lasting=True)
        # A row that changed while its garment was hot is reported now; at a start, after the roster
        # is read.
        if isinstance(event, ROW_IS_CHECKED) and not self.rosters.waits:
            self.check_row(event.ticket)

    def _count_in(self, closed: events.Closed) -> None:
        """Play the count of the phase, also if a switch reported the closing."""
        job, ticket = self.state.job, self._ticket(closed.ticket)
        if job is None or ticket is None:
            return
        self.cue(COUNTS[pass_of(job, ticket).steps[closed.step].phase])

    def _ticket(self, name: str) -> Ticket | None:
        return None if self.state.job is None else self.state.job.tickets.get(name)

    def work(self, command: Command) -> None:
        """Carry out a command of the work screen; a result ends the look at one garment."""
        if isinstance(command, commands.Forward):
            if self._unwritten.too_soon(command):
                self._refuse(say("refuse.forward.too_soon"))
                return
            self.check_row(command.meaning.ticket)
            ticket = self._ticket(command.meaning.ticket)
            if ticket is not None and ticket.stage is TicketStage.STOPPED:
                return  # a notice says why
        elif isinstance(command, CLOSING_COMMANDS) and self.state.job is not None:
            self.check_row(self.state.job.slot)
        outcome = self.do(command)
        if outcome.refusal is None and isinstance(command, commands.Inspect):
            self.focus = ""

    def check_row(self, ticket: str) -> None:
        """Stop a garment whose roster row changed since its job began."""
        found = self._ticket(ticket)
        if found is None:
            return
        garment = found.garment
        self.rosters.refresh()
        if self.rosters.digest(garment.line) != garment.digest:
            self._stop_row(garment.line)
        if self.rosters.is_new:
            self.rosters.is_new = False
            self._stop_filled_rows()

    def _stop_row(self, line: str) -> None:
        rosters, job = self.rosters, self.state.job
        row = rosters.row(line, {t.garment.size for t in job.tickets.values()} if job else ())
        self.do(commands.RowChanged(line, rosters.digest(line), rosters.lacks(line), row))

    def _stop_filled_rows(self) -> None:
        """Stop garments that skipped a pass for lack of a value their row has now.

        Nothing else calls them back. One under heat is checked when that ends.
        """
        job, heat, rosters = self.state.job, self.state.heat, self.rosters
        if job is None:
            return
        hot = None if heat is None else job.tickets.get(heat.ticket)
        for line in incomplete_lines(job):
            filled = rosters.digest(line) and missing_tickets(job, line, rosters.lacks(line))
            if filled and (hot is None or hot.garment.line != line):
                self._stop_row(line)

    def read_roster(self) -> None:
        """Read the names, which waited for the first frame, and check the current garment's row."""
        self.rosters.refresh()
        if self.state.job is not None and self.state.heat is None:
            self.check_row(self.state.job.slot)

    def tick(self) -> None:
        """Apply clock-driven transitions, retry pending writes, play due cues."""
        now = self.now()
        self.recorder.retry()
        if self._is_due(now):
            self.do(commands.Tick())
        self._estimate()
        self.take_results()
        if self.state.job is not None:
            for cue in self._cues_given.cues(self.view(now), now.clock):
                self.cue(cue)
        if self.state.heat is None and now.clock - self._tapped >= IDLE_SECONDS:
            self._patrol(now)
            self._read_on()

    def _read_on(self) -> None:
        """After an update, read a long record again, a hundredth of a second at a time."""
        try:
            self.recorder.read_on()
        except LogFault:
            self.say(say("station.bad_events"), lasting=True)

    def _patrol(self, now: Now) -> None:
        """Read some old events again, and report any that have gone bad."""
        before = self.patrol.fault
        for seq in self.patrol.check_some(now):
            self.say(say("station.rotten", seq=seq), lasting=True)
        if self.patrol.fault is not None and before is None:
            self.say(say("station.bad_events"), lasting=True)

    @property
    def has_news(self) -> bool:
        """Whether an estimate or a background result is ready for the next frame."""
        finished = any(found.done() for found, _ in self._awaited.values())
        return finished or self._stale or self.estimates.ready

    def is_waiting(self, asker: object) -> bool:
        """Return whether `asker` waits for a background result."""
        return asker in self._awaited

    def wait_for(
        self, asker: object, work: Callable[[], object], then: Callable[[object], None]
    ) -> None:
        """Run `work` on the solver's thread; pass its result on unless `asker` asked again."""
        self._awaited[asker] = self.estimates.executor().submit(work), then
        self.take_results()

    def take_results(self) -> None:
        """Pass on finished background results."""
        for asker, awaited in tuple(self._awaited.items()):
            future, then = awaited
            if future.done() and self._awaited.get(asker) is awaited:
                del self._awaited[asker]
                then(future.result())

    def _estimate(self) -> None:
        """Record solved estimates, and those that an observation or a lesson changed."""
        solved = self.estimates.take()
        if solved is not None:
            self.do(solved)
        if self._stale:
            self._stale = False
            for changed in changed_estimates(self.state):
                self.do(changed)
            self.estimates.start_solving(self.state)

    def _is_due(self, now: Now) -> bool:
        """Return whether the clock ends something: a closing, a check, a rest of the hands.

        On hold too: a change that is shown but never recorded makes every label count as new.
        """
        return settled(self.state, now) is not self.state

    def view(self, now: Now) -> View:
        """Return what the work screen shows; unchanged inputs return the same object."""
        inputs = (self.state, now, self.focus, self.rosters.nameless)
        if self._view_inputs[0] is not inputs[0] or self._view_inputs[1:] != inputs[1:]:
            self._view_inputs, self._view = inputs, view(*inputs)
        shown = self.advice.on_setting(self._view, self.state, now, self.estimates.executor)
        return self._unwritten.on_bar(shown, self.state, now)

    def state_after(self, command: Command) -> State | None:
        """Return the state after `command` if it were done now, or None if it would be refused."""
        done = carry_out(self.state, command, self.now())
        return None if isinstance(done, Refusal) else done.state

    def say(self, message: Message, lasting: bool = False, seconds: float = SECONDS) -> None:
        """Show a message for `seconds`; a `lasting` one for minutes, beside later ones."""
        self._notices.say(message, self.now().clock, lasting, seconds)

    def not_written(self, problem: OSError) -> None:
        """Show that a file could not be written, and why."""
        self.say(say("station.file_not_written", why=why_of(problem)))

    def hush(self) -> None:
        """Remove the passing notice; a lasting one stays."""
        self._notices.hush()

    def notices(self, now: Now) -> tuple[Message, ...]:
        """Return the messages over every page: unrecorded events, then lasting, then passing."""
        return *self._unwritten.notices(), *self._notices.current(now.clock)
