"""Pages of what each trainee has shown, never compared; and of sign-offs based on it."""

from kiosk.catalog.base import recorded_word, say
from kiosk.catalog.model import FAMILIES
from kiosk.run.state import ConfirmMode, GiveSignOff
from kiosk.station.desk.desk import SUPERVISOR, Desk, day_of
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.sheet import Button, PageKind, Sheet, TablePicture
from kiosk.train.practice import (
    NEW,
    criteria,
    criteria_met,
    curve_line,
    fading_line,
    missed_slips,
    timed_garments,
    with_help,
)
from kiosk.words import Words


def progress(desk: Desk, words: Words) -> Sheet:
    """Page of every family and the progress in it."""
    practice = desk.of(Practice)

    def choice(family: str) -> Button:
        line = state_of(desk, words, practice.operator, family)
        return Button(family_word(words, family), lambda: practice.look_into(family), line)

    return Sheet(
        title=words("practice.progress"),
        choices=tuple(choice(family) for family in FAMILIES),
        left=Button(words("page.back"), lambda: desk.go(PageKind.PRACTICE)),
        practice=True,
    )


def family(desk: Desk, words: Words) -> Sheet:
    """Page of one family: what is shown, what is left, how the times came down."""
    practice = desk.of(Practice)
    family = practice.family
    ready = practice.may_ask(family)
    return Sheet(
        title=family_word(words, family),
        headline=state_of(desk, words, practice.operator, family),
        lines=tuple(criteria_lines(desk, words, practice.operator, family)),
        main=_ask(desk, words, family) if ready else None,
        left=Button(words("page.back"), lambda: desk.go(PageKind.PROGRESS)),
        right=times_button(desk, words, practice.operator, family, PageKind.PROGRESS_OF),
        practice=True,
    )


def times_button(desk: Desk, words: Words, operator: str, family: str, back: PageKind) -> Button:
    """Button to the times of one person's practised garments."""
    label = words("practice.times")
    return Button(label, lambda: desk.of(Practice).look_at_times(operator, family, back))


def times(desk: Desk, words: Words) -> Sheet:
    """Page of the handling time for each garment, beside the fitted learning curve."""
    operator, family, back = desk.of(Practice).times_of
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    rows = [
        (str(t.nth), f"{t.seconds:.0f}", "" if t.on_curve is None else f"{t.on_curve:.0f}")
        for t in timed_garments(trainee, family)
    ]
    head = tuple(words(f"practice.times.{each}") for each in ("nth", "took", "curve"))
    count = with_help(trainee, family)
    help_line = (words("practice.times.with_help", count=count),) if count else ()
    return Sheet(
        title=words("sign_offs.one", operator=operator, family=family_word(words, family)),
        lines=(words.say(curve_line(trainee, family)), *help_line),
        picture=TablePicture(head, tuple(reversed(rows))) if rows else None,
        left=Button(words("page.back"), lambda: desk.go(back)),
        practice=back is PageKind.PROGRESS_OF,
    )


def criteria_lines(desk: Desk, words: Words, operator: str, family: str) -> list[str]:
    """Return a line for each requirement with its progress, then the learning curve."""
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    rule = desk.of(Practice).rule(family)
    steps_line, *others = (each.line for each in criteria(trainee, family, rule))
    lines = steps_line, fading_line(trainee, family), *others, missed_slips(trainee, family)
    return [words.say(each) for each in (*lines, curve_line(trainee, family)) if each is not None]


def open_lines(desk: Desk, words: Words, operator: str, family: str) -> list[str]:
    """Return the progress in a family, and what is still to be shown."""
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    required = criteria(trainee, family, desk.of(Practice).rule(family))
    state = state_of(desk, words, operator, family)
    lines = [words.say(each.line) for each in required if not each.met]
    return [f"{family_word(words, family)}: {state}", *lines]


def state_of(desk: Desk, words: Words, operator: str, family: str) -> str:
    """Return the state: signed off until a day, asked for, ready, or not yet."""
    until = signed_until(desk, operator, family)
    if until is not None:
        return words("practice.signed_until", day=day_of(until))
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    if family in trainee.sign_offs_asked:
        return words("practice.is_asked")
    met, required = criteria_met(trainee, family, desk.of(Practice).rule(family))
    return (
        words("practice.ready")
        if met == required
        else words("practice.not_yet", shown=met, of=required)
    )


def signed_until(desk: Desk, operator: str, family: str) -> float | None:
    """Return when a sign-off runs out (wall time), or None if there is no valid one."""
    now = desk.shell.now().wall
    valid = (s for s in desk.shell.state.sign_offs if s.until > now)
    return next((s.until for s in valid if (s.operator, s.family) == (operator, family)), None)


def ask_buttons(desk: Desk, words: Words, families: tuple[str, ...]) -> tuple[Button, ...]:
    """Return a button for each family in which a sign-off can be asked for."""
    return tuple(_ask(desk, words, family) for family in families)


def _ask(desk: Desk, words: Words, family: str) -> Button:
    def act() -> None:
        desk.of(Practice).ask_sign_off(family)

    return Button(words("practice.ask_sign_off"), act, family_word(words, family))


def family_word(words: Words, family: str) -> str:
    """Return the name of a family."""
    return words.say(recorded_word("practice.family", family))


DAY_SECONDS = 86_400.0


class SignOffs:
    """The sign-offs a supervisor looks at: `person` and `family` are the current ones."""

    def __init__(self, desk: Desk) -> None:
        self._shell = desk.shell
        self._practice = desk.of(Practice)
        self._go = desk.go
        self._go_on = desk.go_on
        self.person = ""
        self.family = ""

    def look_at(self, operator: str) -> None:
        """Look at an operator's sign-offs."""
        self.person = operator
        self._go(PageKind.SIGN_OFF_OF)

    def look_into(self, family: str) -> None:
        """Look at one family of that operator."""
        self.family = family
        self._go(PageKind.SIGN_OFF_ONE)

    def sign(self) -> None:
        """Let that operator confirm grouped moves in that family from now on."""
        until = self._sign(self.family)
        if until is not None:
            day = day_of(until)
            self._shell.say(say("sign_offs.signed", operator=self.person, day=day))
        self._go(PageKind.SIGN_OFF_OF)

    def sign_all(self) -> None:
        """Sign that operator off for every family, and go on."""
        for family in FAMILIES:
            self._sign(family)
        self._go_on()

    def take_back(self) -> None:
        """Make that operator confirm each phase of that family again."""
        if self._sign(self.family, days=-1) is not None:
            self._shell.say(say("sign_offs.taken", operator=self.person))
        self._go(PageKind.SIGN_OFF_OF)

    def _sign(self, family: str, days: int | None = None) -> float | None:
        """Sign off for `days`, else for the shop's own; return until when, None if refused."""
        valid = self._practice.rule(family).valid_days if days is None else days
        until = self._shell.now().wall + valid * DAY_SECONDS
        met = self._practice.is_ready(self.person, family)
        command = GiveSignOff(self.person, family, until, SUPERVISOR, met)
        return until if self._shell.do(command).refusal is None else None


def every_sign_off(desk: Desk, words: Words) -> Sheet:
    """Page of everyone known here, by initials, those who ask first; nobody is ranked."""
    people = desk.of(Practice).people()

    def choice(operator: str) -> Button:
        return Button(
            operator,
            lambda: desk.of(SignOffs).look_at(operator),
            _asked_families(desk, words, operator),
        )

    def waits(operator: str) -> bool:
        return bool(_waiting(desk, operator))

    return Sheet(
        title=words("sign_offs.title"),
        headline=asking_line(desk, words) if people else words("sign_offs.none"),
        choices=tuple(choice(each) for each in sorted(people, key=waits, reverse=True)),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def count_asking(desk: Desk) -> int:
    """Return how many people wait for a sign-off they asked for."""
    return sum(bool(_waiting(desk, operator)) for operator in desk.of(Practice).people())


def asking_line(desk: Desk, words: Words) -> str:
    """Return how many people ask, in words."""
    count = count_asking(desk)
    return words("sign_offs.asking", count=count) if count else words("sign_offs.nobody_asks")


def _waiting(desk: Desk, operator: str) -> list[str]:
    families = desk.of(Practice).record.training.get(operator, NEW).sign_offs_asked
    return [f for f in FAMILIES if f in families and signed_until(desk, operator, f) is None]


def _asked_families(desk: Desk, words: Words, operator: str) -> str:
    names = tuple(family_word(words, family) for family in _waiting(desk, operator))
    return words("sign_offs.asked", families=names) if names else ""


def _signed_count(desk: Desk, words: Words, operator: str) -> str:
    """Return for how many procedures an operator is signed off."""
    signed = sum(signed_until(desk, operator, each) is not None for each in FAMILIES)
    return words("sign_offs.has", signed=signed, of=len(FAMILIES))


def sign_offs_of(desk: Desk, words: Words) -> Sheet:
    """Page of one person: each family and its state."""
    operator = desk.of(SignOffs).person

    def choice(family: str) -> Button:
        line = state_of(desk, words, operator, family)
        return Button(family_word(words, family), lambda: desk.of(SignOffs).look_into(family), line)

    line = words("sign_offs.every_line")
    every = Button(words("sign_offs.every"), desk.of(SignOffs).sign_all, line)
    everything = desk.shell.state.operators.get(operator) is ConfirmMode.GROUPED
    id_ = "sign_offs.all" if everything else "sign_offs.of_line"
    return Sheet(
        title=words("sign_offs.of", operator=operator),
        headline=_signed_count(desk, words, operator),
        lines=(words(id_),),
        choices=(*(choice(family) for family in FAMILIES), every),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def sign_off_one(desk: Desk, words: Words) -> Sheet:
    """Page of one family of one person: what practice has shown, and the supervisor's decision."""
    operator, family = desk.of(SignOffs).person, desk.of(SignOffs).family
    ready = desk.of(Practice).is_ready(operator, family)
    days = desk.of(Practice).rule(family).valid_days
    sign = Button(words("sign_offs.sign", days=days), desk.of(SignOffs).sign)
    take_back = Button(words("sign_offs.take_back"), desk.of(SignOffs).take_back)
    signed = signed_until(desk, operator, family) is not None
    return Sheet(
        title=words("sign_offs.one", operator=operator, family=family_word(words, family)),
        headline=state_of(desk, words, operator, family),
        second=words("sign_offs.shown" if ready else "sign_offs.not_shown"),
        lines=tuple(criteria_lines(desk, words, operator, family)),
        main=take_back if signed else sign,
        left=Button(words("page.back"), lambda: desk.go(PageKind.SIGN_OFF_OF)),
        right=times_button(desk, words, operator, family, PageKind.SIGN_OFF_ONE),
    )
