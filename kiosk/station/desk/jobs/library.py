"""The shop's recipes and jobs as the station offers them: each read, checked and planned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Fault, dataclass
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import PanelRefusal, Plan
from kiosk.run.state import Garment

if TYPE_CHECKING:
    from kiosk.catalog.model import Catalog, Job, RosterColumn, RosterLine
    from kiosk.station.desk.side_files import FirstFrameValues

# Readers of recipes, jobs and rosters are imported where they are used: the first frame does not
# need them.

NO_FOLDER = Path()  # of an order made up for practice


@dataclass(frozen=True, slots=True)
class JobOffer:
    """One job folder; `plan` is None if faults or a refusal stand in its way."""

    key: str
    folder: Path
    title: str
    plan: Plan | None
    plan_hash: str
    roster: tuple[RosterLine, ...]
    faults: tuple[Fault, ...]
    questions: tuple[Fault, ...]
    refusal: PanelRefusal | None
    columns: tuple[RosterColumn, ...] = ()
    roster_digest: str = ""
    due: str = ""  # ISO 8601, empty if the job gives none
    lots: tuple[tuple[str, str], ...] = ()  # material, lot
    to_pull: tuple[tuple[str, str, int], ...] = ()  # element, colour, number of characters
    changed: bool = False  # its files give another plan than the one it began with
    made_from: tuple[tuple[str, str], ...] = ()  # file, digest of the part that the plan uses

    @property
    def recognized(self) -> tuple[tuple[str, str], ...]:
        """The headers that were recognized, each with its field."""
        return tuple((each.header, each.field) for each in self.columns if each.field)

    @property
    def confirmable(self) -> tuple[str, tuple[tuple[str, str], ...], str]:
        """What is recorded when the columns are confirmed: no cell of a line."""
        return self.folder.name, self.recognized, self.roster_digest

    @property
    def guessed(self) -> bool:
        """Whether some column's header differs from this program's own name of it."""
        return any(each.header.casefold() != each.field for each in self.columns if each.header)

    def garments(self) -> tuple[Garment, ...]:
        """Return the roster without names, as the log may hold it, in the order of work."""
        from kiosk.plan.time import in_order

        return tuple(garment(line) for line in in_order(self.roster).garments)


def as_begun(offer: JobOffer, plan: Plan, plan_hash: str) -> JobOffer:
    """Return the offer with the plan its job began with, whatever its files give now.

    An offer whose roster cannot be read stays as it is, with its faults.
    """
    from kiosk.plan import pull_counts
    from kiosk.plan.fingerprint import pressing_fingerprint

    if not offer.roster:
        return offer

    planned, same = offer.plan, offer.plan_hash == plan_hash
    return replace(
        offer,
        plan=plan,
        plan_hash=plan_hash,
        refusal=None,
        to_pull=pull_counts(plan, offer.roster),
        changed=not same
        and (planned is None or pressing_fingerprint(planned) != pressing_fingerprint(plan)),
    )


def garment(line: RosterLine) -> Garment:
    """Return what the log may hold of a roster line: no name."""
    from kiosk.catalog.read import line_digest

    return Garment(line.line, line.number, line.size, line_digest(line), line.set, line.lacks)


class Library:
    """Reads `recipes` and the job folders below `jobs` from disk whenever it is asked.

    With `first_frame` values, the recipes are not read until more of them is needed.
    """

    def __init__(
        self, recipes: Path, jobs: Path, first_frame: FirstFrameValues | None = None
    ) -> None:
        self.recipes = recipes
        self.jobs = jobs
        self.screen_inches: float | None = None
        self.language = ""
        self._first_frame = first_frame
        self._read: tuple[Catalog, tuple[Fault, ...]] | None = None
        self._practice_jobs: dict[str, tuple[Job, JobOffer] | None] = {}
        self._plans: dict[tuple[str, ...], tuple[Job, JobOffer]] = {}

    def read(self) -> tuple[Catalog, tuple[Fault, ...]]:
        """Read the recipes again; if anything in them changed, plans are made again too."""
        from kiosk.catalog.read import read_catalog

        found = read_catalog(self.recipes)
        if self._read is None or found[0] is not self._read[0]:
            self._practice_jobs, self._plans = {}, {}
        self._read = found
        return found

    @property
    def catalog(self) -> Catalog:
        """The recipes, as far as they could be read."""
        return (self._read or self.read())[0]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults of the recipes."""
        return (self._read or self.read())[1]

    @property
    def station(self) -> StationSettings:
        """The tablet's settings; a size or language given to this library overrides the file."""
        values = self._first_frame if self._read is None else None
        settings = self.catalog.station if values is None else values.station
        inches = self.screen_inches or settings.screen_inches
        language = self.language or settings.language
        return replace(settings, screen_inches=inches, language=language)

    @property
    def has_server(self) -> bool:
        """Whether the shop has a server for its stations' records."""
        values = self._first_frame if self._read is None else None
        return bool(self.catalog.database.address) if values is None else values.has_server

    def offers(self) -> tuple[JobOffer, ...]:
        """Return every job folder's offer, first those with a due date by date, then by name."""
        from kiosk.catalog.read import list_jobs

        found = map(self.offer, list_jobs(self.jobs))
        return tuple(sorted(found, key=lambda each: (not each.due, each.due)))

    def offer(self, folder: Path) -> JobOffer:
        """Return one job's offer; never raises for what a file holds."""
        from kiosk.catalog.read import read_job
        from kiosk.catalog.roster import stops_job

        job, found = read_job(folder, self.catalog)
        faults = (
            *(fault for fault in (*self.faults, *found) if not fault.question),
            *(replace(fault, question=False) for fault in found if stops_job(fault)),
        )
        questions = tuple(fault for fault in found if fault.question)
        if job is None or faults:
            title = job.title if job else folder.name
            # A question about the whole file may be all that is known: it stops the job too.
            why = faults or tuple(replace(each, question=False) for each in questions)
            return JobOffer(folder.name, folder, title, None, "", (), why, questions, None)
        return self._planned(job, folder, questions)

    def for_practice(self, family: str) -> JobOffer | None:
        """Return an order made up from the shop's own recipes; None if none is of that family."""
        if family not in self._practice_jobs:
            self._practice_jobs[family] = next(self._made_up(family), None)
        return (self._practice_jobs[family] or (None, None))[1]

    def _made_up(self, family: str) -> Iterator[tuple[Job, JobOffer]]:
        """Yield each recipe of the family, on the first fabric and press that can take it."""
        from kiosk.catalog.model import Job, RosterLine
        from kiosk.plan.group import plan_families

        roster = (RosterLine("1", "AM", "ORSAVEL", "16"),)
        catalog = self.catalog
        pairs = list(product(catalog.fabrics, catalog.presses))
        for key, recipe in () if self.faults else catalog.recipes.items():
            for fabric, press in pairs:
                job = Job(key, "", recipe.title, key, fabric, press, roster, "")
                offer = self._planned(job, NO_FOLDER, ())
                if offer.plan is not None:
                    if family in plan_families(offer.plan):
                        yield job, offer
                    break

    def job_of(self, offer: JobOffer) -> Job | None:
        """Return an offer's order, read again; None if it cannot be read now."""
        from kiosk.catalog.read import read_job

        if offer.folder != NO_FOLDER:
            return read_job(offer.folder, self.catalog)[0]
        made_up = (each for each in self._practice_jobs.values() if each is not None)
        return next((job for job, own in made_up if own == offer), None)

    def _planned(self, job: Job, folder: Path, questions: tuple[Fault, ...]) -> JobOffer:
        """Return a job's offer, the earlier one if the job has not changed."""
        key = (str(folder), job.key, job.recipe, job.fabric, job.press)
        before, offer = self._plans.get(key, (None, None))
        if offer is None or before != job:
            offer = self._plan(job, folder)
            self._plans[key] = job, offer
        return replace(offer, questions=(*questions, *offer.questions))

    def _plan(self, job: Job, folder: Path) -> JobOffer:
        from kiosk.catalog.rules import read_face  # the first frame does not need planning
        from kiosk.plan import pull_counts
        from kiosk.plan.brief import file_digests
        from kiosk.plan.fingerprint import fingerprint
        from kiosk.plan.procedure import placement_faults, plan_job

        found = plan_job(job, self.catalog, read_face())
        refusal = found if isinstance(found, PanelRefusal) else None
        plan = None if isinstance(found, PanelRefusal) else found
        digest = fingerprint(plan) if plan else ""
        return JobOffer(
            job.key,
            folder,
            job.title,
            plan,
            digest,
            job.roster,
            (),
            placement_faults(job, self.catalog, read_face()),
            refusal,
            job.columns,
            job.roster_digest,
            job.due,
            job.lots,
            () if plan is None else pull_counts(plan, job.roster),
            made_from=tuple(file_digests(job, self.catalog).items()),
        )
