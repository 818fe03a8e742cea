"""What a station wants from the shop's server for its job, and the answer.

The process beside the station asks; a tap waits for the server only when a job begins.
"""

from collections.abc import Callable, Collection
from typing import Any

from kiosk.catalog.base import Message, say
from kiosk.plan.brief import Brief, brief_of
from kiosk.plan.model import Plan
from kiosk.plan.time import batches
from kiosk.run.decide import is_legal, settled
from kiosk.run.facts import OrderShare, kind_of, lacking, share_of
from kiosk.run.state import EndBatches, Garment, JobRun, MeetClaims, TakeBatch, replace
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import PlanConflict, other_stations
from kiosk.station.desk.jobs.library import JobOffer

ASK_SECONDS = 2.0  # longest wait when a job begins; without an answer the claim file decides
OnAnswer = Callable[[dict[str, Any] | None], None]
NOTHING = OrderShare({}, (), wants=False)


class AtServer:
    """What this station wants from the shop's server for its job, and the answer."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._asking_until = 0.0
        self._job: JobRun | None = None
        self._wish: dict[str, Any] = {}
        self._brief: tuple[Plan, dict[str, Any]] | None = None
        self._unbegun = ""  # the last shared job asked for and not begun
        self.asks = False  # whether to ask: press this job here alone, or share it?
        self.shares: bool | None = None  # the answer to that
        self.conflict = PlanConflict()  # what was in the way of the job begun last
        self.full: dict[str, Any] | None = None  # the server's answer if it had nothing to share
        self.overruled: tuple[int, ...] = ()  # claims that a supervisor decided over for it
        self.begin_plan: Brief = {}  # the plan it was to be begun by, in brief

    @property
    def answer(self) -> dict[str, Any] | None:
        """The server's latest answer about the job at the press, or None."""
        answer = None if self._desk.sending is None else self._desk.sending.answer
        current = self._desk.shell.state.current
        return answer if answer is not None and current and answer["job"] == current else None

    def exchange(self) -> None:
        """Send the current wish, and carry out the server's latest answer."""
        sending, now = self._desk.sending, self._desk.shell.now()
        if sending is None or now.clock < self._asking_until:
            return
        sending.wish(self._current_wish())
        if (answer := self.answer) is not None:
            self.carry_out(answer)

    def _current_wish(self) -> dict[str, Any]:
        job = self._desk.shell.state.job
        if job is not self._job or not self._wish:
            self._job, self._wish = job, {} if job is None else self._wish_of(job)
            if self._unbegun:
                self._wish = {**self._wish, "unbegun": self._unbegun}
        return self._wish

    def _wish_of(self, job: JobRun) -> dict[str, Any]:
        """Return the wish for a job begun here; for a shared one with its plan in brief."""
        if not job.batches:
            return wish_of(job)
        if self._brief is None or self._brief[0] is not job.plan:
            self._brief = job.plan, brief_of(job.plan, job.files)
        return {**wish_of(job), "plan": self._brief[1]}

    def carry_out(self, answer: dict[str, Any]) -> None:
        """Carry out an answer about the job at the press; repeating it changes nothing."""
        shell, job = self._desk.shell, answer["job"]
        numbers = {batch.number for batch in shell.state.jobs[job].batches}
        for each in answer["batches"]:
            if is_here(each) and each["batch"] not in numbers:
                if shell.rosters.waits:
                    shell.rosters.refresh()
                garments = garments_of(each["garments"], shell.rosters.nameless)
                shell.do(TakeBatch(job, each["batch"], garments))
        if answer["batches"] and all(each["done"] for each in answer["batches"]):
            shell.do(EndBatches(job))
        now = shell.now()
        state = settled(shell.state, now)
        others, claims_left = answer["others"], tuple(answer["left"])
        if (others or claims_left) and is_legal(MeetClaims, kind_of(state, now)):
            shell.do(
                MeetClaims(job, other_stations(answer, state.jobs[job], self.plan), claims_left)
            )

    @property
    def plan(self) -> Brief:
        """The plan of the shared job at the press, in brief."""
        found: Brief = self._current_wish().get("plan", {})
        return found

    @property
    def unanswered(self) -> Message:
        """Why the server gave no answer: it is away, or what else the sending reports."""
        status = None if self._desk.sending is None else self._desk.sending.status
        if status is not None and status.message is not None and status.state != "away":
            return status.message
        return say("station.share_away")

    @property
    def is_asking(self) -> bool:
        """Whether the server is being asked about a job to begin."""
        return self._desk.shell.is_waiting(self)

    def begin(
        self,
        offer: JobOffer,
        shares: bool,
        overruled: tuple[int, ...],
        then: OnAnswer,
        request: dict[str, Any] | None = None,
    ) -> None:
        """Claim a job to begin or resume it; `then` gets the answer, None if there is none.

        The server does `request` between the claim and the answer.
        """
        desk, sending = self._desk, self._desk.sending
        if sending is None:
            then(None)
            return
        run = desk.shell.state.jobs.get(offer.folder.name)
        wish = _new_wish(offer, shares) if run is None else self._wish_of(run)
        self.begin_plan = wish.get("plan", {})
        wish |= {"begins": True, "over": [*wish.get("over", ()), *overruled]}
        self.overruled = overruled
        self._asking_until = desk.shell.now().clock + 2 * ASK_SECONDS
        desk.shell.say(say("station.asking_shop"))

        def answered(answer: object) -> None:
            self._asking_until, self._wish = 0.0, {}
            desk.shell.hush()
            then(answer)  # type: ignore[arg-type]  # what `ask` returned
            has_begun = run is not None or offer.folder.name in desk.shell.state.jobs
            self._unbegun = "" if has_begun or not shares else offer.folder.name

        desk.shell.wait_for(self, lambda: sending.ask(wish, ASK_SECONDS, request), answered)

    def give_up(self, job: str) -> None:
        """Give up what was claimed of a shared job that will not begin here."""
        self._unbegun, self._wish = job, {}

    def give_back(self, batch: int, lines_kept: list[str], then: Callable[[bool], None]) -> None:
        """Give back another press's batch except the lines that stay; `then` gets the success."""
        sending, wish = self._desk.sending, self._current_wish()
        if sending is None:
            then(False)
            return
        self._desk.shell.wait_for(
            (self, batch),
            lambda: sending.ask(wish, ASK_SECONDS, give_back_request(batch, lines_kept)),
            lambda answer: then(answer is not None),
        )


def _new_wish(offer: JobOffer, shares: bool) -> dict[str, Any]:
    """Return the wish for a job not begun here; if it is shared, with its batches."""
    wish: dict[str, Any] = {"job": offer.folder.name}
    if shares and offer.plan is not None:
        order = batches(offer.garments(), len(offer.plan.runs))
        wish |= {"shared": True, "wants": True, "order": [list(map(row_of, b)) for b in order]}
        wish["plan"] = brief_of(offer.plan, offer.made_from)
    return wish


def give_back_request(batch: int, lines_kept: list[str]) -> dict[str, Any]:
    """Return the request to give a batch back, except the lines that stay."""
    return {"give_back": [batch, lines_kept]}


def is_elsewhere(batch: dict[str, Any]) -> bool:
    """Return whether a batch of a shared job is another press's and still has garments to press."""
    return bool(batch["name"] and not batch["ours"] and not batch["done"] and batch["garments"])


def is_here(batch: dict[str, Any]) -> bool:
    """Return whether a batch of a shared job is this station's to press."""
    return bool(batch["ours"] and not batch["done"] and batch["garments"])


def wish_of(job: JobRun) -> dict[str, Any]:
    """Return what a station wants from the server for a job it has begun."""
    share = share_of(job) if job.batches else NOTHING
    return {
        "job": job.job,
        "shared": bool(job.batches),
        "stopped": job.met is not None,
        "over": list(job.settled),
        "held": {str(n): list(map(row_of, garments)) for n, garments in share.held.items()},
        "done": list(share.done),
        "wants": share.wants,
        "joins": job.over_copy and job.met is None,
    }


def row_of(garment: Garment) -> list[str]:
    """Return a garment as the server stores it, without a name."""
    return [garment.line, garment.number, garment.size, garment.digest, garment.set]


def garments_of(
    rows: list[list[str]], nameless: Collection[str] = frozenset()
) -> tuple[Garment, ...]:
    """Return the garments of a batch at the server; `nameless` are roster lines without a name."""
    return tuple(_garment(*row, nameless=nameless) for row in rows)


def _garment(
    line: str, number: str, size: str, digest: str, set_: str = "", *, nameless: Collection[str]
) -> Garment:
    garment = Garment(line, number, size, digest, set_)
    return replace(garment, lacks=lacking(garment, nameless))
