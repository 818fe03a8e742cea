"""Which material fails, compared with others at the press; whether peels are early or late.

A peel is measured from the opening to the tap and compared with the plan's wait. A guessed wait is
no rule: its peels are never early or late, only before or after the guess.
"""

from collections import Counter, defaultdict
from collections.abc import Hashable, Mapping
from dataclasses import dataclass

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.heat import is_guessed, wait_basis
from kiosk.plan.model import PeelPlace, PeelWait
from kiosk.report.answers.results import DefectResult, failures
from kiosk.report.content import EMPTY, Cell, Section, Table, Topic, head, row
from kiosk.report.evidence import LEAST, Share, Standout, Strata, Strength, stand_out, total
from kiosk.report.period import Period, StationPress


def material(period: Period) -> Topic:
    """Return the answer to: which material fails? Compared within each press where possible."""
    found = failures(period)
    groups = _by_material(period, found)
    standouts = {each.key: each for each in stand_out(groups)}
    titles = period.sheets()
    rows = tuple(
        row(titles.get(name, name), share.part, share.whole,
            share.in_words() if share.whole >= LEAST else EMPTY,
            (standouts[name].strength if name in standouts else Strength.TOO_LITTLE).say()
            if share.part else "")
        for name, share in sorted(
            ((name, total(strata.values())) for name, strata in groups.items()),
            key=lambda each: (-each[1].part, each[0]),
        )
    )  # fmt: skip
    unnamed = sum(not failure.material for failure in found)
    note = (say("report.material_unnamed", count=unnamed),) if unnamed else ()
    shares = {name: total(strata.values()) for name, strata in groups.items()}
    some_bad = sum(share.part for share in shares.values())
    answer = tuple(_sentence(period, groups, each) for each in standouts.values()) or (
        say("answer.material.too_little", count=some_bad)
        if some_bad
        else say("answer.material.none"),
    )
    answer = (*answer, *note)
    table = Table(head("material", "failed", "pressed", "share", "evidence"), rows)
    return Topic(Section("materials", answer, table), "material", answer, lambda: {
        "materials": {m: {"failed": s.part, "pressed": s.whole} for m, s in shares.items()},
        "materials_apart": [
            {"material": m, "word": f.strength.value} for m, f in standouts.items()
        ],
    })  # fmt: skip


def _sentence(period: Period, groups: Mapping[str, Strata], found: Standout[str]) -> Message:
    """Return the sentence, with the press if this material was used only there and alone."""
    presses = [press for press, share in groups[found.key].items() if share.whole]
    elsewhere = any(
        press in strata for name, strata in groups.items() if name != found.key for press in presses
    )
    alone = len(presses) == 1 and not elsewhere and len(period.press_names()) > 1
    values: dict[str, Value] = {
        "material": period.sheets().get(found.key, found.key),
        **found.own.values(),
        "others": found.others.in_words(),
        "word": found.strength.say(),
    }
    if alone:
        names = {press: name for press, name in period.press_names().items() if press in presses}
        return say("answer.material.at_press", **values, press=tuple(names.values()))
    return say("answer.material.some", **values)


def _by_material(
    period: Period, found: tuple[DefectResult, ...]
) -> dict[str, dict[Hashable, Share]]:
    """Return the share of each material's garments that had a defect in it, by press."""
    bad = Counter(
        (m, press) for m, press, _ in {(f.material, f.place.press, f.garment) for f in found}
    )
    pressed: Counter[tuple[str, StationPress]] = Counter()
    for facts in period.logs:
        for garment in facts.garments:
            plan = facts.jobs[garment.job].plan
            for name in dict.fromkeys(p.material for p in plan.pieces if garment.own):
                pressed[name, StationPress(facts.station, plan.press)] += garment.many
    groups: dict[str, dict[Hashable, Share]] = defaultdict(dict)
    for (name, press), many in pressed.items():
        groups[name][press] = Share(min(bad[name, press], many), many)
    return dict(groups)


NOT_SCORED = say("report.not_scored")


@dataclass(slots=True)
class PeelCount:
    """Peels of one kind with one wait; `within_closing` were tapped during the next closing.

    For a guessed wait `early` and `late` mean before and after the guess. Lateness is known only
    for the `timed` peels: at the press one tap is both opening and peel, and a tap during the
    next closing confirms a peel made earlier.
    """

    wait: PeelWait
    early: int = 0
    late: int = 0
    count: int = 0
    within_closing: int = 0
    timed: int = 0

    @property
    def guessed(self) -> bool:
        """Whether the wait is only a guess."""
        return is_guessed(self.wait)


Kind = tuple[str, str, str, str]  # station, recipe, peel word, what the wait rests on


def peel_counts(period: Period) -> dict[Kind, PeelCount]:
    """Return the peels by kind."""
    found: dict[Kind, PeelCount] = {}
    for facts in period.logs:
        for each in facts.peels:
            place = period.place_of(facts, each.stint)
            passage = place.passage(each.passage)
            if place.plan is None or passage is None or passage.wait is None:
                continue
            wait = passage.wait
            kind = place.station, place.plan.recipe, wait.peel.word, wait.source
            count = found.setdefault(kind, PeelCount(wait))
            count.count += len(each.seconds) + len(each.before)
            count.within_closing += len(each.before)
            count.early += sum(s < wait.from_seconds for s in each.seconds)
            if passage.place is not PeelPlace.PRESS:
                count.late += sum(s > wait.to_seconds for s in each.seconds)
                count.timed += len(each.seconds)
    return found


def peels(period: Period) -> Topic:
    """Return the answer to: are peels early?"""
    found = dict(sorted(peel_counts(period).items()))
    recipes = period.recipes()
    rows = tuple(_row(kind, each, recipes) for kind, each in found.items())
    names = ("station", "recipe", "peel", "wait_by", "n", "early", "share", "late",
             "within_closing", "beside_guess")  # fmt: skip
    answer = tuple(_answers(found, recipes))
    section = Section("peels", (*answer, say("report.peels_declared")), Table(head(*names), rows))
    return Topic(section, "peels", answer, lambda: {
        "peels": [_data(kind, each) for kind, each in found.items()]
    })  # fmt: skip


def _row(kind: Kind, each: PeelCount, recipes: Mapping[str, str]) -> tuple[Cell, ...]:
    share = Share(each.early, each.count)
    late_cells: tuple[Cell | float, ...] = (
        each.early,
        share.in_words() if share.whole >= LEAST else EMPTY,
        each.late if each.timed else EMPTY,
    )
    guess_cell: Cell = ""
    if each.guessed:
        late_cells = (NOT_SCORED, NOT_SCORED, NOT_SCORED)
        guess_cell = say("report.beside_guess", before=each.early, after=each.late)
    wait_source = wait_basis(each.wait)
    station, recipe, peel, _ = kind
    return row(
        station, recipes[recipe], say(f"peel.{peel}"), wait_source, each.count, *late_cells,
        each.within_closing, guess_cell,
    )  # fmt: skip


def _data(kind: Kind, each: PeelCount) -> dict[str, object]:
    station, recipe, peel, _ = kind
    early, late = (0, 0) if each.guessed else (each.early, each.late)
    wait_by = {"wait_by": each.wait.source.rsplit(".", 1)[-1]}
    guess = {"before_guess": each.early, "after_guess": each.late} if each.guessed else {}
    return {"station": station, "recipe": recipe, "peel": peel, "n": each.count, "early": early,
            "late": late, **wait_by, **guess}  # fmt: skip


def _answers(found: dict[Kind, PeelCount], recipes: Mapping[str, str]) -> list[Message]:
    scored = {kind: each for kind, each in found.items() if not each.guessed}
    guessed = [each for each in found.values() if each.guessed and each.count]
    answers = [_answer(scored, recipes)] if scored or not guessed else []
    unseen = sum(each.count - each.timed for each in scored.values())
    if unseen and any(each.early or each.late for each in scored.values()):
        answers.append(say("answer.peels.not_seen", count=unseen))
    if guessed:
        before, after = sum(e.early for e in guessed), sum(e.late for e in guessed)
        count = sum(each.count for each in guessed)
        answers.append(say("answer.peels.guess", count=count, before=before, after=after))
    return answers


def _answer(found: dict[Kind, PeelCount], recipes: Mapping[str, str]) -> Message:
    count = sum(each.count for each in found.values())
    early = sum(each.early for each in found.values())
    late = sum(each.late for each in found.values())
    if not count:
        return say("answer.peels.none")
    wait_sources = tuple(dict.fromkeys(wait_basis(each.wait) for each in found.values()))
    values: dict[str, Value] = {"count": count, "early": early, "late": late, "by": wait_sources}
    if not early and not late:
        timed = sum(each.timed for each in found.values())
        suffix = "" if timed == count else "_seen" if timed else "_unseen"
        return say(f"answer.peels.right{suffix}", **values, timed=timed)
    if count < LEAST:
        return say("answer.peels.few", **values)
    share = Share(early + late, count).values()
    values |= {"low": share["low"], "high": share["high"]}
    most = max(_kinds_apart(found), key=lambda each: each.own.rate, default=None)
    if most is None:
        return say("answer.peels.some", **values)
    recipe, peel = most.key
    values |= {"recipe": recipes[recipe], "peel": say(f"peel.{peel}"), "word": most.strength.say()}
    return say("answer.peels.most", **values)


def _kinds_apart(found: dict[Kind, PeelCount]) -> tuple[Standout[tuple[str, str]], ...]:
    """Return the kinds of peel that go wrong more often than the others at the same station."""
    groups: dict[tuple[str, str], dict[Hashable, Share]] = defaultdict(dict)
    for (station, recipe, peel, _), each in found.items():
        wrong = Share(min(each.early + each.late, each.count), each.count)
        before = groups[recipe, peel].get(station, Share(0, 0))
        groups[recipe, peel][station] = total((before, wrong))
    return stand_out(dict(groups))
