"""What stays in the press from one garment to the next."""

from __future__ import annotations

import pytest
from usual_garment import usual

from kiosk.heat.curve import bond, solve
from kiosk.heat.garment import Act, GarmentPlace, Setup, idle, story
from kiosk.heat.heat_taken import press_layers
from kiosk.heat.solver import history

SETUP = Setup(149.0)


def pad(end: dict[str, tuple[float, ...]]) -> float:
    return sum(end["pad"]) / len(end["pad"])


def test_a_history_in_two_parts_equals_the_whole() -> None:
    acts = (*usual(cooling=20.0), idle(30.0))
    whole = history(story(SETUP, acts)).end
    first = history(story(SETUP, acts[:-2])).end
    rest = history(story(SETUP, acts[-2:]), first).end
    assert rest["pad"] == pytest.approx(whole["pad"], abs=1e-9)
    assert rest["film1"] == pytest.approx(whole["film1"], abs=1e-9)


def test_each_garment_warms_the_pad_until_it_settles() -> None:
    end: dict[str, tuple[float, ...]] = {}
    pads, bonds = [], []
    for _ in range(12):
        solved = solve(story(SETUP, (*usual(cooling=2.0), idle(20.0))), end)
        end = dict(press_layers(solved.end))
        pads.append(pad(end))
        bonds.append(solved.whole.highest(bond) or 0)
    assert pads[0] > 26
    assert pads == sorted(pads)
    assert pads[11] - pads[10] < (pads[1] - pads[0]) / 3
    assert bonds[-1] > bonds[0] + 2


def test_a_pad_cools_while_the_press_is_open() -> None:
    warm = press_layers(history(story(SETUP, (idle(25.0, closed=True),))).end)
    later = history(story(SETUP, (idle(600.0),)), warm).end
    assert SETUP.room < pad(dict(later)) < pad(dict(warm)) - 10


def test_a_fresh_garment_is_at_room_temperature_on_a_warm_pad() -> None:
    warm = press_layers(history(story(SETUP, usual(cooling=2.0))).end)
    first = history(story(SETUP, (Act("lay", 1.0),)), warm).stages[0][1][0]
    assert first.cloth == pytest.approx(SETUP.room, abs=0.2)
    assert set(warm) == {"pad", "lower"}


def test_an_empty_press_has_neither_bond_nor_cloth() -> None:
    samples = history(story(SETUP, (idle(5.0),))).stages[0][1]
    assert {(s.bond, s.cloth) for s in samples} == {(None, None)}


def test_temperatures_for_a_different_number_of_cells_are_refused() -> None:
    with pytest.raises(ValueError, match="pad: 3 temperatures for 10 cells"):
        history(story(SETUP, (idle(1.0),)), {"pad": (20.0, 20.0, 20.0)})


def test_a_lifted_garment_leaves_its_pad_in_the_press() -> None:
    end = history(story(SETUP, usual(where=GarmentPlace.LIFTED, cooling=60.0))).end
    on_pad = history(story(SETUP, usual(where=GarmentPlace.PAD, cooling=60.0))).end
    assert end["cloth1"][0] < on_pad["cloth1"][0]
    assert "pad" in end
