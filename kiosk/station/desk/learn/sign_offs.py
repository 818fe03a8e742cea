"""Signing operators off for kinds of transfer."""

from kiosk.catalog.base import say
from kiosk.catalog.model import FAMILIES
from kiosk.run.state import Confirm, SignOff
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn import progress
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.people.people import SUPERVISOR
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.train.practice import NEW
from kiosk.words import Words

DAY_SECONDS = 86_400.0


class SignOffs:
    """What the supervisor looks at and signs: `person` and `family` are those looked at."""

    def __init__(self, desk: Desk) -> None:
        self._shell = desk.shell
        self._practice = desk.of(Practice)
        self._go = desk.go
        self._go_on = desk.go_on
        self.person = ""
        self.family = ""

    def look_at(self, operator: str) -> None:
        """Look at what an operator is signed off for."""
        self.person = operator
        self._go(Page.SIGN_OFF_OF)

    def look_into(self, family: str) -> None:
        """Look at one family of that operator."""
        self.family = family
        self._go(Page.SIGN_OFF_ONE)

    def sign(self) -> None:
        """Let that operator confirm grouped moves in that family from now on."""
        until = self._sign(self.family)
        if until is not None:
            day = progress.day_of(until)
            self._shell.say(say("sign_offs.signed", operator=self.person, day=day))
        self._go(Page.SIGN_OFF_OF)

    def sign_all(self) -> None:
        """Sign that operator off for every family, and go on."""
        for family in FAMILIES:
            self._sign(family)
        self._go_on()

    def take_back(self) -> None:
        """The operator confirms each phase of that family again."""
        if self._sign(self.family, days=-1) is not None:
            self._shell.say(say("sign_offs.taken", operator=self.person))
        self._go(Page.SIGN_OFF_OF)

    def _sign(self, family: str, days: int | None = None) -> float | None:
        """Sign off for the days that the shop's rule says; return until when, None if refused."""
        valid = self._practice.rule(family).valid_days if days is None else days
        until = self._shell.now().wall + valid * DAY_SECONDS
        met = self._practice.is_ready(self.person, family)
        command = SignOff(self.person, family, until, SUPERVISOR, met)
        return until if self._shell.do(command).refusal is None else None


def people(desk: Desk, words: Words) -> Sheet:
    """Everybody who is known here, by initials, who asks first; nobody is ranked."""
    known = desk.of(Practice).people()

    def choice(operator: str) -> Button:
        return Button(
            operator, lambda: desk.of(SignOffs).look_at(operator), _asks(desk, words, operator)
        )

    def waits(operator: str) -> bool:
        return bool(_waiting(desk, operator))

    return Sheet(
        title=words("sign_offs.title"),
        headline=told_asking(desk, words) if known else words("sign_offs.none"),
        choices=tuple(choice(each) for each in sorted(known, key=waits, reverse=True)),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def asking(desk: Desk) -> int:
    """Return how many people wait for a sign-off that they asked for."""
    return sum(bool(_waiting(desk, operator)) for operator in desk.of(Practice).people())


def told_asking(desk: Desk, words: Words) -> str:
    """How many people ask, in words."""
    count = asking(desk)
    return words("sign_offs.asking", count=count) if count else words("sign_offs.nobody_asks")


def _waiting(desk: Desk, operator: str) -> list[str]:
    asked = desk.of(Practice).record.training.get(operator, NEW).asked
    return [f for f in FAMILIES if f in asked and progress.signed_until(desk, operator, f) is None]


def _asks(desk: Desk, words: Words, operator: str) -> str:
    said = tuple(progress.family_word(words, family) for family in _waiting(desk, operator))
    return words("sign_offs.asked", families=said) if said else ""


def _has(desk: Desk, words: Words, operator: str) -> str:
    """For how many of the procedures somebody is signed off."""
    signed = sum(progress.signed_until(desk, operator, each) is not None for each in FAMILIES)
    return words("sign_offs.has", signed=signed, of=len(FAMILIES))


def person(desk: Desk, words: Words) -> Sheet:
    """One person: each family and its state."""
    operator = desk.of(SignOffs).person

    def choice(family: str) -> Button:
        line = progress.state_of(desk, words, operator, family)
        return Button(
            progress.family_word(words, family), lambda: desk.of(SignOffs).look_into(family), line
        )

    line = words("sign_offs.every_line")
    every = Button(words("sign_offs.every"), desk.of(SignOffs).sign_all, line)
    everything = desk.shell.state.operators.get(operator) is Confirm.GROUPED
    told = "sign_offs.all" if everything else "sign_offs.of_line"
    return Sheet(
        title=words("sign_offs.of", operator=operator),
        headline=_has(desk, words, operator),
        lines=(words(told),),
        choices=(*(choice(family) for family in FAMILIES), every),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def family(desk: Desk, words: Words) -> Sheet:
    """One family of one person: what practice has shown, and the supervisor's word."""
    operator, own = desk.of(SignOffs).person, desk.of(SignOffs).family
    shown = desk.of(Practice).is_ready(operator, own)
    days = desk.of(Practice).rule(own).valid_days
    sign = Button(words("sign_offs.sign", days=days), desk.of(SignOffs).sign)
    take_back = Button(words("sign_offs.take_back"), desk.of(SignOffs).take_back)
    signed = progress.signed_until(desk, operator, own) is not None
    return Sheet(
        title=words("sign_offs.one", operator=operator, family=progress.family_word(words, own)),
        headline=progress.state_of(desk, words, operator, own),
        second=words("sign_offs.shown" if shown else "sign_offs.not_shown"),
        lines=tuple(progress.criteria_lines(desk, words, operator, own)),
        main=take_back if signed else sign,
        left=Button(words("page.back"), lambda: desk.go(Page.SIGN_OFF_OF)),
        right=progress.times_button(desk, words, operator, own, Page.SIGN_OFF_ONE),
    )
