"""The bench of practice: what is on it, what a slip changes, what a touch means."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from random import Random

import pytest
from catalog_jobs import planned

from kiosk.plan.model import Phase
from kiosk.run.facts.moves import moves
from kiosk.run.facts.tickets import pieces_of
from kiosk.run.show.drawing import DrawnPanel, laid_before, open_stack
from kiosk.run.show.parts import SlabKind
from kiosk.run.state.model import ConfirmMode, Garment
from kiosk.train.practice.bench import AROUND, SETTING, Bench, BenchJob, WorkPosition, bench_at
from kiosk.train.practice.bench_run import BenchRun, TouchOutcome
from kiosk.train.practice.looks import SlipKind
from kiosk.train.practice.slip_choice import EACH, HAVE, choose_slips, possible_slips
from kiosk.train.practice.slips import (
    PASSING,
    PlantedSlip,
    consequence_of,
    finished_bench,
    with_slip,
)
from kiosk.words import Words

RECIPES = {
    "two-layer-pair": "deck-knit",
    "printed-pair": "deck-knit",
    "plush-pair": "brushed-sweat",
    "both-sides": "deck-knit",
    "layered-number": "deck-knit",
}
WORDS = {language: Words(language) for language in ("en", "es")}


def wanted(recipe: str = "two-layer-pair", number: str = "16") -> BenchJob:
    plan = planned(recipe, RECIPES[recipe])
    return BenchJob(plan, Garment("1", number, "AM", "digest"), "ORSAVEL")


def spots(
    own: BenchJob, passage: int = 0, confirm: ConfirmMode = ConfirmMode.GROUPED
) -> list[WorkPosition]:
    found = moves(own.plan.passes[passage], confirm)
    return [WorkPosition(passage, move.first, move.last, move.hot) for move in found]


def every_put(number: str = "26") -> Iterator[tuple[BenchJob, PlantedSlip]]:
    """Return every kind of slip that any of the recipes can have, with some of its values."""
    for recipe in RECIPES:
        own = wanted(recipe, number)
        for passage in range(len(own.plan.passes)):
            for seed in range(4):
                for put in possible_slips(own, passage, Random(seed)):
                    yield own, put


def spot_of(own: BenchJob, put: PlantedSlip) -> WorkPosition:
    if put.index == SETTING:
        return WorkPosition(put.passage, SETTING, SETTING)
    return next(spot for spot in spots(own, put.passage) if put.index in spot.steps)


@pytest.mark.parametrize("recipe", RECIPES)
@pytest.mark.parametrize("confirm", ConfirmMode)
def test_the_bench_shows_the_same_stack_as_the_stations_cross_section(
    recipe: str, confirm: ConfirmMode
) -> None:
    """The station draws its stack from the same plan with separate code."""
    own = wanted(recipe)
    for passage, each in enumerate(own.plan.passes):
        for spot in spots(own, passage, confirm):
            if any(n in spot.steps for n in each.peels):
                continue  # here the bench shows the moment before, the station what comes off
            bench = bench_at(own, spot)
            sheet = spot.hot is not None and each.steps[spot.hot].sheet
            panel = DrawnPanel(each, pieces_of(own.plan, each), tuple(laid_before(own.plan, each)))
            stack = open_stack(panel, spot.first, spot.last, sheet)
            stay = [slab for slab in stack if "off" not in slab.label.id]
            carried = {p.piece.layer for p in bench.pieces if p.carrier}
            assert bool(carried) == any(slab.kind is SlabKind.CARRIER for slab in stay)
            films = {slab.colour for slab in stay if slab.kind is SlabKind.FILM}
            assert {piece.colour for piece in bench.pieces} == films
            if spot.hot is not None:
                assert bench.sheet is sheet


def test_a_number_is_separate_figures_and_a_name_is_one_piece() -> None:
    own = wanted(number="168")
    laid = bench_at(own, spots(own)[1])
    things = Counter(piece.piece.thing for piece in laid.pieces)
    assert things == {"name": 1, "number.0": 1, "number.1": 1, "number.2": 1}
    assert [p.text for p in laid.pieces if p.piece.element == "number"] == ["1", "6", "8"]
    top = bench_at(own, spots(own)[2])
    assert [p.piece.layer for p in top.pieces] == [1] * 4 + [2] * 4


def test_foot_bars_appear_only_where_the_real_piece_has_them() -> None:
    """Cut beside a 6 or 9, on its carrier: gone once that is off, and turned with the digit."""
    own = wanted(number="69")
    load, laid, top, cover, last = (bench_at(own, spot) for spot in spots(own))
    assert not any(piece.foot for piece in (*load.pieces, *cover.pieces, *last.pieces))
    assert [p.text for p in laid.pieces if p.foot] == ["6", "9"]
    assert {p.piece.layer for p in top.pieces if p.foot} == {2}
    assert not any(p.foot for p in bench_at(wanted(number="18"), spots(own)[1]).pieces)


def test_every_kind_of_slip_can_be_placed_seen_and_found() -> None:
    kinds: set[SlipKind] = set()
    for own, put in every_put():
        spot = spot_of(own, put)
        right = bench_at(own, spot, 50.0)
        wrong = with_slip(right, put)
        assert wrong != right, put
        finds = [thing for thing in wrong.things() if put.found_by(thing)]
        assert finds, put
        assert len(finds) < len(wrong.things()), put
        kinds.add(put.kind)
    assert kinds == set(SlipKind)


def test_every_slips_consequences_are_four_sentences_in_both_languages() -> None:
    seen = set()
    for own, put in every_put():
        came = consequence_of(own, put)
        for words in WORDS.values():
            said = [words.say(came.say(part)) for part in ("looks", "why", "costs", "seen")]
            assert len(set(said)) == 4, came.word
            assert not any("{" in each or not each for each in said), said
        seen.add(came.word)
        if isinstance(came.drawing, Bench):
            assert came.drawing.worn
            assert not any(p.carrier or p.liner or p.lifted for p in came.drawing.pieces)
    assert seen >= {"hot", "cold", "early", "late", "sheet_on", "no_sheet", "turned", "liner"}


def test_a_layer_pressed_on_a_liner_or_carrier_is_missing_from_the_garment() -> None:
    own = wanted()
    for seed in range(20):
        for put in possible_slips(own, 0, Random(seed)):
            if put.kind in (SlipKind.LINER, SlipKind.CARRIER) and put.piece is not None:
                left = [
                    p.piece for p in finished_bench(own, put).pieces if p.piece[:2] == put.piece[:2]
                ]
                held = (
                    1
                    if put.kind is SlipKind.CARRIER and put.piece.layer == 1
                    else put.piece.layer - 1
                )
                assert len(left) == (
                    2 if put.kind is SlipKind.CARRIER and put.piece.layer == 2 else held
                )


def put_of(own: BenchJob, slip: SlipKind) -> PlantedSlip:
    found = (
        put
        for seed in range(20)
        for put in possible_slips(own, 0, Random(seed))
        if put.kind is slip
    )
    return next(found)


def test_a_touch_finds_a_slip_once_and_puts_it_right() -> None:
    own = wanted()
    put = put_of(own, SlipKind.SIX_NINE)
    run = BenchRun(own, [put])
    spot = spot_of(own, put)
    assert run.touch(spot, "number.0") == (TouchOutcome.RIGHT, None)
    assert run.touch(spot, "number.1") == (TouchOutcome.FOUND, put)
    assert run.bench(spot) == bench_at(own, spot)
    assert run.touch(spot, "number.1") == (TouchOutcome.RIGHT, None)
    assert (run.found, run.false_alarms, run.go_on(spot)) == (1, 2, ())


def test_a_false_alarm_counts_once_per_place_and_a_missing_thing_never() -> None:
    own = wanted()
    run = BenchRun(own, [])
    load, lay = spots(own)[:2]
    for _ in range(3):
        run.touch(load, "card")
    assert run.false_alarms == 1
    run.touch(lay, "card")
    assert run.false_alarms == 2
    assert run.touch(load, "number.0") == (TouchOutcome.NOTHING, None)
    assert run.touch(load, "clock") == (TouchOutcome.NOTHING, None)
    assert run.false_alarms == 2


@pytest.mark.parametrize("slip", SlipKind)
def test_a_missed_slip_stays_to_the_end_and_is_not_a_false_alarm(slip: SlipKind) -> None:
    own = next(own for own, put in every_put() if put.kind is slip)
    put = next(p for o, p in every_put() if p.kind is slip and o == own)
    run, spot = BenchRun(own, [put]), spot_of(own, put)
    assert run.go_on(spot) == (put,)
    assert run.go_on(spot) == ()
    later = spots(own, put.passage)[-1]
    stays = slip not in PASSING and run.bench(later, 50.0) != bench_at(own, later, 50.0)
    hidden = {SlipKind.PEEL, SlipKind.SHEET}
    assert stays is (slip not in hidden)
    thing = next(each for each in run.bench(later, 50.0).things() if put.found_by(each))
    assert run.touch(later, thing, 50.0) == (TouchOutcome.KNOWN, None)
    assert run.false_alarms == 0


def test_a_garment_made_by_another_card_has_its_name_and_its_number() -> None:
    """Its pieces were laid, says the page: the picture showed the right name above the number."""
    own = wanted()
    put = put_of(own, SlipKind.CARD)
    made = finished_bench(own, put)
    assert (made.text("name"), made.text("number")) == (put.text("name"), put.text("held"))
    laid = dict.fromkeys(("name", "number"), "")
    for each in sorted(made.pieces, key=lambda each: each.piece.nth):
        if each.piece.layer == 1:
            laid[each.piece.element] += each.text
    assert laid == {"name": put.text("name"), "number": put.text("held")}


@pytest.mark.parametrize("slip", [SlipKind.COLLAR, SlipKind.SEAM, SlipKind.PLATEN, SlipKind.CARD])
def test_pieces_misplaced_by_a_slip_of_the_garment_are_not_false_alarms(slip: SlipKind) -> None:
    """A name by the hem, a print beside the middle, one over the edge, one on another's card."""
    own = wanted()
    put = put_of(own, slip)
    run = BenchRun(own, [put])
    for lay in spots(own)[1:]:
        for thing in {piece.piece.thing for piece in run.bench(lay).pieces}:
            assert run.touch(lay, thing) == (TouchOutcome.RIGHT, None)
    told = run.false_alarms
    assert told > 3  # nothing was wrong yet
    run.go_on(spot_of(own, put))
    for lay in spots(own)[1:]:
        for thing in {piece.piece.thing for piece in run.bench(lay).pieces}:
            assert run.touch(lay, thing) == (TouchOutcome.KNOWN, None)
        run.touch(lay, "display")
    assert run.false_alarms == told + len(spots(own)[1:])


def test_most_garments_have_no_slip_and_missed_kinds_return() -> None:
    own = wanted()
    none = (frozenset[str](), frozenset[str]())
    made = [choose_slips(own, none, nth, "TR") for nth in range(10 * EACH)]
    for row in range(10):
        assert sum(map(bool, made[row * EACH : (row + 1) * EACH])) == HAVE < EACH / 2
    assert Counter(map(len, made)).keys() == {0, 1, 2, 3}
    steps = {(put.index, put.kind) for each in made for put in each}
    assert len({index for index, _ in steps}) > 4
    missed = (frozenset({"collar"}), frozenset({"collar"}))
    again = [choose_slips(own, missed, nth, "TR") for nth in range(10 * EACH)]
    assert sum(any(p.kind is SlipKind.COLLAR for p in each) for each in again) >= 10
    assert [choose_slips(own, none, nth, "TR") for nth in range(10 * EACH)] == made


def test_slips_of_one_garment_differ_in_kind_and_place() -> None:
    own = wanted("layered-number", "69")
    for nth in range(200):
        both = choose_slips(own, (frozenset(), frozenset()), nth, "TR")
        for one, other in combinations(both, 2):
            assert one.kind is not other.kind
            assert (
                one.piece is None or other.piece is None or one.piece.element != other.piece.element
            )


def test_the_clock_is_on_the_bench_only_while_waiting_for_a_peel() -> None:
    own = wanted("printed-pair")
    for spot in spots(own):
        bench = bench_at(own, spot, 50.0)
        peels = any(own.plan.passes[0].steps[n].phase is Phase.PEEL for n in spot.steps)
        assert ("clock" in bench.things()) is peels
        assert (bench.card.window is not None) is peels
        assert all(each in AROUND or each.startswith(("name", "number")) for each in bench.things())
