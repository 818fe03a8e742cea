"""Beginning a job that is set up, and leaving it: claim its folder, record its start."""

from collections.abc import Callable
from typing import Any

from kiosk.catalog.base import Message, say
from kiosk.plan.time import FEWEST
from kiosk.run.facts import needs_supervisor as by_supervisor
from kiosk.run.state import commands, commands_shift, rules_of
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import PlanConflict, conflict_of, uncompared
from kiosk.station.desk.jobs.at_server import AtServer, garments_of, is_here
from kiosk.station.desk.jobs.claims import CannotClaim, Claim, Claimant, claim, claimant, release
from kiosk.station.desk.jobs.library import JobOffer
from kiosk.station.desk.jobs.proofing import Proofing
from kiosk.station.desk.jobs.rosters import nameless_of
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words

LEAST_SHARED = 2 * FEWEST  # garments: a larger job is worth a second press
SAMPLES = 3  # roster lines to compare with the file at a glance


def needs_supervisor(desk: Desk) -> bool:
    """Return whether beginning the open job needs the supervisor's PIN."""
    offer = desk.offer
    if offer is None or offer.plan is None or begun(desk, offer):
        return False
    return by_supervisor(offer.plan) or bool(offer.questions)


def begun(desk: Desk, offer: JobOffer) -> bool:
    """Return whether the job was already begun at this station."""
    return offer.folder.name in desk.shell.state.jobs


def start_job(desk: Desk) -> None:
    """Begin the job that is set up, or go to the page that must come before."""
    offer = desk.offer
    if offer is not None and _changed_meanwhile(desk, offer):
        desk.shell.say(say("station.files_changed"))
    elif offer is not None and offer.guessed and not _columns_known(desk, offer):
        desk.go(PageKind.COLUMNS)
    elif offer is not None and not begun(desk, offer) and desk.of(Proofing).is_required(offer):
        desk.of(Proofing).open()
    elif offer is not None and may_share(desk, offer) and desk.of(AtServer).shares is None:
        desk.of(AtServer).asks = True
        desk.go(PageKind.SET_UP)
    elif needs_supervisor(desk):
        ask_pin(desk, lambda: take_job(desk, claim), say("pin.for.begin"))
    else:
        take_job(desk, claim)


def _changed_meanwhile(desk: Desk, before: JobOffer) -> bool:
    """Return whether the plan or the roster changed since `before`; the set-up then shows them."""
    desk.look_at(before)
    offer = desk.offer
    return offer is None or _stamp(offer) != _stamp(before)


def _stamp(offer: JobOffer) -> tuple[str, str]:
    return offer.plan_hash, offer.roster_digest


def may_share(desk: Desk, offer: JobOffer) -> bool:
    """Return whether a job is large enough to share, in a shop that has a server."""
    return desk.sending is not None and not begun(desk, offer) and len(offer.roster) > LEAST_SHARED


def alone_or_shared(desk: Desk, offer: JobOffer, words: Words) -> Sheet:
    """Page that asks: press the job here alone, or with other presses?"""

    def choose(shares: bool | None) -> None:
        server = desk.of(AtServer)
        server.asks, server.shares = False, shares
        if shares is None:
            desk.go(PageKind.SET_UP)
        else:
            start_job(desk)

    def button(how: str, shares: bool) -> Button:
        line = words(f"page.share.{how}_line")
        return Button(words(f"page.share.{how}"), lambda: choose(shares), line)

    return Sheet(
        title=offer.title,
        headline=words("page.share.who"),
        choices=(button("alone", False), button("with", True)),
        left=Button(words("page.back"), lambda: choose(None)),
    )


def confirm_columns(desk: Desk) -> None:
    """Confirm the roster's columns as they were read, and go on."""
    if desk.offer is not None:
        desk.shell.do(commands_shift.ConfirmColumns(*desk.offer.confirmable))
        start_job(desk)


def _columns_known(desk: Desk, offer: JobOffer) -> bool:
    """Return whether someone confirmed this roster's columns, or its job began with them."""
    confirmed = desk.shell.state.columns.get(offer.folder.name)
    return begun(desk, offer) or confirmed == offer.recognized


def columns(desk: Desk, words: Words) -> Sheet:
    """Page to check how the roster's columns were read."""
    offer = desk.offer
    found = offer.columns if offer is not None else ()
    recognized = tuple(
        words("page.columns_taken", header=each.header, field=say(f"page.field.{each.field}"))
        for each in found
        if each.field and each.header.casefold() != each.field
    )
    unused = tuple(each.header for each in found if each.header and not each.field)
    rows = offer.roster[:SAMPLES] if offer is not None else ()
    return Sheet(
        title=words("page.columns"),
        lines=(
            *recognized,
            *((words("page.columns_left", headers=unused),) if unused else ()),
            *(
                words("page.columns_row", number=r.number, size=r.size, name=r.name, line=r.line)
                for r in rows
            ),
        ),
        main=Button(words("page.columns_main"), lambda: confirm_columns(desk)),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SET_UP)),
    )


def leave_job(desk: Desk) -> None:
    """Put the job back, open or done, and give up its claim; a hold ends."""
    desk.end_hold()
    key = desk.shell.state.current
    if desk.shell.do(commands.LeaveJob()).refusal is None:
        release(desk.library.jobs / key, claimant(desk))
        desk.go(PageKind.JOBS)


def take_job(
    desk: Desk,
    get_claim: Callable[..., Claim],
    overruled: tuple[int, ...] = (),
    request: dict[str, Any] | None = None,
    overruled_record: str = "",
) -> None:
    """Begin or resume the open job if `get_claim` gets the claim on its folder.

    The file decides first, then the shop's server if it answers; the server also carries out
    `request`. A supervisor decided over the claims in `overruled`, or over those of the record
    `overruled_record`.
    """
    offer, server = desk.offer, desk.of(AtServer)
    if offer is None:
        return
    if server.is_asking:  # one at a time
        server.shares = None
        desk.shell.say(say("station.asking_shop"))
        return
    run = desk.shell.state.jobs.get(offer.folder.name)
    shares = bool(server.shares) if run is None else bool(run.batches)
    server.shares = None
    try:
        held = get_claim(offer.folder, claimant(desk), desk.shell.now().wall, shares)
    except CannotClaim as problem:
        desk.shell.say(say("station.cannot_claim", why=problem.why))
        desk.go(PageKind.SET_UP)
        return
    if claimant(desk).owns(held) or (shares and held.shared):
        _ask(desk, offer, shares, overruled, request, overruled_record)
    else:
        desk.shell.say(_claimed_message(claimant(desk), held))
        desk.go(PageKind.SET_UP)


def _ask(
    desk: Desk, offer: JobOffer, shares: bool, overruled: tuple[int, ...],
    request: dict[str, Any] | None, overruled_record: str,
) -> None:  # fmt: skip
    """Ask the server, then begin; not if the operator has left the page meanwhile."""
    page = desk.page

    def answered(answer: dict[str, Any] | None) -> None:
        if desk.page is not page or desk.offer is not offer:
            release(offer.folder, claimant(desk))
        elif not shares and (claims := _claims_of(answer, overruled_record)):
            take_job(desk, claim, claims)
        else:
            _begin_if_allowed(desk, offer, shares, answer)

    desk.of(AtServer).begin(offer, shares, overruled, answered, request)


def _claims_of(answer: dict[str, Any] | None, station: str) -> tuple[int, ...]:
    """Return the claims in a job's way at the server if all are record `station`'s, else none."""
    claims = [] if answer is None or answer["ours"] else [o for o in answer["others"] if o["claim"]]
    return tuple(o["claim"] for o in claims) if {o["id"] for o in claims} == {station} else ()


def _begin_if_allowed(
    desk: Desk, offer: JobOffer, shares: bool, answer: dict[str, Any] | None
) -> None:
    """Begin the job unless the server says that it is another's or has nothing to share."""
    server, key = desk.of(AtServer), offer.folder.name
    server.conflict, server.full = PlanConflict(), None
    run = desk.shell.state.jobs.get(key)
    refusal = None
    if answer is None and shares and run is None:
        refusal = server.unanswered
    elif answer is not None and not answer["ours"]:
        server.conflict = conflict_of(answer, shares, server.begin_plan)
        claims = server.conflict.claims
        refusal = _claimed_at_server([each for each in answer["others"] if each["claim"] in claims])
    elif answer is not None and shares and run is None and _batch(answer) is None:
        server.full = answer
        done = all(batch["done"] for batch in answer["batches"])
        refusal = say("station.share_done" if done else "station.share_nothing")
    if refusal is None:
        _begin(desk, offer, answer if shares else None)
        if answer is not None and desk.shell.state.current == key:
            server.carry_out(answer)
            for message in uncompared(answer) if shares else ():
                desk.shell.say(message, lasting=True)
        server.exchange()
        return
    release(offer.folder, claimant(desk))
    if not server.conflict.differs:  # they have their own page
        desk.shell.say(refusal)
    desk.go(PageKind.SET_UP)


def _batch(answer: dict[str, Any]) -> dict[str, Any] | None:
    """Return the batch of a shared job that this station begins with, or None if it has none."""
    return next(filter(is_here, answer["batches"]), None)


def _claimed_at_server(others: list[dict[str, Any]]) -> Message:
    """Return the message of who has the job at the server."""
    if any(other["copy"] for other in others):
        return say("station.claimed_by_copy")
    shared = bool(others) and all(other["shared"] for other in others)
    names = tuple(other["name"] for other in others)
    return say("station.claimed_shared" if shared else "station.claimed", station=names)


def _claimed_message(own: Claimant, held: Claim) -> Message:
    """Return the message of who has the job; between two stations of one name the id tells."""
    if own.is_copied_from(held):
        return say("station.claimed_by_copy")
    alike = held.station == own.name and held.id
    name = f"{held.station} ({held.id[-4:]})" if alike else held.station
    return say("station.claimed_shared" if held.shared else "station.claimed", station=name)


def _begin(desk: Desk, offer: JobOffer, shared: dict[str, Any] | None) -> None:
    """Record the start; of a `shared` job with the garments that the server gave."""
    plan = offer.plan
    if plan is None:
        return
    desk.of(Files).record_changes()
    desk.shell.rosters.open(offer.folder)
    catalog, run = desk.library.catalog, desk.shell.state.jobs.get(offer.folder.name)
    rules = rules_of(catalog.policy, catalog.presses[plan.press]) if run is None else run.rules
    batch = None if shared is None else _batch(shared)
    nameless = nameless_of(offer.roster)
    start = commands.StartJob(
        offer.folder.name,
        plan,
        offer.plan_hash,
        offer.garments() if batch is None else garments_of(batch["garments"], nameless),
        len(offer.questions),
        rules,
        str(offer.folder.resolve()),
        offer.due,
        offer.lots,
        0 if batch is None else batch["batch"],
        0 if batch is None else len(offer.roster),
        () if batch is None else offer.made_from,
    )
    started = desk.shell.do(start).refusal is None
    if not started:
        release(offer.folder, claimant(desk))
    desk.go(PageKind.WORK if started else PageKind.SET_UP)
