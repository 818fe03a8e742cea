"""Pages of a new entry: its kind, its name, a question each, all answers before it is written."""

from collections.abc import Callable
from dataclasses import replace

from kiosk.catalog import entries
from kiosk.catalog.sheets import MORE, AnswerForm, SheetQuestion
from kiosk.station.desk.desk import Desk, digits, keyboard, point
from kiosk.station.desk.sheet import Button, Sheet, TablePicture
from kiosk.station.desk.shift.file_words import fault_line
from kiosk.station.desk.shift.new_entry import Entering
from kiosk.words import Words, fault_text

LONGEST_NAME, LONGEST_NUMBER, LONGEST_DAY = 40, 11, 8
MOST_FAULTS = 3
ON_A_PAGE = 10  # answers that fit on the smallest screen


def entering(desk: Desk, words: Words) -> Sheet:
    """Page of the kind, the name, the current question, or all answers before they are written."""
    state = desk.of(Entering)
    if state.draft is None:
        return _name(desk, words) if state.kind_chosen else _kind(desk, words)
    question = state.draft.question
    return _review(desk, words, state.draft) if question is None else _ask(desk, words, question)


def _kind(desk: Desk, words: Words) -> Sheet:
    state = desk.of(Entering)
    kinds = [state.kind] if state.kind else list(entries.PLACES)

    def draft_button(draft: entries.EntryDraft) -> Button:
        answered, total = draft.progress
        line = words("entry.progress", answered=answered, of=total)
        return Button(draft.title, lambda: state.take(draft), line)

    def new_button(kind: str) -> Button:
        return Button(words(f"entry.new.{kind}"), lambda: state.choose(kind))

    return Sheet(
        title=words("entry.new"),
        lines=(words("entry.new_line"),),
        choices=(*map(new_button, kinds), *map(draft_button, state.drafts())),
        left=Button(words("page.back"), state.later),
    )


def _name(desk: Desk, words: Words) -> Sheet:
    state = desk.of(Entering)
    return Sheet(
        title=words("entry.ask.title"),
        lines=(words(f"entry.new.{state.kind}"),),
        entry=desk.entry,
        choices=keyboard(desk, words, LONGEST_NAME),
        columns=9,
        main=Button(words("page.enter"), state.name),
        left=Button(words("page.back"), state.back),
    )


def _ask(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    state = desk.of(Entering)
    sheet = _PAGES[question.form](desk, words, question)
    assert state.draft is not None  # it asks the question
    problems = "; ".join(
        fault_text(entries.field_fault(each), words) for each in state.refused[:MOST_FAULTS]
    )
    return replace(
        sheet,
        title=words.say(question.text),
        lines=(problems,)
        if problems
        else _lines(state.draft, question, sheet.entry is not None, words),
        choices=(*sheet.choices, Button(words("entry.later"), state.later)),
        left=Button(words("page.back"), state.back),
        right=_unsaid_button(desk, words, question),
    )


def _lines(
    draft: entries.EntryDraft, question: SheetQuestion, low: bool, words: Words
) -> tuple[str, ...]:
    """Return the entry's progress, and the value used if unanswered; beside a field one line."""
    answered, total = draft.progress
    fallback = () if question.path == "source" else entries.fallback_in_words(question)
    middle = ".middle" if question.middle else ""
    lines = (
        words("entry.progress_of", title=draft.title, answered=answered, of=total),
        *((words(f"entry.if_unsaid{middle}", value=fallback),) if fallback else ()),
        *((words("catalog.like.source_date"),) if question.form is AnswerForm.DAY else ()),
    )
    return lines[-1:] if low else lines


def _unsaid_button(desk: Desk, words: Words, question: SheetQuestion) -> Button | None:
    if question.path == "source" or _is_more(question):  # a guess, or no, is among its choices
        return None
    return Button(words("entry.unsaid"), lambda: desk.of(Entering).answer(question, None))


def _is_more(question: SheetQuestion) -> bool:
    """Return whether it asks for values at a higher temperature: most sheets have none."""
    return question.path.endswith(f".{MORE}")


def _choice(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    def button(option: str) -> Button:
        label = words.say(entries.option_word(question, option))
        return Button(label, lambda: desk.of(Entering).answer(question, option))

    buttons = tuple(map(button, question.options))
    if _is_more(question):
        return Sheet("", choices=buttons[:1], main=buttons[1])
    return Sheet("", choices=buttons, columns=2)


def _some(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    state = desk.of(Entering)

    def button(option: str) -> Button:
        label = words.say(entries.option_word(question, option))
        return Button(
            f"✓ {label}" if option in state.chosen_options else label, lambda: state.toggle(option)
        )

    def take() -> None:
        state.answer(question, ", ".join(o for o in question.options if o in state.chosen_options))

    main = Button(words("page.enter"), take)
    return Sheet("", choices=tuple(map(button, question.options)), columns=2, main=main)


def _amount(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    state = desk.of(Entering)

    def take() -> None:
        if desk.entry:
            state.answer(question, entries.as_amount(question, desk.entry, state.unit))

    def unit(name: str) -> Button:
        def act() -> None:
            state.unit = name

        return Button(name, act)

    sides = (Button("x", lambda: desk.type(" x ", LONGEST_NUMBER)),) if question.sides > 1 else ()
    units = tuple(map(unit, question.options)) if len(question.options) > 1 else ()
    return Sheet(
        "",
        entry=f"{desk.entry} {state.unit}".strip(),
        choices=(
            *digits(desk, words, LONGEST_NUMBER),
            point(desk, words, LONGEST_NUMBER),
            *sides,
            *units,
        ),
        columns=6,
        main=Button(words("page.enter"), take),
    )


def _text(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    def take() -> None:
        desk.of(Entering).answer(question, entries.as_title(desk.entry))

    keys = keyboard(desk, words, LONGEST_NAME)
    main = Button(words("page.enter"), take)
    return Sheet("", entry=desk.entry, choices=keys, columns=9, main=main)


def _day(desk: Desk, words: Words, question: SheetQuestion) -> Sheet:
    day = "-".join(filter(None, (desk.entry[:4], desk.entry[4:6], desk.entry[6:])))

    def take() -> None:
        desk.of(Entering).answer(question, day)

    main = Button(words("page.enter"), take)
    return Sheet("", entry=day, choices=digits(desk, words, LONGEST_DAY), columns=6, main=main)


_PAGES: dict[AnswerForm, Callable[[Desk, Words, SheetQuestion], Sheet]] = {
    AnswerForm.CHOICE: _choice,
    AnswerForm.SOME: _some,
    AnswerForm.AMOUNT: _amount,
    AnswerForm.TEXT: _text,
    AnswerForm.DAY: _day,
}


def _review(desk: Desk, words: Words, draft: entries.EntryDraft) -> Sheet:
    """Page of every answer, guesses marked, before the entry is written."""
    state, entry = desk.of(Entering), draft.entry
    marks = dict.fromkeys(entry.guessed, words("source.guess"))
    marks |= dict.fromkeys(entry.middles, words("entry.middle"))
    rows = [
        (words.say(q.text), _answer_words(draft, q, words), marks.get(q.path, ""))
        for q in entry.questions
        if not _is_more(q) and (draft.answers.get(q.path) is not None or q.path in marks)
    ]
    rows.sort(key=lambda row: not row[-1])  # guesses first: they must be seen
    pages = -(-len(rows) // ON_A_PAGE)
    at = state.page % pages

    def turn() -> None:
        state.page = at + 1

    more = Button(words("page.more"), turn)
    problems = tuple(fault_line(words, fault) for fault in state.refused[:MOST_FAULTS])
    return Sheet(
        title=draft.title,
        headline=words("entry.guesses", count=len(entry.guessed)),
        second="; ".join(problems),
        picture=TablePicture(("", "", ""), tuple(rows[at * ON_A_PAGE :][:ON_A_PAGE])),
        main=Button(words("page.value.write"), state.write),
        left=Button(words("page.back"), state.back),
        right=more if pages > 1 else Button(words("entry.later"), state.later),
    )


def _answer_words(draft: entries.EntryDraft, question: SheetQuestion, words: Words) -> str:
    """Return an answer, or the value used without one, in words."""
    answer = draft.answers.get(question.path)
    if answer is None:
        return ", ".join(
            words.say(v) if not isinstance(v, str) else v
            for v in entries.fallback_in_words(question)
        )
    if question.form in (AnswerForm.CHOICE, AnswerForm.SOME):
        return ", ".join(
            words.say(entries.option_word(question, o.strip())) for o in answer.split(",")
        )
    return answer
