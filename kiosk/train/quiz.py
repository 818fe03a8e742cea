"""The quiz: ten questions, some made from the catalog so that they follow its sheets' changes."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from random import Random

from kiosk.catalog.base import Message, Value, say
from kiosk.catalog.model import Catalog, Fabric, Job, Material, Panel, Peel, source_in_words
from kiosk.plan.model import PanelSettings, Plan
from kiosk.plan.settings import BrokenLimit, SheetLimits, TrialFinal, read_sheet
from kiosk.train.question import (
    KINDS,
    QuizOption,
    QuizQuestion,
    Subject,
    features_of,
    question,
    sheet_or_not,
    what_first,
    what_hurts,
    which_hand,
    which_turns,
)

Setting = tuple[int, int]


def which_setting(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask which setting works for all elements of a panel on this cloth."""
    panels = [
        (panel, own)
        for panel, own in zip(subject.recipe.panels, subject.plan.settings, strict=True)
        if not any(closing.group for closing in own.closings)
    ]
    if not panels:
        return None
    panel, own = dice.choice(panels)
    trial = TrialFinal(panel, subject.fabric, subject.press, subject.policy, subject.materials)
    final = own.closings[-1]
    right = _option(subject, (final.temperature, final.dwell_seconds), say("quiz.why.both"), True)
    wrong = []
    for setting in dict.fromkeys(_mistakes(subject, panel, own, dice)):
        broken = trial.broken(*setting)
        if not is_usable(own, setting) and broken:
            wrong.append(_option(subject, setting, _reason(subject, panel, broken[0]), False))
    values: dict[str, Value] = {
        "elements": _titles(subject, panel),
        "fabric": subject.fabric.title,
        "panel": panel.name,
    }
    return question("both", say("quiz.ask.both", **values), right, wrong, dice)


def is_usable(own: PanelSettings, setting: Setting) -> bool:
    """Return whether a (degrees, seconds) setting is usable for a panel's first final."""
    temperature, seconds = setting
    return any(
        span.temperature_low <= temperature <= span.temperature_high
        and span.dwell_low <= seconds <= span.dwell_high
        for span in own.usable
    )


def what_else_changes(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask when the carrier comes off at a hotter temperature of the material's range."""
    unit = subject.press.unit
    keys = dict.fromkeys(p.material for p in subject.plan.pieces)
    sheets = [read_sheet(subject.materials[key], unit) for key in keys]
    pairs = [pair for sheet in sheets if sheet.material.carrier for pair in _pairs(sheet)]
    if not pairs:
        return None
    changing = [p for p in pairs if min(p[0].peel_at(p[1])) is not min(p[0].peel_at(p[2]))]
    sheet, low, high = dice.choice(changing or pairs)
    allowed = sheet.peel_at(high)
    words = tuple(say(f"peel.{peel.word}") for peel in sorted(allowed))
    by = source_in_words(sheet.material.source.of("peel"))
    why = say("quiz.why.hotter", temperature=high, unit=_unit(subject), allowed=words, source=by)
    earliest = min(allowed)
    options = {
        peel: QuizOption(say(f"quiz.peel.{peel.word}"), peel is earliest, (why,)) for peel in Peel
    }
    ask = say(
        "quiz.ask.hotter",
        title=sheet.material.title,
        low=low,
        peel=say(f"peel.{min(sheet.peel_at(low)).word}"),
        high=high,
        unit=_unit(subject),
        source=by,
    )
    wrong = [option for option in options.values() if not option.right]
    return question("hotter", ask, options[earliest], wrong, dice)


def _pairs(sheet: SheetLimits) -> Iterator[tuple[SheetLimits, int, int]]:
    """Yield (sheet, low, high): the coolest edge of the sheet's peel bands with each hotter one."""
    edges = sorted(d for d in sheet.peel if sheet.peel[d] and _is_edge(sheet, d))
    for low in edges[:1]:
        yield from ((sheet, low, high) for high in edges if high > low)


def _is_edge(sheet: SheetLimits, degree: int) -> bool:
    own = sheet.peel[degree]
    return sheet.peel.get(degree - 1) != own or sheet.peel.get(degree + 1) != own


def _mistakes(
    subject: Subject, panel: Panel, own: PanelSettings, dice: Random
) -> Iterator[Setting]:
    """Yield likely wrong settings: one material's normal, hotter, cooler, longer, shorter."""
    for key in dict.fromkeys(layer.material for e in panel.elements for layer in e.layers):
        yield _normal(subject.materials[key], subject)
    final = own.closings[-1]
    lowest = min(span.temperature_low for span in own.usable)
    highest = max(span.temperature_high for span in own.usable)
    for degrees in dice.sample(range(3, 31), 4):
        yield highest + degrees, final.dwell_seconds
        yield lowest - degrees, final.dwell_seconds
    longest = max(span.dwell_high for span in own.usable)
    shortest = min(span.dwell_low for span in own.usable)
    yield final.temperature, longest + dice.randint(2, 10)
    if shortest > 1:
        yield final.temperature, dice.randint(1, shortest - 1)


def _normal(material: Material, subject: Subject) -> Setting:
    unit = subject.press.unit
    normal = material.temperature.normal
    bands = [b for b in material.dwell if b.start.value <= normal.value <= b.end.value]
    seconds = (bands or material.dwell)[0].normal.whole
    return normal.whole_in(unit), seconds


def _option(subject: Subject, setting: Setting, why: Message, right: bool) -> QuizOption:
    temperature, seconds = setting
    text = say("quiz.setting", temperature=temperature, unit=_unit(subject), seconds=seconds)
    return QuizOption(text, right, (why,))


def _reason(subject: Subject, panel: Panel, broken: BrokenLimit) -> Message:
    """Return the broken limit in words: the material or cloth, its value and its source."""
    limit = broken.limit
    margin = "_margin" if broken.margin else ""
    owner = _owner(subject, panel, limit.owner)
    by = source_in_words(owner.source.of(limit.key.partition(".")[0]))
    values: dict[str, Value] = {"what": owner.title, "value": limit.value, "source": by}
    return say(f"quiz.why.{limit.key.replace('.', '_')}{margin}", **values)


def _owner(subject: Subject, panel: Panel, owner: str) -> Material | Fabric:
    for element in panel.elements:
        for name, layer in zip(element.pieces(), element.layers, strict=True):
            if name == owner:
                return subject.materials[layer.material]
    return subject.fabric


def _titles(subject: Subject, panel: Panel) -> tuple[str, ...]:
    keys = dict.fromkeys(layer.material for e in panel.elements for layer in e.layers)
    return tuple(subject.materials[key].title for key in keys)


def _unit(subject: Subject) -> str:
    return subject.press.unit.value


MAKERS: Mapping[str, Callable[[Subject, Random], QuizQuestion | None]] = {
    "both": which_setting,
    "hotter": what_else_changes,
    "sheet": sheet_or_not,
    "first": what_first,
    "hand": which_hand,
    "turn": which_turns,
}
"""The functions that make a question from the catalog, by kind."""

QUIZ_LENGTH = 10
FROM_CATALOG = 3  # at least
NEW_KIND = 0.5  # sorts after a kind missed last time (0), before one answered right once (1)


def subject_of(job: Job, catalog: Catalog, plan: Plan) -> Subject:
    """Return the quiz subject for `job`. Raises KeyError if the catalog lacks one of its parts."""
    return Subject(
        recipe=catalog.recipes[job.recipe],
        fabric=catalog.fabrics[job.fabric],
        press=catalog.presses[job.press],
        policy=catalog.policy,
        materials=catalog.materials,
        plan=plan,
        numbers=tuple(dict.fromkeys(line.number for line in job.roster if line.number)),
    )


def quiz(subject: Subject, seed: str, rounds: int = 1) -> tuple[QuizQuestion, ...]:
    """Return shuffled catalog questions, each kind up to `rounds` times; same seed, same quiz."""
    dice = Random(seed)
    questions: list[QuizQuestion] = []
    for _ in range(rounds):
        made = [make(subject, dice) for make in MAKERS.values()]
        questions += [each for each in made if each is not None and each not in questions]
    dice.shuffle(questions)
    return tuple(questions)


def kinds_of(subject: Subject) -> tuple[str, ...]:
    """Return every kind of question that can be asked about a job."""
    features = features_of(subject)
    return (*MAKERS, *(kind for kind, (_, needs) in KINDS.items() if needs in features))


def ask_one(subject: Subject, kind: str, dice: Random) -> QuizQuestion | None:
    """Return a question of a kind, or None if the job allows none."""
    maker = MAKERS.get(kind)
    return what_hurts(kind, dice) if maker is None else maker(subject, dice)


def examine(subject: Subject, boxes: Mapping[str, int], seed: str) -> tuple[QuizQuestion, ...]:
    """Return up to ten questions, each of a different kind: missed kinds first, then new ones.

    `boxes` counts right answers in a row by kind. At least three kinds come from the catalog.
    """
    dice = Random(seed)
    kinds = sorted(kinds_of(subject), key=lambda kind: (boxes.get(kind, NEW_KIND), dice.random()))
    sheets = [kind for kind in kinds if kind in MAKERS][:FROM_CATALOG]
    kinds = [*sheets, *(kind for kind in kinds if kind not in sheets)]
    made = (ask_one(subject, kind, dice) for kind in kinds)
    questions = list(islice(filter(None, made), QUIZ_LENGTH))
    dice.shuffle(questions)
    return tuple(questions)


BACK_AFTER = 3  # questions before a missed one comes back


@dataclass
class Quiz:
    """The questions of one quiz; `chosen` is the option chosen for the current one, or -1.

    A missed kind comes back once, some questions later, as a new question made by `again`.
    """

    questions: tuple[QuizQuestion, ...]
    again: Callable[[str], QuizQuestion | None] = lambda kind: None
    index: int = 0
    chosen: int = -1
    right: int = 0

    @property
    def question(self) -> QuizQuestion | None:
        """The current question, or None at the end."""
        return self.questions[self.index] if self.index < len(self.questions) else None

    def choose(self, option: int) -> bool | None:
        """Answer the current question; return whether it was right, or None if not answerable."""
        if self.question is None or self.chosen >= 0:
            return None
        self.chosen = option
        current = self.question
        right = current.options[option].right
        self.right += right
        if not right and sum(each.kind == current.kind for each in self.questions) == 1:
            self._later(self.again(current.kind))
        return right

    def _later(self, more: QuizQuestion | None) -> None:
        """Insert a question a few places after the current one, or at the end."""
        if more is not None:
            at = self.index + 1 + BACK_AFTER
            self.questions = (*self.questions[:at], more, *self.questions[at:])

    def go_on(self) -> None:
        """Go to the next question."""
        self.index += 1
        self.chosen = -1
