"""A new material, fabric or press by touch: what its supplier's sheet says, a question a page."""

from collections.abc import Callable

from kiosk.catalog import entries
from kiosk.catalog.base import Fault, say
from kiosk.catalog.sheets import AnswerForm, SheetQuestion
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words

Then = Callable[[str], None]


class Entering:
    """What is being entered: its kind, its draft, and parts of the current answer.

    `kind` is "" while it may be any; `draft` is None until it has a name. `refused` are the
    checker's faults of the last answer.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._then: Then | None = None
        self.kind = ""
        self.kind_chosen = False
        self.draft: entries.EntryDraft | None = None
        self.unit = ""
        self.chosen_options: tuple[str, ...] = ()
        self.refused: tuple[Fault, ...] = ()
        self.page = 0  # page of all answers

    def open(self, kind: str, then: Then | None) -> None:
        """Turn to what may be entered; `then` gets the written key, or "" if there is none."""
        self.kind, self._then, self.draft, self.kind_chosen = kind, then, None, False
        self.kind_chosen = bool(kind) and not self.drafts()
        self._turn()

    def drafts(self) -> tuple[entries.EntryDraft, ...]:
        """Return the half-done drafts, of the current kind if one is set."""
        library = self._desk.library
        found = entries.saved_drafts(library.recipes, library.catalog)
        return tuple(draft for draft in found if self.kind in ("", draft.kind))

    def choose(self, kind: str) -> None:
        """Begin a new one of a kind: its name comes first."""
        self.kind, self.kind_chosen = kind, True
        self._turn()

    def take(self, draft: entries.EntryDraft) -> None:
        """Resume a draft."""
        self.draft = draft
        self._turn()

    def name(self) -> None:
        """Take the typed name."""
        desk, name = self._desk, entries.as_title(self._desk.entry)
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

    def answer(self, question: SheetQuestion, text: str | None) -> None:
        """Give an answer, None if the sheet does not say; a refused one is shown and not kept."""
        if self.draft is None or text == "":
            return
        draft, self.refused = self.draft.with_answer(question.path, text)
        if not self.refused:
            self._save(draft)

    def toggle(self, option: str) -> None:
        """Add one of several words, or remove it."""
        was_chosen = option in self.chosen_options
        self.chosen_options = tuple(
            o for o in (*self.chosen_options, option) if not (was_chosen and o == option)
        )

    def back(self) -> None:
        """Take the last answer back; before the first one leave the entry."""
        if self.draft is None:
            self._leave("")
        elif self.draft.answers:
            self._save(self.draft.back())
        else:
            self.later()

    def later(self) -> None:
        """Leave the entry half done."""
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
            desk.shell.not_written(problem)
            return
        if self.refused:
            return
        desk.library.read()
        desk.of(Files).record_changes(on_screen=True)
        desk.shell.say(say("entry.saved", title=draft.title))
        self._leave(draft.key)

    def _save(self, draft: entries.EntryDraft) -> None:
        try:
            entries.save(self._desk.library.recipes, draft)
        except OSError as problem:
            self._desk.shell.not_written(problem)
            return
        self.draft = draft
        self._turn()

    def _turn(self) -> None:
        self.refused, self.chosen_options, self.page = (), (), 0
        question = None if self.draft is None else self.draft.question
        if self.draft is not None and question is not None and question.form is AnswerForm.AMOUNT:
            self.unit = entries.unit_of(question, self.draft)
        self._desk.go(PageKind.NEW_ENTRY)

    def _leave(self, key: str) -> None:
        then, self._then, self.draft = self._then, None, None
        if then is None:
            self._desk.go(PageKind.SUPERVISOR)
        else:
            then(key)


def new_entry(desk: Desk, kind: str = "", then: Then | None = None) -> None:
    """Turn to a new material, fabric or press, once the supervisor's PIN was given.

    `kind` is "material", "fabric" or "press". `then` gets the written key, or "" if the entry was
    left; without `then`, the supervisor's page follows.
    """
    desk.of(Entering).open(kind, then)


def ask_new_entry(desk: Desk, kind: str, then: Then) -> None:
    """Ask for the PIN, then call `new_entry`: an entry affects every order."""
    ask_pin(desk, lambda: new_entry(desk, kind, then), say("pin.for.entry"))


def count_half_done(desk: Desk) -> int:
    """Return how many new entries are half done."""
    return len(entries.saved_drafts(desk.library.recipes, desk.library.catalog))
