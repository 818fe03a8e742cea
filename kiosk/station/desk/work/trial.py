"""A trial before a lot: a piece of the same cloth at the press, its card, its note in the files.

The piece goes through the plan by its own state machine, in memory: its heat counts for no garment.
The record gets its beginning and its findings.
"""

from pathlib import Path

from kiosk.catalog.base import FABRICS, MATERIALS, say, why_of, with_entry, write_whole
from kiosk.catalog.model import GUESS, Catalog, Source, SourceKind, Sources, yaml_text
from kiosk.catalog.read import new_faults, read_catalog
from kiosk.run import facts
from kiosk.run.state import Command, ConfirmMode, Event, Garment, Now, TrialFinding
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.station.desk.cues import Cue, cues_of
from kiosk.station.desk.desk import Desk, day_of
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.files import Files
from kiosk.train.practice import Rehearsal
from kiosk.words import Words

FILES = {"material": MATERIALS, facts.FABRIC: FABRICS}


class Trial:
    """The piece at the press and its card as it is filled in; `looks` are the answers so far."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.rehearsal: Rehearsal | None = None
        self.is_pressed = False
        self.looks: tuple[bool, ...] = ()

    @property
    def at_press(self) -> bool:
        """Whether a piece of cloth is on its way through the press."""
        return self.rehearsal is not None and not self.is_pressed

    # -- the piece ------------------------------------------------------------

    def begin(self) -> None:
        """Record that a piece goes to the press, and begin it."""
        desk, job = self._desk, self._desk.shell.state.job
        ticket = facts.slot_ticket(job)
        if job is None or ticket is None:
            return
        if job.rack:  # nobody would see the racked garments come due
            desk.shell.say(say("practice.rack"))
            desk.shell.cue(Cue.REFUSED)
            return
        if desk.shell.do(s.BeginTrial()).refusal is not None:
            return
        piece = Garment("1", ticket.garment.number, ticket.garment.size, "trial")
        now = desk.shell.now()
        self.rehearsal = Rehearsal(
            job.plan, piece, desk.shell.state.operator, ConfirmMode.EACH, now
        )
        self.is_pressed, self.looks = False, ()
        self._pass_questions(now)
        desk.go(PageKind.TRYING)

    def with_first(self) -> None:
        """Use the first garment as the trial: its card holds the lot."""
        self._desk.shell.do(s.TryFirst())

    def do(self, command: Command) -> None:
        """Pass on a command of the piece's screen; a refusal is shown and heard as at work."""
        if self.rehearsal is None:
            return
        now = self._desk.shell.now()
        new_events, refusal = self.rehearsal.do(command, now)
        if refusal is not None:
            self._desk.shell.say(refusal)
            self._desk.shell.cue(Cue.REFUSED)
            return
        self._desk.shell.hush()
        self._after(new_events, now)

    def tick(self) -> None:
        """Apply clock-driven transitions."""
        if self.rehearsal is not None and self.at_press:
            now = self._desk.shell.now()
            new_events, _ = self.rehearsal.do(c.Tick(), now)
            self._after(new_events, now)

    def look_at(self, ticket: str) -> None:
        """Look at the piece on the rack; a second touch ends the look."""
        if self.rehearsal is not None:
            self.rehearsal.focus = "" if self.rehearsal.focus == ticket else ticket

    def leave(self) -> None:
        """Take the piece off without a finding."""
        self._desk.shell.do(s.LeaveTrial())
        self._put_away()

    def _after(self, new_events: tuple[Event, ...], now: Now) -> None:
        if self.rehearsal is not None:
            for cue in cues_of(new_events, self.rehearsal):
                self._desk.shell.cue(cue)
        self._pass_questions(now)
        job = None if self.rehearsal is None else self.rehearsal.state.job
        self.is_pressed = job is not None and (job.done or bool(job.aside))

    def _pass_questions(self, now: Now) -> None:
        """Answer the questions of a garment: a piece of cloth has no size and no number."""
        rehearsal = self.rehearsal
        while rehearsal is not None and rehearsal.kind(now) in (
            facts.ScreenKind.SETTING,
            facts.ScreenKind.ASK,
        ):
            job = rehearsal.state.job
            question = None if job is None else facts.question_at_hand(job)
            if job is None or question is None:
                return
            if rehearsal.kind(now) is facts.ScreenKind.SETTING:
                rehearsal.do(c.ReadSetting(facts.required_setting(job) or 0), now)
            else:
                rehearsal.do(c.AnswerQuestion(question.right), now)

    # -- the card -------------------------------------------------------------

    @property
    def faults(self) -> tuple[str, ...]:
        """The faults found."""
        return tuple(fault for fault, found in zip(facts.LOOKS, self.looks, strict=False) if found)

    def note_fault(self, found: bool) -> None:
        """Take whether the current fault is there."""
        self.looks = (*self.looks, found)

    def back(self) -> None:
        """Take the last answer back; before the first one leave the card."""
        if self.looks:
            self.looks = self.looks[:-1]
        else:
            self.leave()

    def judge(self) -> None:
        """Record the findings, and name the trial in the shop's files if it passed."""
        if self._desk.shell.do(s.JudgeTrial(self.faults)).refusal is None:
            self._put_away()
            self.note()

    def _put_away(self) -> None:
        self.rehearsal, self.is_pressed, self.looks = None, False, ()
        self._desk.go(PageKind.WORK)

    # -- the files ------------------------------------------------------------

    def note(self) -> None:
        """Write each waiting finding into the shop's file; show those that cannot be written."""
        desk = self._desk
        waiting = desk.shell.state.trials
        if not waiting:
            return
        for finding in waiting:
            try:
                written = self._write(finding)
            except OSError as problem:
                notice = say(
                    "station.trial_not_written", key=finding.tried.key, why=why_of(problem)
                )
                desk.shell.say(notice, lasting=True)
                continue
            if written is None:
                why = Words(desk.library.station.language)("station.trial_file_broken")
                desk.shell.say(
                    say("station.trial_not_written", key=finding.tried.key, why=why), lasting=True
                )
                continue
            desk.shell.do(s.NoteTrial(finding.tried, "" if written else "gone"))
            if not written:
                desk.shell.say(say("station.trial_gone", key=finding.tried.key), lasting=True)
        desk.library.read()
        desk.of(Files).record_changes(on_screen=True)

    def _write(self, finding: TrialFinding) -> bool | None:
        """Write the finding into its file; False if the entry is gone or would have a new fault.

        Return None if the file is broken: the finding has to be written once it is mended.
        """
        folder, file = self._desk.library.recipes, FILES[finding.tried.kind]
        catalog, faults = read_catalog(folder)
        before = _sources(catalog, finding)
        if before is None:
            return None if any(Path(fault.file).name == file for fault in faults) else False
        after = with_trial(
            before, finding, Words(self._desk.library.station.language)("trial.looked_at")
        )
        if after == before:
            return True
        text = (folder / file).read_bytes().decode("utf-8")
        try:
            text = with_entry(text, (finding.tried.key,), "source", yaml_text(after))
        except KeyError:
            return False
        if new_faults(folder, file, text):
            return False
        write_whole(folder / file, text.encode())
        return True


def _sources(catalog: Catalog, finding: TrialFinding) -> Sources | None:
    subject = finding.tried
    owners = catalog.fabrics if subject.kind == facts.FABRIC else catalog.materials
    found = owners.get(subject.key)
    return None if found is None else found.source


def with_trial(before: Sources, finding: TrialFinding, looked_at: str) -> Sources:
    """Return an owner's sources after a trial, which replaces guesses about what it tested.

    Values from a sheet or from work stay; settings of earlier trials are kept beside this one.
    """
    subject = finding.tried
    earlier = before.owner.at.split(facts.AND) if before.owner.kind is SourceKind.SHOP_TRIAL else []
    settings = dict.fromkeys((*filter(None, earlier), subject.at))
    trial = Source(
        SourceKind.SHOP_TRIAL,
        date=day_of(finding.wall),
        initials=finding.by,
        garments=1,
        looked_at=looked_at,
        at=facts.AND.join(settings),
    )
    known_values = {key: each for key, each in before.keys.items() if not each.is_guess}
    silent = facts.not_tried(subject)
    other_guesses = {key: before.of(key) for key in silent if before.of(key).is_guess}
    if before.owner.is_guess or before.owner.kind is SourceKind.SHOP_TRIAL:
        return Sources(trial, {**known_values, **other_guesses})
    tried_keys = {key: trial for key, each in before.keys.items() if each.is_guess}
    return Sources(
        before.owner, {**known_values, **tried_keys, **dict.fromkeys(other_guesses, GUESS)}
    )
