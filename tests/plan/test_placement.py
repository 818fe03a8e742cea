"""Where the elements stand, as worn and as the operator sees them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from plan_samples import closing, element, plan_of, settings, single_plan

from kiosk.catalog.model import Panel
from kiosk.plan.model import Plan
from kiosk.plan.placement import Box, as_operator, as_worn, turn

INCHES = st.floats(-40, 40)
BOXES = st.builds(
    Box, st.just("name"), INCHES, INCHES, st.floats(0.1, 20), st.floats(0.1, 20), st.booleans()
)


def panel_plan(panel: str, height: str | None = None) -> Plan:
    there = Panel(panel, (element("number", "red", height=height),))
    return plan_of(settings(closing("number.1"), panel=panel), panels=(there,))


def test_the_name_stands_above_the_number_without_touching_it() -> None:
    name, number = as_worn(single_plan(), "back", "AL", {"name": 3.0, "number": 1.2})
    assert (name.element, number.element) == ("name", "number")
    assert name.y + name.height / 2 < number.y - number.height / 2


def test_the_number_stands_at_its_place_where_a_line_has_no_name() -> None:
    both = as_worn(single_plan(), "back", "AL", {"name": 3.0, "number": 1.2})
    alone = as_worn(single_plan(), "back", "AL", {"number": 1.2})
    assert alone == both[1:]


def test_everything_fits_a_platen_of_16_by_20_inches() -> None:
    for size in ("YM", "AL"):
        for box in as_worn(single_plan(), "back", size, {"name": 9.0, "number": 1.6}):
            assert box.y - box.height / 2 > 0
            assert box.y + box.height / 2 < 20
            assert box.width <= 16


def test_a_youth_garment_has_smaller_figures() -> None:
    (youth,) = as_worn(single_plan(), "back", "YM", {"number": 1.2})
    (adult,) = as_worn(single_plan(), "back", "AL", {"number": 1.2})
    assert youth.height < adult.height


def test_the_recipes_own_height_wins() -> None:
    (box,) = as_worn(panel_plan("back", "7 in"), "back", "AL", {"number": 1.0})
    assert (box.width, box.height) == (7.0, 7.0)


def test_a_name_that_is_too_wide_is_narrowed_and_said_to_be() -> None:
    (box,) = as_worn(single_plan(), "back", "AL", {"name": 20.0})
    assert box.narrowed
    assert box.width == 14.0


def test_the_wearers_left_chest_is_on_the_right_as_seen() -> None:
    (left,) = as_worn(panel_plan("left-chest"), "left-chest", "AL", {"number": 1.2})
    (right,) = as_worn(panel_plan("right-chest"), "right-chest", "AL", {"number": 1.2})
    assert left.x == -right.x > 0


def test_a_panel_that_no_table_names_is_treated_as_a_front() -> None:
    (box,) = as_worn(panel_plan("hood"), "hood", "AL", {"number": 1.0})
    (front,) = as_worn(panel_plan("front"), "front", "AL", {"number": 1.0})
    assert box == front


@given(BOXES)
def test_turning_twice_changes_nothing(box: Box) -> None:
    assert turn(turn(box)) == box


@given(BOXES, BOXES)
def test_turning_reverses_both_directions_so_it_never_mirrors(one: Box, other: Box) -> None:
    seen, there = turn(one), turn(other)
    assert (there.x - seen.x, there.y - seen.y) == (-(other.x - one.x), -(other.y - one.y))
    assert (seen.width, seen.height) == (one.width, one.height)


def test_art_is_turned_only_when_the_collar_is_toward_the_operator() -> None:
    boxes = as_worn(single_plan(), "back", "AL", {"name": 3.0, "number": 1.2})
    assert as_operator(boxes, collar_toward_operator=False) == boxes
    assert all(box.turned and box.y < 0 for box in as_operator(boxes, True))
