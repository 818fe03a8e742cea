"""Pages for who is at the press: PIN, signing on, initials."""

from collections.abc import Callable
from math import ceil

from kiosk.catalog.base import Message, say, why_of
from kiosk.run.facts import pin_wait
from kiosk.run.state import commands_shift as commands
from kiosk.station.desk.cues import Cue
from kiosk.station.desk.desk import Desk, digits, hidden, letters
from kiosk.station.desk.display import language_button
from kiosk.station.desk.learn import practice_pages as practice
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.handover import Handing
from kiosk.station.desk.side_files import SHORTEST
from kiosk.words import Words

DEFAULT_PURPOSE = say("pin.for.supervisor")
BACK_TO = frozenset({PageKind.ORDER, PageKind.SET_UP, PageKind.QUESTIONS})
"""Pages that ask for the PIN and that back returns to: what was done there is kept."""


class Pins:
    """Entering, choosing and checking the supervisor's PIN."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._file = desk.pin
        self._first = ""
        self._then: Callable[[], None] = lambda: None
        self._from: PageKind | None = None
        self.purpose = DEFAULT_PURPOSE

    def choose(self) -> None:
        """Take the first entry of a new PIN."""
        desk = self._desk
        if len(desk.entry) < SHORTEST:
            desk.shell.say(say("station.pin_short"))
            return
        self._first = desk.entry
        desk.go(PageKind.REPEAT_PIN)

    def repeat(self) -> None:
        """Save the new PIN if both entries agree."""
        desk = self._desk
        if desk.entry != self._first:
            desk.shell.say(say("station.pin_differs"))
            desk.go(PageKind.CHOOSE_PIN)
            return
        try:
            self._file.set(desk.entry)
        except OSError as problem:
            desk.shell.say(say("station.pin_not_kept", why=why_of(problem)))
            self.back()
            return
        desk.shell.do(commands.ChoosePin())
        if self.can_go_back:
            desk.go(PageKind.PIN)
        else:
            desk.go_on()

    def ask(self, then: Callable[[], None], purpose: Message) -> None:
        """Ask for the PIN, then call `then`; `purpose` is what it is asked for.

        A PIN that could not be saved at the first start is chosen first.
        """
        self._then, self.purpose = then, purpose
        self._from = self._desk.page
        self._desk.go(PageKind.PIN if self._file.is_set() else PageKind.CHOOSE_PIN)

    @property
    def can_go_back(self) -> bool:
        """Whether a PIN is asked for in order to do something: there is a page to go back to."""
        return self._from is not None

    def back(self) -> None:
        """Go back without giving a PIN."""
        if self._from in BACK_TO:
            self._desk.go(self._from)
        else:
            self._desk.go_on()

    @property
    def wait(self) -> int:
        """Whole seconds until the PIN may be tried again, 0 if it may be tried now."""
        shell = self._desk.shell
        return ceil(pin_wait(shell.state, shell.now()))

    def check_typed(self) -> None:
        """Go on if the PIN is right; each try is on disk before its answer is shown."""
        desk = self._desk
        entry, desk.entry = desk.entry, ""
        right = not self.wait and self._file.check(entry)
        if desk.shell.do(commands.TryPin(right)).refusal is not None:
            return
        if right:
            self._then()
        else:
            broken = self._file.is_broken()
            desk.shell.say(say("station.pin_broken" if broken else "station.pin_wrong"), broken)
            desk.shell.cue(Cue.REFUSED)


def ask_pin(
    desk: Desk, then: Callable[[], None] | None = None, purpose: Message | None = None
) -> None:
    """Ask for the supervisor's PIN, then call `then`, by default to open the supervisor's pages."""
    desk.of(Pins).ask(then or (lambda: desk.go(PageKind.SUPERVISOR)), purpose or DEFAULT_PURPOSE)


class Reasons:
    """What waits for a supervisor to give a reason."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._then: Callable[[str], object] = lambda reason: None
        self.purpose = DEFAULT_PURPOSE

    def ask(self, page: PageKind, then: Callable[[str], object], purpose: Message) -> None:
        """Ask for a reason on `page`, then call `then` with it; `purpose` is what it is for."""
        self._then, self.purpose = then, purpose
        self._desk.go(page)

    def give(self, reason: str) -> None:
        """Do what waited for the reason, and go on."""
        self._then(reason)
        self._desk.go_on()


def choose_pin(desk: Desk, words: Words) -> Sheet:
    """Page of the first start: choose the supervisor's PIN."""
    return Sheet(
        title=words("page.choose_pin"),
        lines=(words("page.choose_pin_line"),),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.choose_pin_main"), desk.of(Pins).choose),
        left=Button(words("page.back"), desk.of(Pins).back) if desk.of(Pins).can_go_back else None,
    )


def repeat_pin(desk: Desk, words: Words) -> Sheet:
    """Page to enter the new PIN again."""
    return Sheet(
        title=words("page.repeat_pin"),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.repeat_pin_main"), desk.of(Pins).repeat),
        left=Button(words("page.back"), lambda: desk.go(PageKind.CHOOSE_PIN)),
    )


def pin(desk: Desk, words: Words) -> Sheet:
    """Page that asks for the supervisor's PIN; after wrong ones it shows how long to wait."""
    wait = desk.of(Pins).wait
    if wait:
        return Sheet(
            title=words("page.pin_wait_title"),  # a title that counts would make touches too young
            headline=words("page.pin_wait", seconds=wait),
            lines=(words("page.pin_wait_line"),),
            left=Button(words("page.back"), desk.of(Pins).back),
        )
    return Sheet(
        title=words.say(desk.of(Pins).purpose),
        headline=words("page.pin"),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.pin_main"), desk.of(Pins).check_typed),
        left=Button(words("page.back"), desk.of(Pins).back),
    )


def sign_on(desk: Desk, words: Words) -> Sheet:
    """Page that asks who is at the press."""

    def choice(initials: str) -> Button:
        return Button(initials, lambda: desk.sign_on(initials))

    return Sheet(
        title=words("page.sign_on"),
        lines=(words("page.sign_on_line"),),
        choices=(
            *(choice(initials) for initials in sorted(desk.shell.state.operators)),
            Button(words("page.new_initials"), lambda: desk.go(PageKind.INITIALS)),
            practice.start(desk, words),
        ),
        left=language_button(desk, words),
        right=Button(words("page.supervisor"), lambda: ask_pin(desk)),
    )


def initials(desk: Desk, words: Words) -> Sheet:
    """Page for the initials of a new operator, or of the one taking over."""
    handing = desk.of(Handing)
    take = handing.hand_over if handing.begun else desk.sign_on
    return Sheet(
        title=words("page.initials"),
        entry=desk.entry,
        choices=letters(desk, words),
        columns=9,
        main=Button(words("page.initials_main"), lambda: desk.by_initials(take)),
        left=Button(words("page.back"), desk.go_on),
    )
