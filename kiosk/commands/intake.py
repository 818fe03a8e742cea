"""`kiosk order`: a file to a job; `kiosk material`, `fabric`, `press`: a sheet to an entry."""

import os
import sys
from argparse import Namespace
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kiosk.catalog import entries, roster
from kiosk.catalog.base import Fault, Notes, Unsound, say, shown, surely
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import read_catalog
from kiosk.catalog.rules import read_face
from kiosk.catalog.sheets import Form, Question
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS, INTERRUPTED, JOBS, USAGE
from kiosk.commands.load import nameless, print_faults, print_notices, wrong
from kiosk.plan.model import Refusal
from kiosk.plan.procedure import placement_faults, plan_job
from kiosk.station.desk.jobs.order_read import FILM, own_recipe, with_films
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Make a job of an order, or an entry of a sheet: every question asked."""
    return _order(asked) if asked.command == "order" else _entry(asked)


def _order(asked: Namespace) -> int:
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


ONE_BACK = "<"


def _entry(asked: Namespace) -> int:
    """Ask what the sheet says, keep each answer at once, and write the entry at the end."""
    kind, recipes = asked.command, asked.recipes
    catalog, faults = read_catalog(recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    if not surely(recipes.is_dir):
        print_faults(faults, words)
        return FAULTS
    key, file = entries.key_of(asked.name), entries.PLACES[kind][0]
    if not key or entries.is_known(kind, key, catalog):
        why = "command.entry.known" if key else "command.entry.no_name"
        print(words(why, key=key, file=file), file=sys.stderr)
        return FAULTS if key else USAGE
    halves = {(each.kind, each.key): each for each in entries.kept(recipes, catalog)}
    draft = halves.get((kind, key))
    if draft is not None:
        answered, of = draft.answered
        print(words("command.entry.goes_on", title=draft.title, answered=answered, of=of))
    draft = draft or entries.begin(kind, asked.name, catalog.station.temperature)
    print(words("command.entry.how", back=ONE_BACK))
    try:
        done = _answered(recipes, draft, words)
    except (EOFError, KeyboardInterrupt) as end:
        print(file=sys.stderr)
        print(words("command.entry.kept", kind=kind, name=asked.name), file=sys.stderr)
        return FAULTS if isinstance(end, EOFError) else INTERRUPTED
    except OSError as problem:
        print(words("station.file_not_written", why=problem.strerror or ""), file=sys.stderr)
        return FAULTS
    print_faults(done, words)
    if done:
        return FAULTS
    print(words("command.entry.written", key=key, file=str(recipes / file)))
    return DONE


def _answered(recipes: Path, draft: entries.Draft, words: Words) -> tuple[Fault, ...]:
    """Ask until every question has an answer, then write; return what the checker refuses."""
    while (question := draft.question) is not None:
        typed = input(_prompt(draft, question, words)).strip()
        if typed == ONE_BACK:
            draft = draft.back()
        else:
            said = _spelled(draft, question, typed, words) if typed else None
            draft, faults = draft.with_answer(question.path, said)
            print_faults(map(entries.beside_field, faults), words)
        entries.keep(recipes, draft)
    return entries.add(recipes, draft, words.say)


def _prompt(draft: entries.Draft, question: Question, words: Words) -> str:
    answered, of = draft.answered
    options, unsaid = ", ".join(_options(question, words)), entries.unsaid_said(question)
    asks = f"{answered + 1}/{of} {words.say(question.asks)}"
    told = f" ({options})" if options else ""
    middle = ".middle" if question.middle else ""
    taken = f" [{words(f'entry.taken{middle}', value=unsaid)}]" if unsaid else ""
    if question.path == "source":  # of the numbers: a guess is one of its answers
        taken = f" [{words('entry.word.guess')}]"
    return f"{asks}{told}{taken}: "


def _options(question: Question, words: Words) -> Iterator[str]:
    if question.form is Form.DAY:
        yield words("catalog.like.source_date")
    elif question.form is Form.AMOUNT:
        yield from question.options
    for nth, option in enumerate(_named(question, words), 1):
        yield f"{nth} {option}"


def _named(question: Question, words: Words) -> Mapping[str, str]:
    """The choices as a file has them, by their words in the shop's language."""
    if question.form not in (Form.CHOICE, Form.SOME):
        return {}
    return {words.say(entries.option_said(question, option)): option for option in question.options}


def _spelled(draft: entries.Draft, question: Question, typed: str, words: Words) -> str:
    """What was typed as a file has it: numbers get their unit, choices their word."""
    if question.form is Form.AMOUNT:
        return entries.as_amount(question, typed, entries.unit_of(question, draft))
    named = _named(question, words)
    if question.form is Form.SOME:
        return ", ".join(_chosen(each, named) for each in typed.split(","))
    return _chosen(typed, named) if named else typed


def _chosen(typed: str, named: Mapping[str, str]) -> str:
    """The choice that a number, a word or its beginning stands for; anything else as typed."""
    word, options = typed.strip().casefold(), list(named.values())
    if word.isdigit() and 0 < int(word) <= len(options):
        return options[int(word) - 1]
    both = [*zip(named, options, strict=True), *zip(options, options, strict=True)]
    exact = {option for said, option in both if said.casefold() == word}
    begun = exact or {option for said, option in both if said.casefold().startswith(word)}
    return begun.pop() if len(begun) == 1 else typed.strip()
