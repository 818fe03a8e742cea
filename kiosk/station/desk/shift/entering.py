"""A new material, fabric or press by touch: what its supplier's sheet says, one question a page."""

from collections.abc import Callable
from dataclasses import replace

from kiosk.catalog import entries
from kiosk.catalog.base import Fault, say
from kiosk.catalog.sheets import Form, Question
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.pads import digits, keyboard, point
from kiosk.station.desk.people.people import ask_pin
from kiosk.station.desk.sheet import Button, Page, Sheet, TablePicture
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words, fault_text

LONGEST_NAME, LONGEST_NUMBER, LONGEST_DAY = 40, 11, 8
MOST_FAULTS = 3
Then = Callable[[str], None]


class Entering:
    """What is being entered: its kind, its draft, what of an answer is not given yet.

    `kind` is "" while it may be any; `draft` None until it has a name. `refused` are the
    checker's faults of the last answer.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._then: Then | None = None
        self.kind = ""
        self.chosen = False
        self.draft: entries.Draft | None = None
        self.unit = ""
        self.some: tuple[str, ...] = ()
        self.refused: tuple[Fault, ...] = ()

    def look(self, kind: str, then: Then | None) -> None:
        """Turn to what may be entered; `then` gets the key once it is written, "" if it is not."""
        self.kind, self._then, self.draft, self.chosen = kind, then, None, False
        self.chosen = bool(kind) and not self.drafts()
        self._turn()

    def drafts(self) -> tuple[entries.Draft, ...]:
        """Return what was left half done, of the kind that is asked for."""
        library = self._desk.library
        found = entries.kept(library.recipes, library.catalog)
        return tuple(draft for draft in found if self.kind in ("", draft.kind))

    def choose(self, kind: str) -> None:
        """Begin a new one of a kind: its name comes first."""
        self.kind, self.chosen = kind, True
        self._turn()

    def take(self, draft: entries.Draft) -> None:
        """Go on with a draft."""
        self.draft = draft
        self._turn()

    def name(self) -> None:
        """Take the name that was typed."""
        desk, name = self._desk, self._desk.entry.strip().capitalize()
        key = entries.key_of(name)
        if not key:
            return
        if entries.is_known(self.kind, key, desk.library.catalog):
            desk.shell.say(say("command.entry.known", key=key, file=entries.PLACES[self.kind][0]))
            return
        draft = entries.begin(self.kind, name, desk.library.catalog.station.temperature)
        drafts = (each for each in self.drafts() if each.key == key)
        self.take(next(drafts, draft))

    # -- answering ------------------------------------------------------------

    def answer(self, question: Question, said: str | None) -> None:
        """Give an answer, None where the sheet does not say; a refused one is told and not kept."""
        if self.draft is None or said == "":
            return
        draft, self.refused = self.draft.with_answer(question.path, said)
        if not self.refused:
            self._keep(draft)

    def toggle(self, option: str) -> None:
        """Add one of several words, or take it away."""
        here = option in self.some
        self.some = tuple(o for o in (*self.some, option) if not (here and o == option))

    def back(self) -> None:
        """Take the last answer back; before the first one leave what is entered."""
        if self.draft is None:
            self._leave("")
        elif self.draft.answers:
            self._keep(self.draft.back())
        else:
            self.later()

    def later(self) -> None:
        """Leave it half done."""
        self._leave("")

    def write(self) -> None:
        """Write the entry into its file, unless the checker finds a fault with it."""
        desk, draft = self._desk, self.draft
        if draft is None:
            return
        recipes, words = desk.library.recipes, Words(desk.library.station.language)
        try:
            self.refused = entries.add(recipes, draft, words.say)
        except OSError as problem:
            desk.shell.say(say("station.file_not_written", why=problem.strerror or ""))
            return
        if self.refused:
            return
        desk.library.read()
        desk.of(Files).note(on_screen=True)
        desk.shell.say(say("station.file_written", file=entries.PLACES[draft.kind][0]))
        self._leave(draft.key)

    def _keep(self, draft: entries.Draft) -> None:
        try:
            entries.keep(self._desk.library.recipes, draft)
        except OSError as problem:
            self._desk.shell.say(say("station.file_not_written", why=problem.strerror or ""))
            return
        self.draft = draft
        self._turn()

    def _turn(self) -> None:
        self.refused, self.some = (), ()
        question = None if self.draft is None else self.draft.question
        if self.draft is not None and question is not None and question.form is Form.AMOUNT:
            self.unit = entries.unit_of(question, self.draft)
        self._desk.go(Page.NEW_ENTRY)

    def _leave(self, key: str) -> None:
        then, self._then, self.draft = self._then, None, None
        if then is None:
            self._desk.go(Page.SUPERVISOR)
        else:
            then(key)


def new_entry(desk: Desk, kind: str = "", then: Then | None = None) -> None:
    """Turn to a new material, fabric or press, for who has given the supervisor's PIN.

    `kind` is "material", "fabric" or "press". `then` gets its key once it is written, or "" where
    it was left; without, the supervisor's page follows.
    """
    desk.of(Entering).look(kind, then)


def ask_new_entry(desk: Desk, kind: str, then: Then) -> None:
    """Ask for the PIN, then do as `new_entry`: what is written counts for every order."""
    ask_pin(desk, lambda: new_entry(desk, kind, then), say("pin.for.entry"))


def halves(desk: Desk) -> int:
    """Return how many new entries are half done."""
    return len(entries.kept(desk.library.recipes, desk.library.catalog))


def entering(desk: Desk, words: Words) -> Sheet:
    """What is entered, its name, the question at hand, or all answers before they are written."""
    state = desk.of(Entering)
    if state.draft is None:
        return _name(desk, words) if state.chosen else _which(desk, words)
    question = state.draft.question
    return _review(desk, words, state.draft) if question is None else _ask(desk, words, question)


def _which(desk: Desk, words: Words) -> Sheet:
    state = desk.of(Entering)
    kinds = [state.kind] if state.kind else list(entries.PLACES)

    def going_on(draft: entries.Draft) -> Button:
        answered, of = draft.answered
        line = words("entry.progress", answered=answered, of=of)
        return Button(draft.title, lambda: state.take(draft), line)

    def fresh(kind: str) -> Button:
        return Button(words(f"entry.new.{kind}"), lambda: state.choose(kind))

    return Sheet(
        title=words("entry.new"),
        lines=(words("entry.new_line"),),
        choices=(*map(fresh, kinds), *map(going_on, state.drafts())),
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
        main=Button(words("entry.go_on"), state.name),
        left=Button(words("page.back"), state.back),
    )


def _ask(desk: Desk, words: Words, question: Question) -> Sheet:
    state = desk.of(Entering)
    sheet = _PAGES[question.form](desk, words, question)
    assert state.draft is not None  # a question is one of its own
    told = "; ".join(
        fault_text(entries.beside_field(each), words) for each in state.refused[:MOST_FAULTS]
    )
    return replace(
        sheet,
        title=words.say(question.asks),
        lines=(told,) if told else _lines(state.draft, question, sheet.entry is not None, words),
        choices=(*sheet.choices, Button(words("entry.later"), state.later)),
        left=Button(words("page.back"), state.back),
        right=_unsaid(desk, words, question),
    )


def _lines(draft: entries.Draft, question: Question, low: bool, words: Words) -> tuple[str, ...]:
    """How far the entry is, and what is taken without an answer; in one line beside a field."""
    answered, of = draft.answered
    taken = () if question.path == "source" else entries.unsaid_said(question)
    lines = (
        words("entry.progress_of", title=draft.title, answered=answered, of=of),
        *((words("entry.if_unsaid", value=taken),) if taken else ()),
    )
    return lines[-1:] if low else lines


def _unsaid(desk: Desk, words: Words, question: Question) -> Button | None:
    if question.path == "source":  # nobody's is a guess, and stands among the choices
        return None
    others = question.path.endswith(".from") and not question.path.startswith("peel_wait")
    label = words("entry.no_other" if others else "entry.unsaid")
    return Button(label, lambda: desk.of(Entering).answer(question, None))


def _choice(desk: Desk, words: Words, question: Question) -> Sheet:
    def button(option: str) -> Button:
        said = words.say(entries.option_said(question, option))
        return Button(said, lambda: desk.of(Entering).answer(question, option))

    return Sheet("", choices=tuple(map(button, question.options)), columns=2)


def _some(desk: Desk, words: Words, question: Question) -> Sheet:
    state = desk.of(Entering)

    def button(option: str) -> Button:
        said = words.say(entries.option_said(question, option))
        return Button(f"✓ {said}" if option in state.some else said, lambda: state.toggle(option))

    def take() -> None:
        state.answer(question, ", ".join(o for o in question.options if o in state.some))

    main = Button(words("entry.go_on"), take)
    return Sheet("", choices=tuple(map(button, question.options)), columns=2, main=main)


def _amount(desk: Desk, words: Words, question: Question) -> Sheet:
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
        main=Button(words("entry.go_on"), take),
    )


def _text(desk: Desk, words: Words, question: Question) -> Sheet:
    def take() -> None:
        desk.of(Entering).answer(question, desk.entry.strip().capitalize())

    keys = keyboard(desk, words, LONGEST_NAME)
    main = Button(words("entry.go_on"), take)
    return Sheet("", entry=desk.entry, choices=keys, columns=9, main=main)


def _day(desk: Desk, words: Words, question: Question) -> Sheet:
    shown = "-".join(filter(None, (desk.entry[:4], desk.entry[4:6], desk.entry[6:])))

    def take() -> None:
        desk.of(Entering).answer(question, shown)

    main = Button(words("entry.go_on"), take)
    return Sheet("", entry=shown, choices=digits(desk, words, LONGEST_DAY), columns=6, main=main)


_PAGES: dict[Form, Callable[[Desk, Words, Question], Sheet]] = {
    Form.CHOICE: _choice,
    Form.SOME: _some,
    Form.AMOUNT: _amount,
    Form.TEXT: _text,
    Form.DAY: _day,
}


def _review(desk: Desk, words: Words, draft: entries.Draft) -> Sheet:
    """Every answer once more, guesses marked, before the entry is written."""
    state, guessed = desk.of(Entering), frozenset(draft.entry.guessed)
    rows = [
        (
            words.say(q.asks),
            _told(draft, q, words),
            words("source.guess") if q.path in guessed else "",
        )
        for q in draft.entry.questions
        if draft.answers.get(q.path) is not None or q.path in guessed
    ]
    rows.sort(key=lambda row: not row[-1])  # guesses first: they have to be seen
    told = tuple(fault_text(fault, words) for fault in state.refused[:MOST_FAULTS])
    return Sheet(
        title=draft.title,
        headline=words("entry.guesses", count=len(guessed)),
        second="; ".join(told),
        picture=TablePicture(("", "", ""), tuple(rows)),
        main=Button(words("page.value.write"), state.write),
        left=Button(words("page.back"), state.back),
        right=Button(words("entry.later"), state.later),
    )


def _told(draft: entries.Draft, question: Question, words: Words) -> str:
    """An answer, or what is taken for it, in words."""
    said = draft.answers.get(question.path)
    if said is None:
        return ", ".join(
            words.say(v) if not isinstance(v, str) else v for v in entries.unsaid_said(question)
        )
    if question.form in (Form.CHOICE, Form.SOME):
        return ", ".join(
            words.say(entries.option_said(question, o.strip())) for o in said.split(",")
        )
    return said
