"""Ways into a job that need a supervisor: another has it, or presses by another plan."""

from kiosk.catalog.base import say
from kiosk.run.facts import is_untouched
from kiosk.run.state import commands_shift
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import PlanConflict
from kiosk.station.desk.jobs.at_server import AtServer, give_back_request, is_elsewhere
from kiosk.station.desk.jobs.begin import take_job
from kiosk.station.desk.jobs.claims import claim, claimant, holder, take_over
from kiosk.station.desk.jobs.library import JobOffer
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, PageKind
from kiosk.station.desk.shift.shop import GivingBack
from kiosk.words import Words


def take_job_over(desk: Desk) -> None:
    """Take over a job that another station holds, on a supervisor's decision."""
    held = None if desk.offer is None else holder(desk.offer.folder)
    record = "" if held is None else held.id
    take_job(desk, take_over, desk.of(AtServer).conflict.claims, overruled_record=record)


def begin_apart(desk: Desk) -> None:
    """Begin a shared job by another plan than the other stations use."""
    server = desk.of(AtServer)
    server.shares = True
    take_job(desk, claim, server.conflict.claims)


def take_over_button(desk: Desk, offer: JobOffer, words: Words) -> Button | None:
    """Return the button to take over a job that another station has, or None."""
    held = holder(offer.folder)
    free = held is None or claimant(desk).owns(held) or held.shared
    if free and not plan_conflict(desk, offer).job:
        return None
    purpose = say("pin.for.take_over")
    return Button(
        words("page.take_over"), lambda: ask_pin(desk, lambda: take_job_over(desk), purpose)
    )


def plan_conflict(desk: Desk, offer: JobOffer) -> PlanConflict:
    """Return what the server said is in the job's way; empty if it was not asked about this job."""
    conflict = desk.of(AtServer).conflict
    return conflict if conflict.job == offer.folder.name else PlanConflict()


def begin_again_button(desk: Desk, offer: JobOffer, words: Words) -> Button | None:
    """Return the button to set a begun job up again, or None if it cannot be."""
    if not can_begin_again(desk, offer):
        return None
    purpose = say("pin.for.begin_again")
    return Button(
        words("page.begin_again"), lambda: ask_pin(desk, lambda: _begin_again(desk, offer), purpose)
    )


def can_begin_again(desk: Desk, offer: JobOffer) -> bool:
    """Return whether a begun job has had no heat, and its files changed or it is shared."""
    run = desk.shell.state.others.get(offer.folder.name)
    return run is not None and bool(offer.changed or run.batches) and is_untouched(run)


def _begin_again(desk: Desk, offer: JobOffer) -> None:
    """Set the job up from its files as they are now, if they can be pressed."""
    key = offer.folder.name
    run, offer_now = desk.shell.state.others[key], desk.library.offer(offer.folder)
    if offer_now.plan is None:
        desk.offer = offer_now
        desk.go(PageKind.FAULTS)
        return
    if desk.shell.do(commands_shift.UnbeginJob(key)).refusal is None:
        if run.batches:
            desk.of(AtServer).give_up(key)
        desk.shell.say(say("station.unbegun"))
    desk.look_at(offer)


def give_back_button(desk: Desk, offer: JobOffer, words: Words) -> Button | None:
    """Return the button to join a full job with another press's garments; None if it has none."""
    full = desk.of(AtServer).full
    if full is None or full["job"] != offer.folder.name:
        return None
    if not any(map(is_elsewhere, full["batches"])):
        return None

    def join(batch: int, lines_kept: list[str]) -> None:
        desk.of(AtServer).shares = True
        take_job(desk, claim, desk.of(AtServer).overruled, give_back_request(batch, lines_kept))

    def look() -> None:
        desk.of(GivingBack).open(full, join)

    return Button(words("page.give_back"), lambda: ask_pin(desk, look, say("pin.for.give_back")))
