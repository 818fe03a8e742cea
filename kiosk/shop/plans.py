"""Compares the plans by which presses work on an order; finds copies of one record at work."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.run.facts import Agreement, agreement
from kiosk.shop.server import Server, guarded
from kiosk.shop.wishes import JobWish, OtherHolder

Brief = Mapping[str, Any]
"""A summary of a plan, as a station sends it. This room does not know plans, hence the name."""


class ServerClaim(NamedTuple):
    """A claim at the server; `plan` is None if its station or the server stores none.

    `ended_by` is None while it is active, "" if the server's administrator or a copy of the
    station ended it.
    """

    claim: int
    role: str
    station: str
    seq: int
    digest: bytes
    shared: bool
    ended_by: str | None
    plan: dict[str, Any] | None


def differing_claims(
    plan: Brief,
    claims: Iterable[ServerClaim],
    own: Collection[ServerClaim],
    pressing: Collection[int],
) -> list[ServerClaim]:
    """Return each other station's last claim if it shares the order by a different plan.

    An ended claim counts if garments were taken under it (`pressing`).
    """
    last = {
        (each.role, each.station): each
        for each in claims
        if each.shared and each not in own and (each.ended_by is None or each.claim in pressing)
    }
    return [each for each in last.values() if agreement(each.plan, plan) is Agreement.OTHER]


def begun_again(
    plan: Brief, claims: Collection[ServerClaim], own: Collection[ServerClaim]
) -> set[int]:
    """Return the claims of other stations that now share the order by this plan.

    A station changes its plan only if nothing was pressed by the old one.
    """
    plans_now = {(each.role, each.station): each.plan for each in claims if each.shared}
    return {
        each.claim
        for each in claims
        if each.shared and each not in own
        and agreement(plans_now[each.role, each.station], plan) is Agreement.SAME
    }  # fmt: skip


def claims_with_plan(claim: ServerClaim, claims: Iterable[ServerClaim]) -> tuple[int, ...]:
    """Return all claims with the plan of this one: a decision about one applies to all."""
    same = Agreement.SAME
    return tuple(each.claim for each in claims if agreement(each.plan, claim.plan) is same)


def compared(
    other: OtherHolder, wish: JobWish, claim: ServerClaim, claims: Iterable[ServerClaim]
) -> OtherHolder:
    """Return `other` with the result of comparing its plan to the wished one."""
    how = agreement(claim.plan, wish.plan)
    if how is not Agreement.OTHER:
        return other._replace(agrees=how.value)
    return other._replace(agrees=how.value, plan=claim.plan, alike=claims_with_plan(claim, claims))


class SplitOrder(NamedTuple):
    """An order in progress that is pressed by several plans: the stations of each.

    `broken` are stations whose plan at the server cannot be read, so that it is unknown. `copies`
    are stations with two tablets working on it that hold copies of one record.
    """

    job: str
    names: tuple[tuple[str, ...], ...]
    broken: tuple[str, ...] = ()
    copies: tuple[str, ...] = ()

    def messages(self) -> Iterator[Message]:
        """Yield messages on who presses by which plan: `north · south, east`."""
        if self.names:
            yield say("shop.plans", plans=" · ".join(", ".join(names) for names in self.names))
        if self.broken:
            yield say("shop.plans_broken", station=self.broken)
        if self.copies:
            yield say("shop.copies", station=self.copies)


PLANS = """SELECT job, name, to_jsonb(c) -> 'plan' FROM office.claims c
WHERE shared AND (ended IS NULL OR (to_jsonb(c) ->> 'batches')::int > 0)
    AND NOT coalesce((to_jsonb(c) ->> 'unpressed')::boolean, false)
    AND job IN (SELECT job FROM office.batches WHERE done IS NULL)
ORDER BY job, since"""
PARTED = """SELECT DISTINCT job, name FROM office.claims c
WHERE ended IS NULL AND (to_jsonb(c) ->> 'parted')::boolean ORDER BY job, name"""


def orders_apart(server: Server) -> list[SplitOrder]:
    """Return the orders in progress that are or may be pressed by several plans or copies.

    Raises ShopFault.
    """
    with guarded():
        rows = server.execute(PLANS).fetchall()
        parted = server.execute(PARTED).fetchall()
    found = []
    for job in dict.fromkeys(row[0] for row in (*rows, *parted)):
        named_plans = [(name, plan) for order, name, plan in rows if order == job]
        plans = by_plan(named_plans)
        last = dict(named_plans).items()
        broken = tuple(name for name, plan in last if agreement(plan, plan) is Agreement.BROKEN)
        copies = tuple(name for order, name in parted if order == job)
        if plans or broken or copies:
            found.append(SplitOrder(job, plans, broken, copies))
    return found


def by_plan(claims: Sequence[tuple[str, Brief | None]]) -> tuple[tuple[str, ...], ...]:
    """Return station names grouped by plan if the plans differ, else ().

    A plan that cannot be compared is left out, as it belongs to no known group.
    """
    found: list[tuple[Brief | None, list[str]]] = []
    for name, plan in claims:
        names_alike = [names for other, names in found if agreement(other, plan) is Agreement.SAME]
        if names_alike:
            names_alike[0].append(name)
        else:
            found.append((plan, [name]))
    plans = [plan for plan, _ in found]
    return tuple(tuple(dict.fromkeys(names)) for plan, names in found if _has_other(plan, plans))


def _has_other(plan: Brief | None, plans: Iterable[Brief | None]) -> bool:
    return any(agreement(plan, each) is Agreement.OTHER for each in plans)
