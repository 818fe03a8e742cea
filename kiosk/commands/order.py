"""`kiosk order`: a customer's file to a job, every question asked."""

import os
import sys
from argparse import Namespace
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kiosk.catalog import roster
from kiosk.catalog.base import Fault, Notes, Unsound, Value, say, shown
from kiosk.catalog.model import BY_CODE, Catalog, Job
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
    chosen, recipe = dict[str, str](), catalog.recipes.get(asked.recipe or "")
    panels = () if recipe is None else recipe.panels
    elements = tuple(dict.fromkeys(e.name for panel in panels for e in panel.elements))
    for said in asked.film or ():
        element, _, film = said.partition("=")
        if element not in elements or film not in catalog.materials:
            films = tuple(sorted(catalog.materials))
            known: dict[str, Value] = {"elements": elements, "films": films}
            raise roster.CannotOrder(say("command.order.film", found=said, **known))
        chosen[element] = film
    return chosen


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
            print("\n".join(self._asked(look.open, look.guessed, answers)))
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
        given, used = dict[str, roster.Answer](), set[str]()
        while True:
            look = self._look()
            fitting = [
                (fault, answer)
                for fault in look.open
                if fault.id not in given
                if (answer := roster.answered(fault, answers)) is not None
            ]
            if not fitting:
                self._tell_unused(answers, look.open, used)
                return look
            given |= {fault.id: answer for fault, answer in fitting}
            used |= {name for fault, _ in fitting for name in (fault.id, roster.of_all(fault))}
            self.draft.answer(*fitting)

    def _tell_unused(
        self, answers: dict[str, roster.Answer], open_: Iterable[Fault], used: set[str]
    ) -> None:
        """Say of which answers nothing came: nobody asked, or it is none of those that may be."""
        if any(roster.of_whole_file(fault.id) for fault in open_):
            return  # nothing else was asked yet
        asked = {name for fault in open_ for name in (fault.id, roster.of_all(fault))}
        for name, answer in answers.items():
            if name not in used and answer.text != roster.EACH:
                id_ = "command.order.no_answer" if name in asked else "command.order.not_asked"
                told = self.words(id_, file=str(self.asked.answers), question=shown(name))
                print(told, file=sys.stderr)

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

    def _asked(
        self, open_: Sequence[Fault], guessed: bool, answers: dict[str, roster.Answer]
    ) -> Iterator[str]:
        """Each open question as lines of a file of answers, to be filled in; those alike once."""
        yield f"# {self.words('command.order.open', file=self.asked.file.name)}"
        if guessed:
            yield f"# {self.words('order.guessed')}"
        if any(fault.problem.id == HEADING and not fault.line for fault in open_):
            yield f"# {self.words('order.no_headings')}"
        groups = {
            name: group
            for name, group in roster.alike(open_).items()
            if answers.get(name) != roster.Answer(text=roster.EACH)
        }
        alike = {fault.id: name for name, group in groups.items() for fault in group}
        for fault in open_:
            name = alike.get(fault.id, fault.id)
            group = groups.pop(name, ()) if name != fault.id else (fault,)
            if group:
                told = [self._told(each, guessed) for each in group]
                may = [roster.allowed(each) for each in group]
                yield ""
                yield from (f"# {line}" for line in question_lines(told, may, self.words))
                yield f"{name}:"

    def _told(self, fault: Fault, guessed: bool) -> Fault:
        """A question as it is printed: without names, or a column by its first cells."""
        if not self.asked.names:
            return _unnamed(fault, guessed)
        place = fault.problem.values.get("place")
        if fault.doubt is None or not isinstance(place, int) or not roster.is_made(fault.found):
            return fault
        cells = ", ".join(self.draft.heads().below[place - 1])
        return replace(fault, doubt=replace(fault.doubt, written=cells, read_as=cells))

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


def question_lines(
    alike: Sequence[Fault], may: Sequence[roster.Allowed], words: Words
) -> Iterator[str]:
    """Yield where something is asked, what stands there, and what may be answered.

    Questions that are alike are told as one, of all their rows.
    """
    fault = alike[0]
    rows = roster.rows_of(alike)
    row = words("command.order.row", row=fault.line)
    where = [words("order.bare_rows", rows=rows) if len(alike) > 1 else row] if fault.line else []
    nth = fault.problem.values.get("place")
    where += [words("command.order.column", place=nth)] if nth else []
    problem = words.say(fault.problem)
    if fault.problem.id == HEADING:
        problem = _of_heading(fault, words)
    said = [problem, *_stands(alike, words)]
    place = ", ".join((*where, *([fault.key] if fault.key else [])))
    yield ": ".join(part for part in (place, "; ".join(said)) if part)
    for_all = len(alike) > 1
    answers = tuple((_for_all if for_all else _answers)(fault, may, words))
    yield words("command.order.answers", answers=answers)


def _of_heading(fault: Fault, words: Words) -> str:
    """What is asked about a heading: one that is not there, or not like what stands below it."""
    if roster.is_made(fault.found):
        return words("command.order.unnamed")
    if fault.problem.values.get("unlike"):
        return words("command.order.unlike")
    return words("command.order.heading")


def _stands(alike: Sequence[Fault], words: Words) -> Iterator[str]:
    """What stands in the cells, each text once, and what one alone was read as."""
    written = (f.found if f.doubt is None else f.doubt.written for f in alike)
    texts = (text for text in written if text and not roster.is_made(text))
    stands = tuple(dict.fromkeys(f'"{shown(text)}"' for text in texts))
    if stands:
        yield ", ".join(stands)
    read_as = roster.fault_read_as(alike[0])
    said = f'"{shown(read_as)}"' in stands or roster.is_made(read_as)
    if len(alike) == 1 and read_as and not said:
        yield words("catalog.fault.read_as", read_as=f'"{shown(read_as)}"')


def _for_all(fault: Fault, may: Sequence[roster.Allowed], words: Words) -> Iterator[str]:
    """What may be answered for all of them, or that each is to be asked about."""
    if all(each.keep for each in may):
        yield roster.KEEP
    for nth, choices in enumerate(zip(*(each.choices for each in may), strict=True), 1):
        told = f" ({', '.join(dict.fromkeys(choices))})" if fault.doubt is not None else ""
        yield f"choice-{nth}{told}"
    if not may[0].choices and may[0].writes and fault.found:
        yield _write(may[0].writes, words)
    yield words("command.order.each")


def _write(field: str, words: Words) -> str:
    if field == "size":
        return words("command.order.size", sizes=tuple(BY_CODE))
    return words("command.order.write", field=field)


def _answers(fault: Fault, may: Sequence[roster.Allowed], words: Words) -> Iterator[str]:
    """What may be answered; a name that is not told is chosen by its place."""
    (own,) = may
    if own.keep:
        yield words("command.order.keep_one") if fault.key == "quantity" else roster.KEEP
    told = fault.doubt is not None or fault.nearest
    for nth, choice in enumerate(own.choices, 1):
        shown_as = f'"{choice}"' if choice else words("command.order.nothing")
        yield shown_as if told else f"choice-{nth}"
    if own.writes:
        yield _write(own.writes, words)
    if own.leave_out:
        yield roster.LEAVE_OUT
