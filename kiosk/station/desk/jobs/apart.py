"""Other presses on the job: whose claim stands against this one's, and what other plan is told."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.plan.brief import Brief, differences
from kiosk.run.facts import Agreement
from kiosk.run.state import Elsewhere, JobRun

OTHER, UNKNOWN = Agreement.OTHER.value, Agreement.UNKNOWN.value


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
    differs = tuple(message for other in others for message in _differs(other, plan))
    claims, names = (tuple(other[key] for other in others) for key in ("claim", "name"))
    return Against(answer["job"], claims, names, differs)


def elsewhere(answer: dict[str, Any], job: JobRun, plan: Brief) -> tuple[Elsewhere, ...]:
    """Return what of a job is at other stations; `plan` is that of this one's."""
    found = []
    for other in answer["others"]:
        blocks = stands_against(other, bool(job.batches)) and not _is_settled(other, job)
        differs = _differs(other, plan) if blocks else ()
        lines = tuple(other["lines"])
        found.append(Elsewhere(other["name"], other["claim"], blocks, lines, differs))
    return tuple(found)


def _is_settled(other: dict[str, Any], job: JobRun) -> bool:
    """Whether a supervisor here decided over another plan, whoever presses by it."""
    return not {*other["alike"]}.isdisjoint(job.settled)


def _differs(other: dict[str, Any], plan: Brief) -> tuple[Message, ...]:
    if other["agrees"] != OTHER or not plan:
        return ()
    return differences(other["plan"], plan, other["name"])


def told(answer: dict[str, Any], plan: Brief) -> Iterator[Message]:
    """Yield by which plan the others press a shared order, where it is not this station's."""
    for other in answer["others"]:
        if other["agrees"] == OTHER:
            yield say("page.apart", station=other["name"])
            yield from _differs(other, plan)
    yield from uncompared(answer)


def uncompared(answer: dict[str, Any]) -> Iterator[Message]:
    """Yield that nobody can say by which plan others press a shared order, and what helps."""
    shared = [other for other in answer["others"] if other["claim"] and other["shared"]]
    names = tuple(dict.fromkeys(o["name"] for o in shared if o["agrees"] == UNKNOWN))
    if not answer["compares"] and shared:
        yield say("station.plan_not_kept")
    elif names:
        yield say("station.plan_unknown", station=names)
