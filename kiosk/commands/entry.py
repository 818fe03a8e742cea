"""`kiosk material`, `fabric`, `press`: ask for a sheet's values and write the entry."""

import sys
from argparse import Namespace
from collections.abc import Iterator, Mapping
from pathlib import Path

from kiosk.catalog import entries
from kiosk.catalog.base import (
    Fault,
    Message,
    is_plain,
    one_line,
    say,
    surely,
    why_of,
    without_accents,
    word_problem,
)
from kiosk.catalog.read import read_catalog
from kiosk.catalog.sheets import AnswerForm, SheetQuestion
from kiosk.commands import DONE, FAULTS, INTERRUPTED, USAGE
from kiosk.commands.load import print_faults
from kiosk.words import Words

ONE_BACK = "<"


def run(options: Namespace) -> int:
    """Ask what the sheet says, saving each answer, and write the entry at the end."""
    kind, recipes = options.command, options.recipes
    catalog, faults = read_catalog(recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    if not surely(recipes.is_dir):
        print_faults(faults, words)
        return FAULTS
    key, file = entries.key_of(options.name), entries.PLACES[kind][0]
    if key and (problem := word_problem(options.name)):
        _print_refused(problem, options.name, words)
        return USAGE
    if not key or entries.is_known(kind, key, catalog):
        why = "command.entry.known" if key else "command.entry.no_name"
        print(words(why, key=key, file=file), file=sys.stderr)
        return FAULTS if key else USAGE
    drafts = {(each.kind, each.key): each for each in entries.saved_drafts(recipes, catalog)}
    draft = drafts.get((kind, key))
    if draft is not None:
        answered, total = draft.progress
        print(words("command.entry.goes_on", title=draft.title, answered=answered, of=total))
    draft = draft or entries.begin(kind, options.name, catalog.station.temperature)
    if code := _ask_and_write(options, draft, words):
        return code
    print(words("command.entry.written", key=key, file=str(recipes / file)))
    return DONE


def _ask_and_write(options: Namespace, draft: entries.EntryDraft, words: Words) -> int:
    """Ask the open questions and write the entry; print what prevents it. Return the exit code."""
    print(words("command.entry.how", back=ONE_BACK))
    try:
        refused = _fill_in(options.recipes, draft, words)
    except (EOFError, KeyboardInterrupt) as end:
        print(file=sys.stderr)
        print(words("command.entry.kept", kind=options.command, name=options.name), file=sys.stderr)
        return FAULTS if isinstance(end, EOFError) else INTERRUPTED
    except OSError as problem:
        print(words("station.file_not_written", why=why_of(problem)), file=sys.stderr)
        return FAULTS
    print_faults(refused, words)
    return FAULTS if refused else DONE


def _fill_in(recipes: Path, draft: entries.EntryDraft, words: Words) -> tuple[Fault, ...]:
    """Ask until every question has an answer, then write; return what the checker refuses."""
    while (question := draft.question) is not None:
        typed = input(_prompt(draft, question, words)).strip()
        if typed == ONE_BACK:
            draft = draft.back()
        elif not is_plain(typed):
            _print_refused(say("catalog.word.characters"), typed, words)
        else:
            answer = _as_in_file(draft, question, typed, words) if typed else None
            draft, faults = draft.with_answer(question.path, answer)
            print_faults(map(entries.field_fault, faults), words)
        entries.save(recipes, draft)
    return entries.add(recipes, draft, words.say)


def _print_refused(problem: Message, typed: str, words: Words) -> None:
    print_faults((Fault("", 0, "", problem, one_line(typed)),), words)


def _prompt(draft: entries.EntryDraft, question: SheetQuestion, words: Words) -> str:
    answered, total = draft.progress
    options = ", ".join(_options(draft, question, words))
    fallback = entries.fallback_in_words(question)
    question_text = f"{answered + 1}/{total} {words.say(question.text)}"
    choices = f" ({options})" if options else ""
    middle = ".middle" if question.middle else ""
    default = f" [{words(f'entry.taken{middle}', value=fallback)}]" if fallback else ""
    if question.path == "source":  # the numbers' source; a guess is one of its answers
        default = f" [{words('entry.word.guess')}]"
    return f"{question_text}{choices}{default}: "


def _options(draft: entries.EntryDraft, question: SheetQuestion, words: Words) -> Iterator[str]:
    if question.form is AnswerForm.DAY:
        yield words("catalog.like.source_date")
    elif question.form is AnswerForm.AMOUNT:
        bare = entries.unit_of(question, draft)
        several = len(question.options) > 1
        yield words("entry.units", units=question.options, bare=bare) if several else bare
    for nth, option in enumerate(_choices(question, words), 1):
        yield f"{nth} {option}"


def _choices(question: SheetQuestion, words: Words) -> Mapping[str, str]:
    """Return the choices as written in the file, by their words in the shop's language."""
    if question.form not in (AnswerForm.CHOICE, AnswerForm.SOME):
        return {}
    return {words.say(entries.option_word(question, option)): option for option in question.options}


def _as_in_file(
    draft: entries.EntryDraft, question: SheetQuestion, typed: str, words: Words
) -> str:
    """Return what was typed as the file spells it: numbers with unit, choices by key."""
    if question.form is AnswerForm.AMOUNT:
        return entries.as_amount(question, typed, entries.unit_of(question, draft))
    choices = _choices(question, words)
    if question.form is AnswerForm.SOME:
        return ", ".join(_choice_of(each, choices) for each in typed.split(","))
    return _choice_of(typed, choices) if choices else typed


def _choice_of(typed: str, choices: Mapping[str, str]) -> str:
    """Return the choice meant by a number, a word or its beginning; otherwise the text as typed."""
    word, options = without_accents(typed.strip()), list(choices.values())
    if word.isdigit() and 0 < int(word) <= len(options):
        return options[int(word) - 1]
    both = [
        *zip(map(without_accents, choices), options, strict=True),
        *zip(options, options, strict=True),
    ]
    exact = {option for name, option in both if name == word}
    matches = exact or {option for name, option in both if word and f" {word}" in f" {name}"}
    return matches.pop() if len(matches) == 1 else typed.strip()
