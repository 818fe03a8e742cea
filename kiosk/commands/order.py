"""`kiosk order`: a customer's file to a job, every question asked."""

import os
import sys
from argparse import Namespace
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kiosk.catalog import roster
from kiosk.catalog.base import Fault, Notes, Unsound, say, shown
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import read_catalog
from kiosk.catalog.rules import read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS, JOBS
from kiosk.commands.load import nameless, print_faults, print_notices, wrong
from kiosk.plan.model import Refusal
from kiosk.plan.procedure import placement_faults, plan_job
from kiosk.station.desk.jobs.order_read import FILM, own_recipe, with_films
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Make the job; print every open question as a line of a file of answers where there are any.

    Nothing is left of an order that is not complete.
    """
    catalog, faults = read_catalog(asked.recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    if wrong(faults):
        print_faults(faults, words)
        return FAULTS
    roster.sweep(JOBS)
    draft = None
    try:
        title = asked.name or asked.file.stem
        draft = roster.begin(asked.file, JOBS, title, catalog, f".{os.getpid()}{roster.PASSING}")
        films = _films(asked, catalog)
        draft.put({f"{FILM}{element}": roster.Answer(text=film) for element, film in films.items()})
        made = with_films(catalog, asked.recipe or "", films)
        return _Making(draft, made, catalog, words, asked).made()
    except roster.CannotOrder as problem:
        print(f"{asked.file}: {words.say(problem.message)}", file=sys.stderr)
        return FAULTS
    finally:
        if draft is not None:
            draft.drop()


def _films(asked: Namespace, catalog: Catalog) -> dict[str, str]:
    """Return the films that are asked for, by element; or raise CannotOrder for one not known."""
    films, recipe = dict[str, str](), catalog.recipes.get(asked.recipe or "")
    panels = () if recipe is None else recipe.panels
    elements = tuple(dict.fromkeys(e.name for panel in panels for e in panel.elements))
    for said in asked.film or ():
        element, _, film = said.partition("=")
        if element not in elements or film not in catalog.materials:
            raise roster.CannotOrder(say("command.order.film", found=said, elements=elements))
        films[element] = film
    return films


HEADING, NO_COLUMN = "catalog.roster.unknown_column", "catalog.roster.no_column"


@dataclass(frozen=True)
class _Making:
    """One order on its way to a job; `catalog` has its recipe in its films, `shop` as it was."""

    draft: roster.Draft
    catalog: Catalog
    shop: Catalog
    words: Words
    asked: Namespace

    def made(self) -> int:
        """Return the exit code; the job is written where it is 0."""
        draft, asked = self.draft, self.asked
        given = {"recipe": asked.recipe, "fabric": asked.fabric, "press": asked.press}
        draft.say(replace(draft.order(), **{key: text for key, text in given.items() if text}))
        answers = self._answers()
        if answers is None:
            return FAULTS
        look = self._settled(answers)
        asks_heading = any(each.problem.id == HEADING for each in look.open)
        faults = [
            self._of_file(fault)
            for fault in look.faults
            if fault.problem.id != NO_COLUMN or not asks_heading
        ]
        print_faults(faults, self.words)
        if look.open:
            print("\n".join(self._asked(look.open, look.guessed)))
        if look.open or wrong(faults) or look.job is None:
            return FAULTS
        return self._written(look.job)

    def _answers(self) -> dict[str, roster.Answer] | None:
        """What the file of answers says; None once its faults are on stderr."""
        if self.asked.answers is None:
            return {}
        notes = Notes(str(self.asked.answers))
        try:
            answers = roster.read_answers(self.asked.answers, notes)
        except Unsound:
            answers = {}
        print_faults(notes.faults, self.words)
        return None if notes.faults else answers

    def _settled(self, answers: dict[str, roster.Answer]) -> roster.Look:
        """The order with its answers; one changes what else is asked, so all are tried again."""
        given = dict[str, roster.Answer]()
        while True:
            look = self._look()
            fitting = [
                (fault, answer)
                for fault in look.open
                if fault.id in answers and fault.id not in given
                if (answer := roster.resolved(answers[fault.id], roster.allowed(fault))) is not None
            ]
            if not fitting:
                return look
            given |= {fault.id: answer for fault, answer in fitting}
            self.draft.answer(*fitting)

    def _look(self) -> roster.Look:
        further = partial(placement_faults, catalog=self.catalog, face=read_face())
        return self.draft.look(self.catalog, further)

    def _of_file(self, fault: Fault) -> Fault:
        """A fault of the customer's file, not of the copy; it has no job.yaml."""
        if fault.key in ("recipe", "fabric", "press") and not fault.question:
            fault = _of_option(fault)
        elif fault.problem.id == NO_COLUMN:
            problem = say("command.order.no_column", field=fault.key)
            fault = replace(fault, problem=problem, allowed="")
        inside = Path(fault.file).parent == self.draft.folder
        return replace(fault, file=str(self.asked.file)) if inside else fault

    def _asked(self, open_: Iterable[Fault], guessed: bool) -> Iterator[str]:
        """Each open question as lines of a file of answers, to be filled in."""
        yield f"# {self.words('command.order.open', file=self.asked.file.name)}"
        if guessed:
            yield f"# {self.words('order.guessed')}"
        for fault in open_:
            told = fault if self.asked.names else _unnamed(fault, guessed)
            yield ""
            lines = question_lines(told, roster.allowed(fault), self.words)
            yield from (f"# {line}" for line in lines)
            yield f"{fault.id}:"

    def _written(self, job: Job) -> int:
        plan = plan_job(job, self.catalog, read_face())
        if isinstance(plan, Refusal):
            from kiosk.commands.plan.text import of_refusal

            print(of_refusal(plan, self.words))
            return CANNOT_BE_PRESSED
        wanted = roster.free_key(self.draft.order().title, Path(os.devnull))
        if wanted != self.draft.key:
            raise roster.CannotOrder(say("catalog.order.there", name=wanted))
        print_notices(replace(job, folder=str(self.asked.file)), self.catalog, self.words)
        roster.remember(self.asked.recipes, self.draft, self.catalog)
        own_recipe(self.draft, self.asked.recipes, self.shop, self.words)
        folder = self.draft.finish()
        count = len(job.roster)
        print(self.words("command.order.written", path=str(folder), count=count, job=folder.name))
        return DONE


def _of_option(fault: Fault) -> Fault:
    """A fault of what was given beside the file, or was not."""
    if fault.problem.id != "catalog.key.missing":
        return replace(fault, line=0)
    problem = say("command.order.choose", option=f"--{fault.key}")
    return replace(fault, line=0, key="", problem=problem)


def _unnamed(fault: Fault, guessed: bool) -> Fault:
    """A question without what may be a player's name: where headings are guessed they may be."""
    if fault.doubt is not None and guessed:
        return replace(fault, doubt=replace(fault.doubt, written="", read_as=""))
    return nameless(fault)


def question_lines(fault: Fault, may: roster.Allowed, words: Words) -> Iterator[str]:
    """Yield where something is asked, what stands there, and what may be answered."""
    doubt = fault.doubt
    where = [words("command.order.row", row=fault.line)] if fault.line else []
    nth = fault.problem.values.get("place")
    where += [words("command.order.column", place=nth)] if nth else []
    stands = fault.found if doubt is None else doubt.written
    heading = fault.problem.id == HEADING
    problem = words("command.order.heading") if heading else words.say(fault.problem)
    said = [problem, *([f'"{shown(stands)}"'] if stands else [])]
    read_as = roster.fault_read_as(fault)
    if read_as not in {"", stands}:
        said.append(words("catalog.fault.read_as", read_as=f'"{shown(read_as)}"'))
    place = ", ".join((*where, *([fault.key] if fault.key else [])))
    yield ": ".join(part for part in (place, "; ".join(said)) if part)
    yield words("command.order.answers", answers=tuple(_answers(fault, may, words)))


def _answers(fault: Fault, may: roster.Allowed, words: Words) -> Iterator[str]:
    """What may be answered; a name that is not told is chosen by its place."""
    if may.keep:
        yield roster.KEEP
    told = fault.doubt is not None
    for nth, choice in enumerate(may.choices, 1):
        yield f'"{choice}"' if told else f"choice-{nth}"
    if may.writes:
        yield words("command.order.write", field=may.writes)
    if may.leave_out:
        yield roster.LEAVE_OUT
