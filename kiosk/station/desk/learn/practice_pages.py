"""Pages of practice: who, what, how, the questions, and the result."""

from collections.abc import Callable, Iterator

from kiosk.catalog.base import MM_PER_INCH
from kiosk.catalog.model import FAMILIES
from kiosk.plan.group import plan_families
from kiosk.station.desk.desk import Desk, letters
from kiosk.station.desk.jobs.library import JobOffer
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.learn.progress import ask_buttons, open_lines
from kiosk.station.desk.learn.quiz import Quizzes
from kiosk.station.desk.sheet import BenchPicture, Button, PageKind, Sheet
from kiosk.train.practice import Bench, BenchCard, PracticePace, PracticePage, step_name, thing_name
from kiosk.words import Words
from kiosk.words.speak import fraction


def start(desk: Desk, words: Words) -> Button:
    """Button to practice, on the pages of signing on and of jobs."""
    return Button(words("practice.start"), desk.of(Practice).enter, words("practice.start_line"))


def choose_trainee(desk: Desk, words: Words) -> Sheet:
    """Page that asks who practises."""

    def choice(initials: str) -> Button:
        return Button(initials, lambda: desk.of(Practice).as_person(initials))

    return Sheet(
        title=words("practice.who"),
        lines=(words("practice.who_line"),),
        choices=(
            *(choice(initials) for initials in desk.of(Practice).people()),
            Button(words("page.new_initials"), lambda: desk.go(PageKind.PRACTICE_INITIALS)),
        ),
        left=Button(words("page.back"), desk.go_on),
        practice=True,
    )


def initials(desk: Desk, words: Words) -> Sheet:
    """Page for the initials of a new trainee."""
    return Sheet(
        title=words("page.initials"),
        entry=desk.entry,
        choices=letters(desk, words),
        columns=9,
        main=Button(
            words("page.initials_main"), lambda: desk.by_initials(desk.of(Practice).as_person)
        ),
        left=Button(words("page.back"), lambda: desk.go(PageKind.PRACTICE_WHO)),
        practice=True,
    )


def menu(desk: Desk, words: Words) -> Sheet:
    """Page to choose a procedure."""
    offers = [offer for offer in desk.offers if offer.plan is not None]
    families = {family for offer in offers if offer.plan for family in plan_families(offer.plan)}
    missing = (desk.library.for_practice(family) for family in FAMILIES if family not in families)
    offers += {offer.key: offer for offer in missing if offer is not None}.values()

    def choice(offer: JobOffer) -> Button:
        return Button(
            offer.title, lambda: desk.of(Practice).look_at(offer), _families(offer, words)
        )

    line = "practice.menu_line" if offers else "practice.nothing"
    return Sheet(
        title=words("practice.menu", operator=desk.of(Practice).operator),
        lines=(words(line),),
        choices=(
            *(choice(offer) for offer in offers),
            Button(words("practice.progress"), lambda: desk.go(PageKind.PROGRESS)),
        ),
        left=Button(words("practice.leave"), desk.of(Practice).leave),
        practice=True,
    )


def _families(offer: JobOffer, words: Words) -> str:
    found = () if offer.plan is None else plan_families(offer.plan)
    return ", ".join(words(f"practice.family.{family}") for family in found)


def choose_way(desk: Desk, words: Words) -> Sheet:
    """Page to choose help or alone, short or real times, or the quiz."""
    practice = desk.of(Practice)
    short = practice.pace is PracticePace.SHORT
    title = "" if practice.offer is None else practice.offer.title

    def pace() -> None:
        practice.pace = PracticePace.REAL if short else PracticePace.SHORT

    return Sheet(
        title=title,
        lines=(words("practice.pace_short" if short else "practice.pace_real"),),
        choices=(
            Button(
                words("practice.with_help"),
                lambda: practice.start(words, alone=False),
                words("practice.with_help_line"),
            ),
            Button(
                words("practice.alone"),
                lambda: practice.start(words, alone=True),
                words("practice.alone_line"),
            ),
            Button(words("practice.quiz"), desk.of(Quizzes).begin),
            Button(words("practice.make_real" if short else "practice.make_short"), pace),
        ),
        left=Button(words("page.back"), lambda: desk.go(PageKind.PRACTICE)),
        practice=True,
    )


def question_page(desk: Desk, words: Words, question: PracticePage) -> Sheet:
    """Page of a question in the middle of a garment."""

    def choose(nth: int) -> Callable[[], None]:
        return lambda: desk.of(Practice).answer(nth)

    buttons = [Button(words.say(text), choose(n)) for n, text in enumerate(question.choices)]
    single = len(buttons) == 1
    outcome, title = question.outcome, words.say(question.title)
    look = outcome or question.look
    id_ = "practice.missed" if question.put_right else "practice.came"
    return Sheet(
        title=title if outcome is None else words(id_),
        headline="" if outcome is None else title,
        lines=tuple(words.say(line) for line in question.lines),
        choices=() if single else tuple(buttons),
        main=buttons[0] if single else None,
        left=Button(words("practice.stop"), desk.of(Practice).stop),
        practice=True,
        look=look.drawing if look is not None else None,
    )


def bench(desk: Desk, words: Words, bench_now: Bench) -> Sheet:
    """Page of the bench as it is, without a hint: touch what is wrong, or go on."""
    practice, session = desk.of(Practice), desk.of(Practice).session
    garment = None if session is None else session.wish.garment
    number, size = ("", "") if garment is None else (garment.number, garment.size)
    marked = practice.marked
    stop = Button(words("practice.stop"), desk.of(Practice).stop)
    right = Button(words("practice.bench.right"), lambda: practice.mark(""))
    wrong = words("practice.bench.wrong", thing=words.say(thing_name(marked))) if marked else ""
    title = words("practice.bench", number=number, size=size)
    go_on = words("practice.bench.go_on" if bench_now.clock is None else "practice.bench.peel")
    forward = Button(go_on, practice.go_on_at_bench, words("practice.bench.touch"))
    return Sheet(
        title=title,
        main=Button(wrong, practice.accuse) if marked else forward,
        left=right if marked else stop,
        practice=True,
        bench=bench_picture(words, bench_now, title, marked),
        touch=practice.mark,
    )


def bench_picture(words: Words, bench_now: Bench, title: str, marked: str) -> BenchPicture:
    """Return a bench with the words of its card and instruments."""
    job_card, peel = bench_now.card, bench_now.card.peel
    press = words("practice.card.press", degrees=job_card.degrees, unit=job_card.unit)
    platen = words("practice.card.platen", size=_size(words, job_card.platen))
    card = [" ".join(filter(None, (job_card.number, job_card.name)))]
    card += [f"{job_card.size} · {words(f'panel.{job_card.panel}')}", *_films(words, job_card)]
    card.append(f"{press}, {platen}")
    if peel is not None and job_card.window is not None:
        early, late = (round(each) for each in job_card.window)
        how = words(f"peel.{peel.word}")
        card.append(words("practice.card.peel", peel=how, early=early, late=late))
    seconds = int(bench_now.clock or 0)
    return BenchPicture(
        bench_now,
        title,
        tuple(card),
        f"{bench_now.degrees} °{job_card.unit}",
        "" if bench_now.clock is None else f"{seconds // 60}:{seconds % 60:02d}",
        _size(words, bench_now.platen),
        words("practice.rail"),
        marked,
    )


def _size(words: Words, platen: tuple[float, float]) -> str:
    """Return width and depth as a tape shows them: 405 mm reads as 16 inches."""
    wide, high = (round(side * TAPE) / TAPE for side in platen)
    if words.metric:
        wide, high = platen
    number = f"{wide * MM_PER_INCH:.0f}" if words.metric else fraction(wide)
    return f"{number} × {words.length(high, words.metric)}"


TAPE = 8  # parts of an inch


def _films(words: Words, job_card: BenchCard) -> Iterator[str]:
    """Yield a line for each set of films, with the elements made of it."""
    made_of: dict[tuple[str, ...], list[str]] = {}
    for element, colours in job_card.films:
        has_word = element in ("name", "number")
        made_of.setdefault(colours, []).append(words(f"element.{element}") if has_word else element)
    for colours, elements in made_of.items():
        yield f"{', '.join(elements)}: {' + '.join(colours)}"


def ended(desk: Desk, words: Words) -> Sheet:
    """Page of the result, and what is still to be shown."""
    practice = desk.of(Practice)
    session = practice.session
    lines: list[str] = []
    first, *more = _outcome(desk, words) or [""]
    if session is not None:
        for family in plan_families(session.wish.plan):
            lines += open_lines(desk, words, practice.operator, family)
    return Sheet(
        title=words("practice.ended"),
        headline=first,
        second=" ".join(more),
        lines=tuple(lines),
        choices=ask_buttons(desk, words, practice.ready()),
        main=Button(words("practice.again"), lambda: practice.start(words, practice.alone)),
        left=Button(words("practice.menu_back"), lambda: desk.go(PageKind.PRACTICE_HOW)),
        practice=True,
    )


def _outcome(desk: Desk, words: Words) -> list[str]:
    session = desk.of(Practice).session
    if session is None:
        return []
    help_given, alarms = session.help, session.run.false_alarms
    if help_given.only_watched:
        return [words("practice.watched")]
    alarm_lines = [words("practice.false_alarms", count=alarms)] if alarms else []
    most = min(desk.of(Practice).rule(f).false_alarms for f in plan_families(session.wish.plan))
    alarm_lines += [words("practice.false_alarms_most", count=most)] if alarms > most else []
    if help_given.clean:
        return [words("practice.clean"), *alarm_lines]
    passes = session.wish.plan.passes
    names = tuple(words.say(step_name(passes[p], n)) for p, n in sorted(help_given.failed))
    lines = [words("practice.failed", steps=names)] if names else []
    lines += [] if help_given.found_slips else [words("practice.slip_missed")]
    return [*lines, *alarm_lines]
