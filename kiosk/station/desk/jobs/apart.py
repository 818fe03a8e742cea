"""Other presses on the same job: claims that conflict with this one's, plans that differ."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.plan.brief import Brief, differences
from kiosk.run.facts import Agreement
from kiosk.run.state import JobRun, OtherStation

OTHER, UNKNOWN, BROKEN = (
    each.value for each in (Agreement.OTHER, Agreement.UNKNOWN, Agreement.BROKEN)
)


class PlanConflict(NamedTuple):
    """Server claims in a job's way, and how another plan there differs from this one."""

    job: str = ""
    claims: tuple[int, ...] = ()
    stations: tuple[str, ...] = ()
    differs: tuple[Message, ...] = ()


def conflicts(other: dict[str, Any], shared: bool) -> bool:
    """Return whether another station's claim and one of this station's cannot both hold."""
    return bool(other["claim"]) and (not (other["shared"] and shared) or other["agrees"] == OTHER)


def conflict_of(answer: dict[str, Any], shared: bool, plan: Brief) -> PlanConflict:
    """Return what is in the way of beginning a job by `plan`.

    Stations that claim the job alone come first: a decision on plans does not settle those.
    """
    conflicting = [other for other in answer["others"] if conflicts(other, shared)]
    others = [other for other in conflicting if other["agrees"] != OTHER] or conflicting
    differs = tuple(message for _, messages in _by_plan(others, plan) for message in messages)
    claims = tuple(other["claim"] for other in others)
    return PlanConflict(answer["job"], claims, _names(others), differs)


def other_stations(answer: dict[str, Any], job: JobRun, plan: Brief) -> tuple[OtherStation, ...]:
    """Return the parts of a job at other stations; `plan` is this station's."""
    others, shared = answer["others"], bool(job.batches)
    conflicting = [o for o in others if conflicts(o, shared) and not _is_settled(o, job)]
    differs = {alike[0]["claim"]: messages for alike, messages in _by_plan(conflicting, plan)}

    def as_other_station(other: dict[str, Any]) -> OtherStation:
        claim, lines = other["claim"], tuple(other["lines"])
        name = "" if other["copy"] else other["name"]
        return OtherStation(name, claim, other in conflicting, lines, differs.get(claim, ()))

    return tuple(map(as_other_station, others))


def _is_settled(other: dict[str, Any], job: JobRun) -> bool:
    """Return whether a supervisor here already decided over the plan that claim goes by."""
    return not {*other["alike"]}.isdisjoint(job.settled)


def _by_plan(
    others: Iterable[dict[str, Any]], plan: Brief
) -> Iterator[tuple[list[dict[str, Any]], tuple[Message, ...]]]:
    """Yield the stations that share one other plan, and how that plan differs from `plan`."""
    plans: dict[tuple[int, ...], list[dict[str, Any]]] = {}
    for other in others:
        if other["agrees"] == OTHER:
            plans.setdefault(tuple(other["alike"]), []).append(other)
    for alike in plans.values():
        yield alike, differences(alike[0]["plan"], plan, _names(alike)) if plan else ()


def _names(others: Iterable[dict[str, Any]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(other["name"] for other in others))


def plan_differences(answer: dict[str, Any], plan: Brief) -> Iterator[Message]:
    """Yield who presses a shared order by another plan, how it differs, what is not compared."""
    for alike, differs in _by_plan(answer["others"], plan):
        yield say("page.apart", station=_names(alike))
        yield from differs
    yield from uncompared(answer)


def uncompared(answer: dict[str, Any]) -> Iterator[Message]:
    """Yield why the plans of other stations could not be compared, and what helps."""
    shared = [other for other in answer["others"] if other["claim"] and other["shared"]]
    if not answer["compares"] and shared:
        yield say("station.plan_not_kept")
        return
    for agrees in (BROKEN, UNKNOWN):
        if names := _names(other for other in shared if other["agrees"] == agrees):
            yield say(f"station.plan_{agrees}", station=names)
