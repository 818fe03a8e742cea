"""A job's needs, spares, stock and purchase, counted by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plan_samples import ROSTER, element, plan_of, settings, single_plan, stack_plan
from plan_samples import closing as final

from kiosk.catalog.base.quantities import length
from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.rules import Pack, Packs, SpareRule, Stock
from kiosk.plan.need import Drawer, Need, bag, count_picks, needs, without_size
from kiosk.plan.purchase import purchases

FIVE = Pack("five", "Five", 450, of_one=5, characters=frozenset("0123456789"))
# ROSTER: 31 and 00 on adults (10 in), 13 on a youth (8 in)
ADULT = Drawer("film", "red", 10.0, 1, 1)
YOUTH = Drawer("film", "red", 8.0, 1, 1)


def needs_of(
    packs: Packs = Packs(),  # noqa: B008 - frozen
    stock: tuple[Stock, ...] | None = None,
    roster: tuple[RosterLine, ...] = ROSTER,
) -> dict[Drawer, Need]:
    plan = single_plan()
    found = needs(plan, count_picks(plan, roster), packs, stock)
    return {need.drawer: need for need in found}


def test_needs_are_counted_per_drawer() -> None:
    found = needs_of()
    assert found[ADULT].pieces == {"0": 2, "1": 1, "3": 1}
    assert found[YOUTH].pieces == {"1": 1, "3": 1}
    assert not any(need.spares or need.stock for need in found.values())


def test_panels_that_need_the_same_piece_share_a_drawer() -> None:
    panels = tuple(
        Panel(name, (element("number", "red", height="6 in"),)) for name in ("back", "front")
    )
    plan = plan_of(
        settings(final("number.1"), panel="back"),
        settings(final("number.1"), panel="front"),
        panels=panels,
    )
    found = needs(plan, count_picks(plan, ROSTER[:1]), Packs(), None)
    assert [(need.drawer.height_inches, need.pieces) for need in found] == [(6, {"1": 2, "3": 2})]


def test_the_lower_layer_is_a_different_piece_from_the_top() -> None:
    plan = stack_plan()
    found = needs(plan, count_picks(plan, ROSTER), Packs(), None)
    drawers = {(n.drawer.colour, n.drawer.layer, n.drawer.layers) for n in found}
    assert drawers == {("black", 1, 2), ("white", 2, 2)}


def test_digits_letters_and_other_characters_have_separate_spares() -> None:
    packs = Packs(digits=SpareRule(least=2), letters=SpareRule(Fraction(1, 2)))
    found = needs_of(packs, roster=(RosterLine("1", "AL", "O'ÑÑÑ", "7"),))
    assert found[ADULT].spares == {"7": 2}
    assert found[replace(ADULT, height_inches=2.5)].spares == {"O": 1, "Ñ": 2}  # none for '


def test_the_shortage_includes_spares() -> None:
    stock = (
        Stock("film", "red", length("10 in"), {"0": 2, "1": 9}),
        Stock("film", "red", length("254 mm"), {"0": 1}),  # 10 in as well
        Stock("film", "blue", length("10 in"), {"3": 9}),
        Stock("film", "red", length("10 in"), {"3": 9}, layer=1, layers=2),
    )
    found = needs_of(Packs(digits=SpareRule(least=2)), stock)
    assert found[ADULT].stock == {"0": 3, "1": 9}
    assert found[ADULT].shortage == {"0": 1, "3": 3}
    assert found[YOUTH].shortage == {"1": 3, "3": 3}


def test_only_missing_pieces_are_bought_and_the_rest_is_left_over() -> None:
    stock = (Stock("film", "red", length("10 in"), {"0": 2, "1": 4}),)
    found = needs_of(stock=stock)
    (purchase,) = purchases([found[ADULT]], Packs((FIVE,)))
    assert [(b.pack.key, b.character, b.count, b.price) for b in purchase.bought] == [
        ("five", "3", 1, 450)
    ]
    assert purchase.leftover == {"1": 3, "3": 4}
    assert (purchase.price, purchase.uncovered) == (450, {})


def test_pieces_in_no_pack_are_reported_and_the_rest_is_bought() -> None:
    digits = needs_of(roster=(RosterLine("1", "AL", "AB", "7"),))
    by_height = {n.drawer.height_inches: n for n in digits.values()}
    name, number = purchases([by_height[2.5], by_height[10.0]], Packs((FIVE,)))
    assert (name.bought, name.uncovered) == ((), {"A": 1, "B": 1})
    assert (number.price, number.uncovered) == (450, {})


def test_a_pack_of_another_material_colour_or_height_does_not_fit() -> None:
    wrong = (
        replace(FIVE, key="m", material="foil", price=1),
        replace(FIVE, key="c", colour="blue", price=1),
        replace(FIVE, key="h", height=length("8 in"), price=1),
    )
    right = replace(FIVE, material="film", colour="red", height=length("10 in"))
    (purchase,) = purchases([needs_of()[ADULT]], Packs((*wrong, right)))
    assert {b.pack.key for b in purchase.bought} == {"five"}


def test_the_leftover_is_stock_plus_purchase_minus_pieces() -> None:
    kit = Pack("kit", "Kit", 900, mix=dict.fromkeys("0123456789", 2))
    (purchase,) = purchases([needs_of()[ADULT]], Packs((FIVE, kit)))
    assert [(b.pack.key, b.character) for b in purchase.bought] == [("kit", "")]
    assert purchase.leftover == {"1": 1, "3": 1} | dict.fromkeys("2456789", 2)


def test_a_bag_holds_each_piece_in_order() -> None:
    plan = stack_plan()
    pieces = bag(plan, ROSTER[0])
    assert [(b.piece.name, "".join(b.characters), b.height_inches) for b in pieces] == [
        ("name.1", "KOVA", 2.5),
        ("name.2", "KOVA", 2.5),
        ("number.1", "31", 10.0),
        ("number.2", "31", 10.0),
    ]
    assert [b.piece.element for b in bag(plan, ROSTER[2])] == ["number"] * 2  # no name


def test_an_unknown_size_needs_nothing_and_is_reported() -> None:
    odd = RosterLine("9", "HUGE", "KOVA", "31")
    plan = single_plan()
    assert count_picks(plan, (*ROSTER, odd)) == count_picks(plan, ROSTER)
    assert without_size((*ROSTER, odd)) == (odd,)
    assert bag(plan, odd) == ()
