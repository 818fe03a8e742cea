"""Beginning a job that is set up: its folder is claimed, its start recorded."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, say
from kiosk.run.state import commands, rules_of
from kiosk.station.claim import CannotClaim, Claim, Claimant, release
from kiosk.station.library import Offer
from kiosk.station.pages.page import Page

if TYPE_CHECKING:
    from kiosk.station.desk import Desk


def begin_job(desk: Desk, take: Callable[[Path, Claimant, float], Claim]) -> None:
    """Begin the job that is looked at, or take it up again, where `take` gets its folder."""
    offer = desk.offer
    if offer is None:
        return
    try:
        held = take(offer.folder, desk.claimant, desk.shell.now().wall)
    except CannotClaim as problem:
        desk.shell.say(say("station.cannot_claim", why=str(problem)))
        desk.go(Page.SET_UP)
        return
    if desk.claimant.owns(held):
        _begin(desk, offer)
    else:
        desk.shell.say(_claimed(desk.claimant, held))
        desk.go(Page.SET_UP)


def _claimed(claimant: Claimant, held: Claim) -> Message:
    """Who has the job; of two stations called alike the other's id says which."""
    if claimant.is_copied_from(held):
        return say("station.claimed_by_copy")
    alike = held.station == claimant.name and held.id
    return say(
        "station.claimed", station=f"{held.station} ({held.id[-4:]})" if alike else held.station
    )


def _begin(desk: Desk, offer: Offer) -> None:
    plan = offer.plan
    if plan is None:
        return
    desk.files.note()
    desk.shell.rosters.take(offer.folder)
    catalog = desk.library.catalog
    start = commands.StartJob(
        offer.folder.name,
        plan,
        offer.plan_hash,
        offer.garments(),
        len(offer.questions),
        rules_of(catalog.policy, catalog.presses[plan.press]),
        str(offer.folder.resolve()),
    )
    begun = desk.shell.do(start).refusal is None
    if not begun:
        release(offer.folder, desk.claimant)
    desk.go(Page.WORK if begun else Page.SET_UP)
