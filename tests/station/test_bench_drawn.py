"""The drawn bench: large enough for a glove, letters of full height, what a touch means.

Drawn on the smallest and the largest screens, both ways up, in the longer language.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from random import Random

import pytest
from station_harness import Bench as Glass
from station_tree import walk

from kiosk.run.facts.moves import moves
from kiosk.run.state.model import ConfirmMode, Garment
from kiosk.station.desk.learn.practice_pages import bench_picture
from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.glass.boxes import TARGET_MM, Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.station.glass.type import CAPITAL
from kiosk.station.glass.widgets.bench_drawing import GLOVE_MM
from kiosk.station.glass.widgets.text import Text
from kiosk.train.practice.bench import SETTING, Bench, BenchJob, LaidPiece, WorkPosition, bench_at
from kiosk.train.practice.looks import SlipKind
from kiosk.train.practice.slip_choice import possible_slips
from kiosk.train.practice.slips import PlantedSlip, with_slip
from kiosk.words import Words

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "train"))

from catalog_jobs import planned

SCREENS = ((1024, 600, 7.0), (600, 1024, 7.0), (1920, 1080, 13.0), (800, 1280, 10.1))
ES = Words("es")


def wanted(recipe: str = "two-layer-pair", number: str = "16") -> BenchJob:
    return BenchJob(planned(recipe), Garment("1", number, "AM", "digest"), "ORSAVEL")


def spots(own: BenchJob) -> list[WorkPosition]:
    found = moves(own.plan.passes[0], ConfirmMode.GROUPED)
    return [
        WorkPosition(0, SETTING, SETTING),
        *(WorkPosition(0, m.first, m.last, m.hot) for m in found),
    ]


def page(
    glass: Glass, bench: Bench, screen: tuple[int, int, float], touched: list[str], marked: str = ""
) -> SheetPage:
    wide, high, inches = screen
    glass.resize(wide, high)
    return SheetPage(
        sheet(bench, touched, marked),
        (wide, high),
        Scale((wide, high), inches),
        "",
        glass.clock,
        lambda: None,
        ES("work.practice"),
    )


def sheet(bench: Bench, touched: list[str], marked: str = "") -> Sheet:
    title = ES("practice.bench", number=bench.card.number, size=bench.card.size)
    go_on = ES("practice.bench.go_on")
    return Sheet(
        title,
        main=Button(go_on, lambda: touched.append("bar")),
        left=Button(ES("practice.stop"), lambda: None),
        practice=True,
        bench=bench_picture(ES, bench, title, marked),
        touch=touched.append,
    )


@pytest.mark.parametrize("screen", SCREENS, ids=lambda s: f"{s[0]}x{s[1]}")
def test_everything_on_a_bench_is_readable_and_large_enough_for_a_glove(
    bench: Glass, screen: tuple[int, int, float]
) -> None:
    """15 mm at least, no overlaps, inside the window; letters keep 0.85 of their size.

    On 7 inches name and collar lie between others: they are at least 12 mm high.
    """
    faults: list[str] = []
    for recipe in ("two-layer-pair", "printed-pair", "both-sides", "three-layer-number"):
        own = wanted(recipe, "168" if recipe == "both-sides" else "16")
        for spot in spots(own):
            shown = page(bench, bench_at(own, spot, 50.0), screen, [])
            assert shown.bench is not None
            name, least = f"{recipe} {spot}", TARGET_MM * shown.scale.px_per_mm - 0.5
            between = ("name", "garment") if shown.scale.near else ()
            low = GLOVE_MM * shown.scale.px_per_mm - 0.5
            targets = shown.bench.targets
            assert {t.thing.partition(".")[0] for t in targets} == {
                t.partition(".")[0] for t in shown.bench.picture.bench.things()
            }
            faults += [f"{name}: {t.thing} {t.box}" for t in targets if t.box.w < least]
            faults += [
                f"{name}: {t.thing} {t.box}"
                for t in targets
                if t.box.h < (low if t.thing in between else least)
            ]
            faults += [
                f"{name}: {a.thing} on {b.thing}"
                for a, b in combinations(targets, 2)
                if a.thing != b.thing and a.box.overlaps(b.box, slack=2.0)
            ]
            faults += [
                f"{name}: {each.text} {each.fitted.share}"
                for each in walk(shown)
                if isinstance(each, Text) and each.text and each.fitted.share < 0.85
            ]
            texts = [each for each in walk(shown) if isinstance(each, Text) and each.text]
            faults += [
                f"{name}: {a.text!r} on {b.text!r}"
                for a, b in combinations(texts, 2)
                if a.ink.overlaps(b.ink, slack=2.0)
            ]
    assert "\n".join(faults) == ""


def test_a_touch_selects_what_it_hits_and_the_pedal_reaches_the_bar_first(bench: Glass) -> None:
    own, touched = wanted(), list[str]()
    laid = spots(own)[2]
    shown = page(bench, bench_at(own, laid), (1280, 800, 10.1), touched)
    bench.show(shown)
    bench.wait(0.6)
    assert shown.bench is not None
    for target in shown.bench.targets:
        bench.tap(*target.box.centre)
    assert touched == [target.thing for target in shown.bench.targets]
    art = shown.bench.art
    x, y = art.platen.centre[0], art.platen.top - 2
    assert shown.bench.at(x, y) == "garment"  # bare cloth
    assert shown.bench.at(art.box.x + 1, art.box.y + 1) == ""
    shown.step()
    shown.choose()
    assert touched[-1] == "bar"
    shown.step()
    shown.choose()
    assert touched[-1] == shown.bench.targets[0].thing


def test_with_the_sheet_on_a_touch_selects_a_visible_piece_or_else_the_sheet(bench: Glass) -> None:
    own = wanted()
    cover = next(spot for spot in spots(own) if bench_at(own, spot).sheet)
    shown = page(bench, bench_at(own, cover), (1280, 800, 10.1), [])
    assert shown.bench is not None
    art, number = shown.bench.art, shown.bench.targets[1]
    assert shown.bench.at(*number.box.centre) == number.thing
    assert shown.bench.at(art.platen.centre[0], art.platen.top - 2) == "sheet"


def test_the_clock_runs_without_redrawing_the_bench(bench: Glass) -> None:
    own = wanted("printed-pair")
    peel = spots(own)[-1]
    shown = page(bench, bench_at(own, peel, 43.0), (1280, 800, 10.1), [])
    drawn = shown.bench
    assert drawn is not None
    assert "0:43" in texts(shown)
    shown.turn(sheet(bench_at(own, peel, 71.0), []))
    assert shown.bench is drawn
    assert "1:11" in texts(shown)
    shown.turn(sheet(bench_at(own, peel, 71.0), [], marked="clock"))
    assert shown.bench is not drawn


def texts(shown: SheetPage) -> list[str]:
    return [each.text for each in walk(shown) if isinstance(each, Text)]


def test_the_words_on_the_page_do_not_reveal_a_slip(bench: Glass) -> None:
    """Right and wrong benches have the same words, except on the card, the plate, the displays."""
    own = wanted("layered-number", "69")
    for spot in spots(own):
        right = page(bench, bench_at(own, spot, 50.0), (1280, 800, 10.1), [])
        for put in possible_slips(own, 0, Random(3)):
            if put.index in spot.steps and put.kind not in (
                SlipKind.CARD,
                SlipKind.PLATEN,
                SlipKind.LAST_SETTING,
                SlipKind.PEEL,
            ):
                wrong = with_slip(bench_at(own, spot, 50.0), put)
                shown = page(bench, wrong, (1280, 800, 10.1), [])
                assert texts(shown) == texts(right), put.kind


def test_every_slip_is_visible_on_the_smallest_screen(bench: Glass) -> None:
    """At least 60 pixels differ there: a line 12 mm long and 0.5 mm wide on 7 inches."""
    found: dict[SlipKind, tuple[BenchJob, PlantedSlip]] = {}
    for recipe in ("two-layer-pair", "printed-pair", "both-sides"):
        own = wanted(recipe)
        for seed in range(6):
            for put in possible_slips(own, 0, Random(seed)):
                found.setdefault(put.kind, (own, put))
    assert found.keys() == set(SlipKind)
    apart = {}
    for slip, (own, put) in found.items():
        spot = next(each for each in spots(own) if put.index in each.steps)
        right = bench_at(own, spot, 50.0)
        one, other = (taken(bench, each) for each in (right, with_slip(right, put)))
        apart[slip] = differing(one, other)
    assert {slip: count for slip, count in apart.items() if count < 60} == {}


def taken(glass: Glass, lying: Bench) -> bytes:
    made = page(glass, lying, (1024, 600, 7.0), [])
    glass.show(made)
    data = glass.pixels().data
    glass.clear()
    return data


def differing(one: bytes, other: bytes) -> int:
    """Return how many colour values differ in their two highest bits."""
    high = int.from_bytes(b"\xc0" * len(one), "big")
    xor = (int.from_bytes(one, "big") ^ int.from_bytes(other, "big")) & high
    return len(one) - xor.to_bytes(len(one), "big").count(0)


def test_a_turned_six_stays_a_six_with_its_foot_bar_at_the_other_end() -> None:
    own = wanted(number="6")
    spot = spots(own)[2]
    (six,) = [p for p in bench_at(own, spot).pieces if p.piece.element == "number"]
    put = next(p for p in possible_slips(own, 0, Random(1)) if p.kind is SlipKind.SIX_NINE)
    (turned,) = [
        p for p in with_slip(bench_at(own, spot), put).pieces if p.piece.element == "number"
    ]
    assert isinstance(turned, LaidPiece)
    assert (six.text, six.turned, six.foot) == ("6", False, True)
    assert (turned.text, turned.turned, turned.foot) == ("6", True, True)


def test_a_platens_size_is_shown_as_a_tape_measure_reads() -> None:
    """405 mm x 510 mm (SI: 25.4 mm an inch) is 15.945 x 20.079 in."""
    own = wanted("hot-name-cold-number")
    bench = bench_at(own, WorkPosition(0, SETTING, SETTING))
    for platen, metric, told in (
        ((405 / 25.4, 510 / 25.4), False, "16 × 20 1/8 in"),
        ((405 / 25.4, 510 / 25.4), True, "405 × 510 mm"),
        ((16.5, 20.0), False, "16 1/2 × 20 in"),
    ):
        words = Words("en", metric=metric)
        shown = bench_picture(words, replace(bench, platen=platen), "", "")
        assert told == shown.platen


@pytest.mark.parametrize("screen", SCREENS, ids=lambda s: f"{s[0]}x{s[1]}")
def test_a_message_beside_a_bench_is_larger_than_the_words_on_its_card(
    bench: Glass, screen: tuple[int, int, float]
) -> None:
    """Trainees learn from the slips they find, but this message had the smallest letters."""
    own = wanted()
    shown = page(bench, bench_at(own, spots(own)[2], 50.0), screen, [])
    said = "Bien visto. Si se deja pasar: Una pieza se mueve o se levanta: no quedó sujeta."
    shown.notice((said,))
    (told,) = (t for t in walk(shown) if isinstance(t, Text) and t.text == said)
    assert told.fitted.em * CAPITAL >= shown.scale.small * 1.2
    assert told.fitted.share == 1.0
