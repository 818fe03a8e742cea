"""Before a job begins: its garments as worn, approved by initials; how a pass heats them."""

import json
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path

from kiosk.catalog.base import (
    BrokenSideFile,
    Degrees,
    degrees,
    read_side_file,
    stamp_of,
    write_whole,
)
from kiosk.catalog.model import Demand
from kiosk.catalog.roster import PROOF
from kiosk.catalog.rules import read_face
from kiosk.plan.fingerprint import Approval, ProofState, proof_digests, proof_state, row_of
from kiosk.plan.heat import HeatCurve, basis, heat_curve, heat_summary, sentences, wait_basis
from kiosk.plan.model import Pass, Plan
from kiosk.plan.phrases import pass_words
from kiosk.plan.procedure import GarmentProof, proofs
from kiosk.plan.sources import plan_source_lines
from kiosk.run.state import commands_shift
from kiosk.station.desk.desk import Desk, day_of, letters
from kiosk.station.desk.jobs.library import JobOffer
from kiosk.station.desk.sheet import Button, HeatPicture, PageKind, ProofPicture, Sheet
from kiosk.words import Words

MOST_LINES = 3  # about heat
PANELS_A_PAGE = 6  # drawn at once; still readable at arm's length on 7 inches
KEYS = ("digest", "by", "day")
MOST_BYTES = 4_000_000  # a row is some 150


def garments_on_a_page(panels: int) -> int:
    """Return how many garments with `panels` panels each are drawn at once."""
    return max(1, PANELS_A_PAGE // max(1, panels))


def made_of(plan: Plan, words: Words) -> tuple[str, str]:
    """Return a line with recipe, fabric and press, and a line with the sources, guesses first.

    The record of an older version has keys instead of titles.
    """
    titles = {"recipe": plan.recipe_name, "fabric": plan.fabric_name, "press": plan.press}
    sources = plan_source_lines(plan.sources, plan.fabric, plan.press)
    recipe_line = words("page.set_up_what", **titles)
    return recipe_line, " · ".join(words.say(each) for each in sources)


def kept_approvals(folder: Path) -> dict[str, Approval]:
    """Return the approvals kept in a job's folder, by row; empty if they cannot be read."""
    try:
        stored = read_side_file(folder / PROOF, MOST_BYTES).get("rows")
        rows = stored if isinstance(stored, dict) else {}
        return {row: Approval(*(str(each[k]) for k in KEYS)) for row, each in rows.items()}
    except (OSError, BrokenSideFile, KeyError, TypeError):
        return {}  # a damaged file approves nothing: the operator is asked again


class Proofing:
    """The proof being looked at: which page of the waiting garments, and who approves."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._states: dict[Path, tuple[object, ProofState]] = {}
        self.page = 0
        self.naming = False

    def state(self, offer: JobOffer) -> ProofState | None:
        """Return the state of a job's proof, or None if no proof is required or it has no plan."""
        if offer.plan is None or self._desk.library.catalog.policy.proof is Demand.NO:
            return None
        stamp = (offer.plan_hash, offer.roster_digest, stamp_of(offer.folder / PROOF))
        cached = self._states.get(offer.folder)
        if cached is None or cached[0] != stamp:
            digests = proof_digests(offer.plan, offer.roster)
            found = proof_state(digests, kept_approvals(offer.folder))
            self._states[offer.folder] = cached = (stamp, found)
        return cached[1]

    def is_required(self, offer: JobOffer) -> bool:
        """Return whether a job may not begin before its waiting rows are approved."""
        state = self.state(offer)
        demand = self._desk.library.catalog.policy.proof
        return state is not None and demand is Demand.REQUIRED and bool(state.waiting)

    def open(self) -> None:
        """Turn to the first garments of the open job."""
        self.page, self.naming = 0, False
        self._desk.go(PageKind.PROOF)

    def turn(self, by: int) -> None:
        """Turn the pages; before the first one comes the set-up."""
        if self.naming:
            self.naming = False
        elif self.page + by < 0:
            self._desk.go(PageKind.SET_UP)
            return
        else:
            self.page += by
        self._desk.go(PageKind.PROOF)

    def name(self) -> None:
        """Ask who approves."""
        self.naming = True
        self._desk.go(PageKind.PROOF)

    def initials(self, pad: tuple[Button, ...]) -> tuple[Button, ...]:
        """Return the pad; while nothing is typed, the signed-on operator instead of the eraser."""
        desk, by = self._desk, self._desk.shell.state.operator

        def take() -> None:
            desk.entry = by

        return pad if desk.entry or not by else (Button(by, take), *pad[:-1])

    def approve(self) -> None:
        """Write to the job's folder that all its current rows are approved, and record that."""
        desk, offer, by = self._desk, self._desk.offer, self._desk.entry
        if offer is None or offer.plan is None or not by:
            return
        day = day_of(desk.shell.now().wall)
        state, before = self.state(offer), kept_approvals(offer.folder)
        waiting = frozenset() if state is None else state.waiting
        rows = {
            row: asdict(Approval(digest, by, day) if row in waiting else before[row])
            for row, digest in proof_digests(offer.plan, offer.roster).items()
        }
        content = json.dumps({"rows": rows}, indent=1).encode()
        try:
            write_whole(offer.folder / PROOF, content)
        except OSError as problem:
            desk.shell.not_written(problem)
            return
        digest = sha256(content).hexdigest()
        count = len(waiting)
        desk.shell.do(commands_shift.ApproveProof(offer.folder.name, by, count, digest))
        desk.go(PageKind.SET_UP)


def approval_line(state: ProofState, words: Words) -> str:
    """Return the state of a proof in a few words."""
    if state.changed:
        return words("page.proof.changed", count=len(state.changed))
    if state.unseen and state.approvals:
        return words("page.proof.unseen", count=len(state.unseen))
    if state.unseen or not state.approvals:
        return words("page.proof.none")
    by, day = state.approvals[0]
    return words("page.proof.by", by=by, day=day)


def proof(desk: Desk, words: Words) -> Sheet:
    """Page of the waiting garments as worn; after the last of them, who approves."""
    proofing, offer = desk.of(Proofing), desk.offer
    state = None if offer is None else proofing.state(offer)
    back = Button(words("page.back"), lambda: proofing.turn(-1))
    if offer is None or offer.plan is None or state is None or not state.waiting:
        done = words("page.proof") if state is None else approval_line(state, words)
        return Sheet(done, left=Button(words("page.back"), lambda: desk.go(PageKind.SET_UP)))
    count = len(state.waiting)
    if proofing.naming:
        return Sheet(
            title=words("page.proof.who"),
            lines=(words("page.proof.count", count=count),),
            entry=desk.entry,
            choices=proofing.initials(letters(desk, words)),
            columns=9,
            main=Button(words("page.proof.approve"), proofing.approve),
            left=back,
        )
    most = garments_on_a_page(len({piece.panel for piece in offer.plan.pieces}))
    first = proofing.page * most
    last = first + most >= count
    return Sheet(
        title=words("page.proof.count", count=count),
        lines=(words("page.set_up_changed" if offer.changed else "page.proof.line"),),
        picture=ProofPicture(_garments_drawn(offer, state, first, most)),
        main=Button(
            words("page.proof.all" if last else "page.proof.next", first=first + 1, count=count,
                  last=min(count, first + most)),
            proofing.name if last else lambda: proofing.turn(1),
        ),
        left=back,
        right=None if last else Button(words("page.proof.paper"), proofing.name),
    )  # fmt: skip


def _garments_drawn(
    offer: JobOffer, state: ProofState, first: int, most: int
) -> tuple[GarmentProof, ...]:
    assert offer.plan is not None  # a proof needs a plan
    waiting = [row for row in offer.roster if row_of(row) in state.waiting]
    lines = frozenset(row.line for row in waiting[first : first + most])
    return proofs(offer.plan, offer.roster, read_face(), lines)


class HeatShown:
    """Number of the pass shown."""

    def __init__(self, desk: Desk) -> None:
        self.passage = 0


def look_at_heat(desk: Desk, passage: int = 0) -> None:
    """Turn to the temperatures of one pass of the open job."""
    desk.of(HeatShown).passage = passage
    desk.go(PageKind.HEAT)


def heat(desk: Desk, words: Words) -> Sheet:
    """Page of how one pass heats and cools; the bar turns to the next pass."""
    offer = desk.offer
    assert offer is not None  # the page is only reached from a job's set-up
    assert offer.plan is not None
    plan = offer.plan
    modelled = [number for number, each in enumerate(plan.passes) if each.heat is not None]
    at = modelled.index(desk.of(HeatShown).passage) if desk.of(HeatShown).passage in modelled else 0
    each = plan.passes[modelled[at]]
    curve = heat_curve(each)
    assert curve is not None  # it has a model
    return Sheet(
        title=words("page.heat_title", panel=words.say(pass_words(plan, each))),
        lines=_lines(plan, each, words),
        main=_next(desk, plan, modelled, at, words),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SET_UP)),
        picture=heat_picture(curve, plan.unit, words),
    )


def _lines(plan: Plan, each: Pass, words: Words) -> tuple[str, ...]:
    """Return when to peel, then what the cloth takes and what would help: MOST_LINES at most."""
    summary = heat_summary(each, plan.unit)
    heat_lines = () if summary is None else tuple(sentences(summary, plan.unit))
    found = (*(basis(wait) for wait in each.stages[-1:]), *heat_lines)
    return tuple(words.say(message) for message in found[:MOST_LINES])


def _next(desk: Desk, plan: Plan, modelled: list[int], at: int, words: Words) -> Button | None:
    if len(modelled) < 2:
        return None
    following = modelled[(at + 1) % len(modelled)]
    label = words("page.heat_next", panel=words.say(pass_words(plan, plan.passes[following])))
    return Button(label, lambda: look_at_heat(desk, following))


def heat_picture(curve: HeatCurve, unit: Degrees, words: Words) -> HeatPicture:
    """Return a pass's curve with its words."""
    wait = curve.wait
    return HeatPicture(
        curve,
        unit,
        closings=tuple(words(f"curve.phase.{span.phase}") for span in curve.phases if span.closed),
        levels=tuple(
            words(
                f"curve.level.{level.name}", degrees=degrees(level.celsius, unit), unit=unit.value
            )
            for level in curve.levels
        ),
        bond=words("curve.bond"),
        cloth=words("curve.cloth"),
        now="" if wait is None else words("curve.now", source=wait_basis(wait, brief=True)),
        axis=words("curve.after"),
    )
