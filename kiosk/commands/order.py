"""`kiosk order`: turn a customer's file into a job, asking every open question."""

import os
import sys
from argparse import Namespace
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kiosk.catalog import roster
from kiosk.catalog.base import Fault, Notes, Unsound, Value, one_line, say
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import read_catalog
from kiosk.catalog.rules import read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS, JOBS
from kiosk.commands.load import has_error, print_faults, print_notices
from kiosk.commands.order_questions import HEADING, question_lines, without_names
from kiosk.plan.model import PanelRefusal
from kiosk.plan.procedure import placement_faults, plan_job
from kiosk.station.desk.jobs.order_reading import FILM, own_recipe, with_films
from kiosk.words import Words


def run(options: Namespace) -> int:
    """Make the job, or print its open questions as an answers file to fill in.

    Nothing is left behind by an incomplete order.
    """
    catalog, faults = read_catalog(options.recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    if has_error(faults):
        print_faults(faults, words)
        return FAULTS
    roster.sweep(JOBS)
    draft = None
    try:
        title = options.name or options.file.stem
        draft = roster.begin(options.file, JOBS, title, catalog, f".{os.getpid()}{roster.PASSING}")
        films = _films(options, catalog)
        draft.save_answers(
            {f"{FILM}{element}": roster.Answer(text=film) for element, film in films.items()}
        )
        order_catalog = with_films(catalog, options.recipe or "", films)
        return _NewJob(draft, order_catalog, catalog, words, options).make()
    except roster.CannotOrder as problem:
        print(f"{options.file}: {words.say(problem.message)}", file=sys.stderr)
        return FAULTS
    finally:
        if draft is not None:
            draft.delete()


def _films(options: Namespace, catalog: Catalog) -> dict[str, str]:
    """Return the films asked for by element; raise CannotOrder for an unknown one."""
    chosen, recipe = dict[str, str](), catalog.recipes.get(options.recipe or "")
    panels = () if recipe is None else recipe.panels
    elements = tuple(dict.fromkeys(e.name for panel in panels for e in panel.elements))
    for pair in options.film or ():
        element, _, film = pair.partition("=")
        if element not in elements or film not in catalog.materials:
            films = tuple(sorted(catalog.materials))
            known: dict[str, Value] = {"elements": elements, "films": films}
            raise roster.CannotOrder(say("command.order.film", found=pair, **known))
        chosen[element] = film
    return chosen


NO_COLUMN = "catalog.roster.no_column"


@dataclass(frozen=True)
class _NewJob:
    """One order being made into a job; `catalog` has its films, `shop` is unchanged."""

    draft: roster.OrderDraft
    catalog: Catalog
    shop: Catalog
    words: Words
    options: Namespace

    def make(self) -> int:
        """Return the exit code; the job is written only if it is 0."""
        draft, options = self.draft, self.options
        named = {"recipe": options.recipe, "fabric": options.fabric, "press": options.press}
        draft.save(replace(draft.order(), **{key: text for key, text in named.items() if text}))
        answers = self._answers()
        if answers is None:
            return FAULTS
        status = self._settle(answers)
        asks_heading = any(each.problem.id == HEADING for each in status.open)
        faults = [
            self._of_file(fault)
            for fault in status.faults
            if fault.problem.id != NO_COLUMN or not asks_heading
        ]
        print_faults(faults, self.words)
        if status.open:
            print("\n".join(self._answers_file(status.open, status.guessed, answers)))
        if status.open or has_error(faults) or status.job is None:
            return FAULTS
        return self._write(status.job)

    def _answers(self) -> dict[str, roster.Answer] | None:
        """Return the contents of the answers file, or None if faults were printed on stderr."""
        if self.options.answers is None:
            return {}
        notes = Notes(str(self.options.answers))
        try:
            answers = roster.read_answers(self.options.answers, notes)
        except Unsound:
            answers = {}
        print_faults(notes.faults, self.words)
        return None if notes.faults else answers

    def _settle(self, answers: dict[str, roster.Answer]) -> roster.OrderStatus:
        """Apply answers until none fits: an answer can change the questions, so all are retried."""
        applied, used = dict[str, roster.Answer](), set[str]()
        while True:
            status = self._status()
            fitting = [
                (fault, answer)
                for fault in status.open
                if fault.id not in applied
                if (answer := roster.answer_to(fault, answers)) is not None
            ]
            if not fitting:
                self._print_unused(answers, status.open, used)
                return status
            applied |= {fault.id: answer for fault, answer in fitting}
            used |= {name for fault, _ in fitting for name in (fault.id, roster.group_id(fault))}
            self.draft.answer(*fitting)

    def _print_unused(
        self, answers: dict[str, roster.Answer], open_questions: Iterable[Fault], used: set[str]
    ) -> None:
        """Print the answers that were not used: not asked for, or not allowed."""
        if any(roster.of_whole_file(fault.id) for fault in open_questions):
            return  # nothing else has been asked yet
        open_names = {
            name for fault in open_questions for name in (fault.id, roster.group_id(fault))
        }
        for name, answer in answers.items():
            if name not in used and answer.text != roster.EACH:
                id_ = "command.order.no_answer" if name in open_names else "command.order.not_asked"
                line = self.words(id_, file=str(self.options.answers), question=one_line(name))
                print(line, file=sys.stderr)

    def _status(self) -> roster.OrderStatus:
        more_faults = partial(placement_faults, catalog=self.catalog, face=read_face())
        return self.draft.status(self.catalog, more_faults)

    def _of_file(self, fault: Fault) -> Fault:
        """Return a fault reported against the customer's file, not its copy or a job.yaml."""
        if fault.key in ("recipe", "fabric", "press") and not fault.question:
            fault = _of_option(fault)
        elif fault.problem.id == NO_COLUMN:
            problem = say("command.order.no_column", field=fault.key)
            fault = replace(fault, problem=problem, allowed="")
        inside = Path(fault.file).parent == self.draft.folder
        return replace(fault, file=str(self.options.file)) if inside else fault

    def _answers_file(
        self, open_questions: Sequence[Fault], guessed: bool, answers: dict[str, roster.Answer]
    ) -> Iterator[str]:
        """Yield each open question as lines of an answers file, similar ones grouped."""
        yield f"# {self.words('command.order.open', file=self.options.file.name)}"
        if guessed:
            yield f"# {self.words('order.guessed')}"
        if any(fault.problem.id == HEADING and not fault.line for fault in open_questions):
            yield f"# {self.words('order.no_headings')}"
        groups = {
            name: group
            for name, group in roster.question_groups(open_questions).items()
            if answers.get(name) != roster.Answer(text=roster.EACH)
        }
        columns = self._columns()
        alike = {fault.id: name for name, group in groups.items() for fault in group}
        for fault in open_questions:
            name = alike.get(fault.id, fault.id)
            group = groups.pop(name, ()) if name != fault.id else (fault,)
            if group:
                printed = [self._as_printed(each, guessed, columns) for each in group]
                allowed = [roster.allowed(each) for each in group]
                yield ""
                yield from (f"# {line}" for line in question_lines(printed, allowed, self.words))
                yield from (f"# {line}" for line in self._row_of(group, columns))
                yield f"{name}:"

    def _columns(self) -> roster.OrderColumns | None:
        """Return the file's own columns and rows if names are asked for, else None."""
        with suppress(roster.CannotOrder):
            return self.draft.columns() if self.options.names else None
        return None

    def _row_of(self, group: Sequence[Fault], columns: roster.OrderColumns | None) -> Iterator[str]:
        """Yield the row as the customer wrote it, if the question is about a single row."""
        row = () if columns is None else columns.lines.get(group[0].line, ())
        cells = tuple(one_line(cell) for cell in row if cell)
        if len(group) == 1 and cells and group[0].problem.id != HEADING:
            yield self.words("order.cells_of_row", cells=cells)

    def _as_printed(
        self, fault: Fault, guessed: bool, columns: roster.OrderColumns | None
    ) -> Fault:
        """Return a question as printed: without names, or a column by its first cells."""
        if not self.options.names:
            return without_names(fault, guessed)
        place = fault.problem.values.get("place")
        if not roster.is_made(fault.found) or not isinstance(place, int):
            return fault
        if fault.doubt is None or columns is None:
            return fault
        cells = ", ".join(columns.first_cells[place - 1])
        return replace(fault, doubt=replace(fault.doubt, written=cells, read_as=cells))

    def _write(self, job: Job) -> int:
        plan = plan_job(job, self.catalog, read_face())
        if isinstance(plan, PanelRefusal):
            from kiosk.commands.plan.text import of_refusal

            print(of_refusal(plan, self.words))
            return CANNOT_BE_PRESSED
        free_key = roster.free_key(self.draft.order().title, Path(os.devnull))
        if free_key != self.draft.key:
            raise roster.CannotOrder(say("catalog.order.there", name=free_key))
        print_notices(replace(job, folder=str(self.options.file)), self.catalog, self.words)
        roster.remember(self.options.recipes, self.draft, self.catalog)
        own_recipe(self.draft, self.options.recipes, self.shop, self.words)
        folder = self.draft.finish()
        count = len(job.roster)
        print(self.words("command.order.written", path=str(folder), count=count, job=folder.name))
        return DONE


def _of_option(fault: Fault) -> Fault:
    """Return a fault in an option of the command line, or a missing one."""
    if fault.problem.id != "catalog.key.missing":
        return replace(fault, line=0)
    problem = say("command.order.choose", option=f"--{fault.key}")
    return replace(fault, line=0, key="", problem=problem)
