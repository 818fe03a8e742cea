"""How long a job takes."""

from __future__ import annotations

from dataclasses import replace

from plan_samples import (
    closing,
    element,
    material,
    plan_of,
    settings,
    single_plan,
    stack_plan,
    tack,
)

from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.time.finish import minutes, spared_in
from kiosk.plan.time.through import in_passes


def test_the_quick_estimate_is_never_above_the_slow_one() -> None:
    for plan in (stack_plan(), *(single_plan(peel) for peel in (*Peel, None))):
        low, high = minutes(plan, 18)
        assert 0 < low < high


def test_more_garments_take_longer() -> None:
    assert minutes(stack_plan(), 40)[0] > minutes(stack_plan(), 20)[0]


def test_no_garments_take_no_time() -> None:
    assert minutes(single_plan(Peel.COLD), 0) == (0, 0)


def test_one_garment_takes_at_least_its_dwells() -> None:
    plan = single_plan(Peel.HOT)
    hot = 5 + 15 + 2 * 1  # pre-press, final, two countdowns
    assert minutes(plan, 60)[0] >= hot


def test_a_change_of_setting_adds_its_time() -> None:
    plan = single_plan()
    changed = replace(plan, settings=(replace(settings(), setting_change=20),))
    assert minutes(changed, 1)[1] - minutes(plan, 1)[1] == 10


def test_a_pass_without_garments_takes_no_time() -> None:
    """As long as the same order with a recipe without that panel."""
    back = Panel("back", (element("name", "red"),))
    front = Panel("front", (element("number", "red"),))
    named, numbered = (
        settings(closing("name.1")),
        replace(settings(closing("number.1")), panel="front"),
    )
    alone, both = plan_of(named, panels=(back,)), plan_of(named, numbered, panels=(back, front))
    assert minutes(both, in_passes(both, [("number",)] * 40)) == minutes(alone, 40)
    assert minutes(both, in_passes(both, [()] * 40)) == minutes(both, 40)
    assert minutes(both, 40)[0] > minutes(alone, 40)[1]


def test_an_element_missing_from_a_garment_takes_no_time() -> None:
    """As long as with a recipe without the name: no tack, nothing laid for it."""
    number, name = element("number", "red"), element("name", "black", "white")
    peel, top = {"number.1": Peel.HOT}, ("name.1", "name.2")
    alone = plan_of(
        settings(closing("number.1", sheet=True, peel=peel)), panels=(Panel("back", (number,)),)
    )
    both = plan_of(
        settings(
            tack("name.1"),
            tack("name.2", heated=top),
            closing("number.1", *top, sheet=True, peel=peel),
        ),
        panels=(Panel("back", (name, number)),),
    )
    nameless, whole = ("name",), ()

    def of(*lacks: tuple[str, ...]) -> tuple[int, int]:
        return minutes(both, in_passes(both, lacks), None, spared_in(both, lacks))

    assert of(*[nameless] * 40) == minutes(alone, 40)
    assert of(*[whole] * 40) == minutes(both, 40)
    half = of(*[nameless] * 60, *[whole] * 60)
    apart = [minutes(alone, 60)[n] + minutes(both, 60)[n] for n in (0, 1)]
    assert all(abs(a - b) <= 1 for a, b in zip(half, apart, strict=True))  # minutes are rounded


def test_another_temperature_between_passes_adds_its_time_once_per_lot() -> None:
    panels = tuple(Panel(name, (element("number", "red"),)) for name in ("back", "front"))
    took = [
        minutes(
            plan_of(
                settings(closing("number.1")),
                settings(closing("number.1", temperature=degrees), panel="front"),
                panels=panels,
            ),
            10,
        )
        for degrees in (280, 270)
    ]
    assert took[1][1] - took[0][1] == 10


def test_a_wait_in_hand_delays_every_garment_and_a_rack_only_the_last() -> None:
    rack, at_once = (single_plan(p) for p in (Peel.COLD, Peel.HOT))
    hand = single_plan(Peel.WARM, materials=(material(waits={Peel.WARM: ("8 s", "25 s")}),))
    in_hand = minutes(hand, 100)[0] - minutes(at_once, 100)[0]
    on_rack = minutes(rack, 100)[0] - minutes(at_once, 100)[0]
    assert in_hand > 10 > on_rack
