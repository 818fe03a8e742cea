"""Other presses on the job: whose claim stands against this one's, and what other plan is told."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.plan.brief import Brief, differences
from kiosk.run.facts import Agreement
from kiosk.run.state import Elsewhere, JobRun

OTHER, UNKNOWN, BROKEN = (
    each.value for each in (Agreement.OTHER, Agreement.UNKNOWN, Agreement.BROKEN)
)


class Against(NamedTuple):
    """The claims in a job's way at the server, and how another plan there differs from this one."""

    job: str = ""
    claims: tuple[int, ...] = ()
    stations: tuple[str, ...] = ()
    differs: tuple[Message, ...] = ()


def stands_against(other: dict[str, Any], shared: bool) -> bool:
    """Whether another station's claim and one of this station's cannot both hold as they are."""
    return bool(other["claim"]) and (not (other["shared"] and shared) or other["agrees"] == OTHER)


def against(answer: dict[str, Any], shared: bool, plan: Brief) -> Against:
    """Return what is in the way of a job that is to be begun by `plan`.

    Whoever works on it alone comes first: that is not decided with another plan.
    """
    met = [other for other in answer["others"] if stands_against(other, shared)]
    others = [other for other in met if other["agrees"] != OTHER] or met
    differs = tuple(message for _, told in _by_plan(others, plan) for message in told)
    claims = tuple(other["claim"] for other in others)
    return Against(answer["job"], claims, _names(others), differs)


def elsewhere(answer: dict[str, Any], job: JobRun, plan: Brief) -> tuple[Elsewhere, ...]:
    """Return what of a job is at other stations; `plan` is that of this one's."""
    others, shared = answer["others"], bool(job.batches)
    blocks = [o for o in others if stands_against(o, shared) and not _is_settled(o, job)]
    differs = {alike[0]["claim"]: told for alike, told in _by_plan(blocks, plan)}

    def here(other: dict[str, Any]) -> Elsewhere:
        claim, lines = other["claim"], tuple(other["lines"])
        name = "" if other["copy"] else other["name"]
        return Elsewhere(name, claim, other in blocks, lines, differs.get(claim, ()))

    return tuple(map(here, others))


def _is_settled(other: dict[str, Any], job: JobRun) -> bool:
    """Whether a supervisor here decided over another plan, whoever presses by it."""
    return not {*other["alike"]}.isdisjoint(job.settled)


def _by_plan(
    others: Iterable[dict[str, Any]], plan: Brief
) -> Iterator[tuple[list[dict[str, Any]], tuple[Message, ...]]]:
    """Yield those that press by one other plan, and how that differs: told of them together."""
    plans: dict[tuple[int, ...], list[dict[str, Any]]] = {}
    for other in others:
        if other["agrees"] == OTHER:
            plans.setdefault(tuple(other["alike"]), []).append(other)
    for alike in plans.values():
        yield alike, differences(alike[0]["plan"], plan, _names(alike)) if plan else ()


def _names(others: Iterable[dict[str, Any]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(other["name"] for other in others))


def told(answer: dict[str, Any], plan: Brief) -> Iterator[Message]:
    """Yield by which plan the others press a shared order, where it is not this station's."""
    for alike, differs in _by_plan(answer["others"], plan):
        yield say("page.apart", station=_names(alike))
        yield from differs
    yield from uncompared(answer)


def uncompared(answer: dict[str, Any]) -> Iterator[Message]:
    """Yield that nobody can say by which plan others press a shared order, and what helps."""
    shared = [other for other in answer["others"] if other["claim"] and other["shared"]]
    if not answer["compares"] and shared:
        yield say("station.plan_not_kept")
        return
    for agrees in (BROKEN, UNKNOWN):
        if names := _names(other for other in shared if other["agrees"] == agrees):
            yield say(f"station.plan_{agrees}", station=names)
