"""Beginning a job that is set up, and leaving it: its folder is claimed, its start recorded."""

import contextlib
import json
import os
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from kiosk.catalog.base import Message, dataclass, read_side_file, say, shown
from kiosk.log.store import Head, LogFault, NoHead, Store
from kiosk.run.facts import needs_supervisor as by_supervisor
from kiosk.run.state import commands, commands_shift, rules_of
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.library import Offer
from kiosk.station.desk.jobs.proofing import Proofing
from kiosk.station.desk.people.people import ask_pin
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words

NAME = ".claimed"
NOBODY_KNOWN = "?"
SAMPLES = 3  # lines of the roster to compare with the file at a glance


@dataclass(frozen=True, slots=True)
class Claim:
    """Who has a job, since when (seconds since 1970): a name for people, and the log's own id.

    `head` is what that log held then, `id` and `head` "" in a claim of an older program.
    """

    station: str
    since: float
    id: str = ""
    head: str = ""


@dataclass(frozen=True, slots=True)
class Claimant:
    """A station that asks for jobs: its name for people, and its log."""

    name: str
    store: Store

    def owns(self, held: Claim) -> bool:
        """Whether the claim was made by this log: it has the same id and holds what that held."""
        if not held.id:
            return held.station == self.name != NOBODY_KNOWN
        return held.id == self.store.station and self._holds(held.head)

    def is_copied_from(self, held: Claim) -> bool:
        """Whether a copy of this log made the claim, and went on by itself: a cloned tablet."""
        return held.id == self.store.station and not self.owns(held)

    def _holds(self, head: str) -> bool:
        try:
            written = Head.read(head)
        except NoHead:
            return False
        try:
            found = self.store.head_at(written.seq)
        except LogFault:
            return False
        return found is not None and found.is_as(written)


class CannotClaim(Exception):
    """The job's folder does not take the file: read-only, full, gone."""


def claim(folder: Path, station: Claimant, wall: float) -> Claim:
    """Claim the job for `station` and return whose it is: ours, or the one that came first.

    Raises CannotClaim when the folder cannot be written or read.
    """
    path = folder / NAME
    ours = Claim(station.name, wall, station.store.station, station.store.head.full)
    try:
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
    except FileExistsError:
        return holder(folder) or Claim(NOBODY_KNOWN, wall)
    except OSError as problem:
        raise CannotClaim(str(problem)) from problem
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        json.dump(asdict(ours), file)
        file.flush()
        os.fsync(file.fileno())
    return ours


def holder(folder: Path) -> Claim | None:
    """Return who has claimed the job, None for nobody; a damaged claim is somebody's: `?`."""
    path = folder / NAME
    try:
        held = read_side_file(path)
        return Claim(
            shown(str(held["station"])),
            float(held["since"]),
            str(held.get("id", "")),
            str(held.get("head", "")),
        )
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError, OverflowError):
        return Claim(NOBODY_KNOWN, 0.0)


def release(folder: Path, station: Claimant) -> None:
    """Give the job back, if it is ours."""
    held = holder(folder)
    if held is not None and station.owns(held):
        with contextlib.suppress(OSError):
            (folder / NAME).unlink()


def take_over(folder: Path, station: Claimant, wall: float) -> Claim:
    """Claim a job that another no longer works on, by a supervisor's word; or CannotClaim."""
    try:
        (folder / NAME).unlink(missing_ok=True)
    except OSError as problem:
        raise CannotClaim(str(problem)) from problem
    return claim(folder, station, wall)


def needs_supervisor(desk: Desk) -> bool:
    """Whether the job that is looked at may only be begun with the supervisor's PIN."""
    offer = desk.offer
    if offer is None or offer.plan is None or begun(desk, offer):
        return False
    return by_supervisor(offer.plan) or bool(offer.questions)


def begun(desk: Desk, offer: Offer) -> bool:
    """Whether the job was begun at this station already."""
    return offer.folder.name in desk.shell.state.jobs


def start_job(desk: Desk) -> None:
    """Begin the job that is set up: columns confirmed, with the supervisor's PIN if needed."""
    offer = desk.offer
    if offer is not None and offer.guessed and not _columns_known(desk, offer):
        desk.go(Page.COLUMNS)
    elif offer is not None and not begun(desk, offer) and desk.of(Proofing).required(offer):
        desk.of(Proofing).look()
    elif needs_supervisor(desk):
        ask_pin(desk, lambda: _take(desk, claim), say("pin.for.begin"))
    else:
        _take(desk, claim)


def confirm_columns(desk: Desk) -> None:
    """Take the roster's columns as they were read, and go on."""
    if desk.offer is not None:
        desk.shell.do(commands_shift.ConfirmColumns(*desk.offer.confirmable))
        start_job(desk)


def _columns_known(desk: Desk, offer: Offer) -> bool:
    """Whether somebody confirmed this roster's columns, or its job began with them."""
    confirmed = desk.shell.state.columns.get(offer.folder.name)
    return begun(desk, offer) or confirmed == offer.taken


def columns(desk: Desk, words: Words) -> Sheet:
    """Is this how the roster is meant?"""
    offer = desk.offer
    found = offer.columns if offer is not None else ()
    taken = tuple(
        words("page.columns_taken", header=each.header, field=say(f"page.field.{each.field}"))
        for each in found
        if each.field and each.header.casefold() != each.field
    )
    left = tuple(each.header for each in found if each.header and not each.field)
    rows = offer.roster[:SAMPLES] if offer is not None else ()
    return Sheet(
        title=words("page.columns"),
        lines=(
            *taken,
            *((words("page.columns_left", headers=left),) if left else ()),
            *(
                words("page.columns_row", number=r.number, size=r.size, name=r.name, line=r.line)
                for r in rows
            ),
        ),
        main=Button(words("page.columns_main"), lambda: confirm_columns(desk)),
        left=Button(words("page.back"), lambda: desk.go(Page.SET_UP)),
    )


def claimant(desk: Desk) -> Claimant:
    """Return this station as one that asks for jobs."""
    return Claimant(desk.identity.station, desk.shell.recorder.store)


def take_job_over(desk: Desk) -> None:
    """Begin a job that another station holds: a supervisor knows it no longer works on it."""
    _take(desk, take_over)


def leave_job(desk: Desk) -> None:
    """Put the job back, open or done, and give up its claim; a hold ends."""
    desk.end_hold()
    key = desk.shell.state.current
    if desk.shell.do(commands.LeaveJob()).refusal is None:
        release(desk.library.jobs / key, claimant(desk))
        desk.go(Page.JOBS)


def _take(desk: Desk, take: Callable[[Path, Claimant, float], Claim]) -> None:
    """Begin the job that is looked at, or take it up again, where `take` gets its folder."""
    offer = desk.offer
    if offer is None:
        return
    try:
        held = take(offer.folder, claimant(desk), desk.shell.now().wall)
    except CannotClaim as problem:
        desk.shell.say(say("station.cannot_claim", why=str(problem)))
        desk.go(Page.SET_UP)
        return
    if claimant(desk).owns(held):
        _begin(desk, offer)
    else:
        desk.shell.say(_claimed(claimant(desk), held))
        desk.go(Page.SET_UP)


def _claimed(own: Claimant, held: Claim) -> Message:
    """Who has the job; of two stations called alike the other's id says which."""
    if own.is_copied_from(held):
        return say("station.claimed_by_copy")
    alike = held.station == own.name and held.id
    return say(
        "station.claimed", station=f"{held.station} ({held.id[-4:]})" if alike else held.station
    )


def _begin(desk: Desk, offer: Offer) -> None:
    plan = offer.plan
    if plan is None:
        return
    desk.of(Files).note()
    desk.shell.rosters.take(offer.folder)
    catalog, run = desk.library.catalog, desk.shell.state.jobs.get(offer.folder.name)
    own = rules_of(catalog.policy, catalog.presses[plan.press]) if run is None else run.rules
    start = commands.StartJob(
        offer.folder.name,
        plan,
        offer.plan_hash,
        offer.garments(),
        len(offer.questions),
        own,
        str(offer.folder.resolve()),
        offer.due,
        offer.lots,
    )
    begun = desk.shell.do(start).refusal is None
    if not begun:
        release(offer.folder, claimant(desk))
    desk.go(Page.WORK if begun else Page.SET_UP)
