"""The quiz is true: random catalogs by brute force, and ten questions worked by hand."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import pytest
from catalog_jobs import shipped
from hypothesis import HealthCheck, Phase, given, settings
from quiz_truth import TRUTHS, truths
from random_sheets import Job as Sheets
from random_sheets import jobs

from kiosk.catalog.base.quantities import Seconds
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import StationSettings
from kiosk.catalog.model.orders import Job, RosterLine
from kiosk.catalog.model.sheets import Material, Peel, Wait
from kiosk.catalog.model.source import Source, SourceKind
from kiosk.plan.procedure import make_plan
from kiosk.plan.settings.limits import read_sheet
from kiosk.plan.settings.panel import PanelFailure, PanelTask
from kiosk.train.question import QuizQuestion, Subject
from kiosk.train.quiz import quiz, subject_of
from kiosk.words import Words

CATALOGS = 1000
DRAWN = 250
NUMBERS = ("4", "16", "27", "91", "08", "80")
ROSTER = tuple(RosterLine(str(n), "AM", "", number) for n, number in enumerate(NUMBERS, 1))
WORDS = Words()


def subject(sheets: Sheets) -> Subject | None:
    recipe, fabric, press, policy, materials = sheets
    catalog = Catalog(
        materials=materials,
        fabrics={fabric.key: fabric},
        presses={press.key: press},
        policy=policy,
        station=StationSettings(),
        recipes={recipe.key: recipe},
    )
    job = Job("j", "", "Job", recipe.key, fabric.key, press.key, ROSTER, "")
    catalog = replace(catalog, materials={k: with_waits(m) for k, m in materials.items()})
    sheets_read = {key: read_sheet(each, press.unit) for key, each in materials.items()}
    found = PanelTask(
        recipe, fabric, press, policy, sheets_read
    ).settings()  # no changes are sought
    if isinstance(found, PanelFailure):
        return None
    return subject_of(job, catalog, make_plan(job, catalog, found))


def with_waits(sheet: Material) -> Material:
    """Return a sheet that states its waits: none is asked about, and none is estimated."""
    said = Source(SourceKind.SUPPLIER_SHEET)
    told = replace(sheet.source, keys={**sheet.source.keys, "peel_wait": said})
    wait = Wait(Seconds(Fraction(10), "10 s"), Seconds(Fraction(20), "20 s"))
    return replace(sheet, peel_wait=dict.fromkeys(Peel, wait), source=told)


def said(asked: QuizQuestion) -> list[str]:
    """Return every sentence of a question, so that a missing one fails."""
    whys = [WORDS.say(why) for option in asked.options for why in option.why]
    return [WORDS.say(asked.ask), *(WORDS.say(o.text) for o in asked.options), *whys]


def catalogs() -> Iterator[Subject]:
    """Return random sheets and recipes on various fabrics and presses that can be pressed."""
    drawn: list[Sheets] = []

    @settings(
        max_examples=DRAWN,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=[HealthCheck.too_slow],
    )
    @given(jobs())
    def draw(sheets: Sheets) -> None:
        drawn.append(sheets)

    draw()
    for away in range(len(drawn)):
        for n, (recipe, *_, materials) in enumerate(drawn):
            _, fabric, press, policy, _ = drawn[(n + away) % len(drawn)]
            about = subject((recipe, fabric, press, policy, materials))
            if about is not None:
                yield about


def test_over_a_thousand_catalogs_exactly_the_right_answer_is_right() -> None:
    seen: Counter[str] = Counter()
    for nth, about in enumerate(islice(catalogs(), CATALOGS)):
        seen["catalogs"] += 1
        for asked in quiz(about, str(nth)):
            seen[asked.kind] += 1
            assert [option.right for option in asked.options] == truths(about, asked), asked
            assert [option.right for option in asked.options].count(True) == 1
            sentences = said(asked)
            options = sentences[1 : 1 + len(asked.options)]
            assert len(set(options)) == len(options)
    assert seen.pop("catalogs") == CATALOGS
    assert set(seen) == set(TRUTHS)
    assert min(seen.values()) > CATALOGS // 4, seen


PLAIN, PRINTED, PILE, LOW = (
    ("two-layer-pair", "deck-knit", "heron"),
    ("printed-pair", "deck-knit", "heron"),
    ("plush-pair", "brushed-sweat", "heron"),
    ("cool-pair", "allover-print", "grebe"),
)
BY_HAND = [
    # the press's setting is in the film's window and is kept; the normal time there
    (PLAIN, "both", "312 °F, 12 s"),
    # printed-letters begin at 306 F, printed-digits end at 322 F: the press's setting lies between
    (PRINTED, "both", "312 °F, 13 s"),
    # cool-film from 106 to 127 C; its normal time from 117 C on
    (LOW, "both", "118 °C, 17 s"),
    # printed-digits: cold up to 301 F, warm from 302 F on
    (PRINTED, "hotter", "warm"),
    # plush-film has one peel in all of its window
    (PILE, "hotter", "cold"),
    # smooth-film allows hot everywhere, and it is the earliest
    (PLAIN, "hotter", "hot, at once"),
    # both carriers on, both optional
    (PRINTED, "sheet", "no sheet"),
    # collar toward the operator: 27 lies turned, its 2 at the right hand
    (PLAIN, "hand", "right hand"),
    # of 70, 91, 27 and 76 only 91 is all of 0 1 6 8 9, and turned it is 16
    (PRINTED, "turn", "91"),
]


@pytest.mark.parametrize(("about", "kind", "right"), BY_HAND)
def test_questions_worked_by_hand_have_the_expected_answer(
    about: tuple[str, str, str], kind: str, right: str
) -> None:
    asked = next(each for each in quiz(shipped(*about), "a") if each.kind == kind)
    assert WORDS.say(asked.right.text) == right
    assert "" not in said(asked)


def of_digit(about: Subject) -> QuizQuestion:
    """Return the question of when the printed digit is peeled at its highest temperature."""
    every = (each for seed in range(50) for each in quiz(about, str(seed)))
    hotter = (each for each in every if each.kind == "hotter")
    title = about.materials["printed-digits"].title
    return next(each for each in hotter if each.ask.values["title"] == title)


def test_a_changed_sheet_changes_the_answer() -> None:
    about = shipped(*PRINTED)
    changed = replace(
        about.materials["printed-digits"],
        peel=tuple(
            replace(band, allowed=frozenset({Peel.COLD}))
            for band in about.materials["printed-digits"].peel
        ),
    )
    before = of_digit(about)
    about = replace(about, materials={**about.materials, "printed-digits": changed})
    after = of_digit(about)
    assert (before.right.text.id, after.right.text.id) == ("quiz.peel.warm", "quiz.peel.cold")


def test_bare_film_needs_no_sheet_for_a_short_tack_but_one_for_the_final() -> None:
    """Three seconds are short; the film needs a sheet once its carrier is off."""
    asked = [each for seed in range(40) for each in quiz(shipped(*PLAIN), str(seed))]
    found = {
        (WORDS.say(each.ask).split()[0], WORDS.say(each.right.text))
        for each in asked
        if each.kind == "sheet"
    }
    assert found == {("Tack", "no sheet"), ("Final", "sheet on")}


def test_a_wrong_setting_is_explained_by_the_limit_it_breaks() -> None:
    about = shipped(*PRINTED)
    windows = [about.materials[key].temperature for key in ("printed-digits", "printed-letters")]
    hottest = min(about.fabric.temperature_max.value, *(each.high.value for each in windows))
    coolest = max(each.low.value for each in windows)
    wrong = {
        WORDS.say(option.text): WORDS.say(option.why[0])
        for seed in range(40)
        for asked in quiz(about, str(seed))
        for option in asked.options
        if asked.kind == "both" and not option.right
    }
    broken = Counter[str]()
    for setting, why in wrong.items():
        degrees = int(setting.split()[0])
        limits = re.search(r"(at most|at least) (\d+) F", why)
        if degrees < coolest:
            assert limits is not None
            assert (limits[1], degrees < int(limits[2])) == ("at least", True)
        elif degrees > hottest:
            assert limits is not None
            assert (limits[1], degrees > int(limits[2])) == ("at most", True)
        broken["cold" if degrees < coolest else "hot" if degrees > hottest else "time"] += 1
    assert set(broken) == {"cold", "hot", "time"}
    assert all(not why.startswith("Every piece") for why in wrong.values())


def test_the_seed_decides_the_questions() -> None:
    about = shipped(*PLAIN)
    assert quiz(about, "a", rounds=3) == quiz(about, "a", rounds=3)
    assert quiz(about, "a", rounds=3) != quiz(about, "b", rounds=3)
