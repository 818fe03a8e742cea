"""What stations made of a job: the result of each of its lines."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from kiosk.log.facts import FINISHED, RESULT, FactSource

MADE = f"""SELECT job, line, {RESULT} FROM garment WHERE job IN ({{}})
GROUP BY job, line, copy HAVING max(replaced_by) = 0"""
TITLES = "SELECT job, title, due FROM job WHERE job IN ({}) ORDER BY seq DESC"
LATELY = "SELECT job FROM stint WHERE shift > (SELECT coalesce(max(shift), 0) - ? FROM shift)"
SHIFTS_BACK = 3


class JobOutput(NamedTuple):
    """What one station, or all together, made of a job, with the result of each line."""

    job: str
    title: str
    due: str
    lines: Mapping[str, str]

    def also(self, other: "JobOutput") -> "JobOutput":
        """Return both stations' parts; a line in both is done if either has finished it."""
        lines = {**other.lines, **self.lines}
        lines |= {line: result for line, result in other.lines.items() if result in FINISHED}
        return self._replace(lines=lines)

    @property
    def ordered(self) -> int:
        """Number of garments ordered."""
        return len(self.lines)

    @property
    def done(self) -> int:
        """Number of garments good or accepted."""
        return sum(result in FINISHED for result in self.lines.values())

    @property
    def rework(self) -> int:
        """Number of garments waiting for rework."""
        return sum(result == "rework" for result in self.lines.values())

    @property
    def left(self) -> int:
        """Number of garments not done."""
        return max(0, self.ordered - self.done)


def pooled(outputs: Iterable[JobOutput]) -> list[JobOutput]:
    """Return each job over all stations: unfinished ones first, by due day."""
    return sorted(by_job(outputs), key=lambda m: (m.left == 0, m.due or "9", m.title, m.job))


def by_job(outputs: Iterable[JobOutput]) -> list[JobOutput]:
    """Return each job once, with what all its stations made of it, in the order given.

    If two share a title, their names follow it.
    """
    found: dict[str, JobOutput] = {}
    for each in outputs:
        found[each.job] = found[each.job].also(each) if each.job in found else each
    counts = Counter(each.title for each in found.values())
    return [
        each._replace(title=f"{each.title} ({each.job})") if counts[each.title] > 1 else each
        for each in found.values()
    ]


def jobs_made(
    source: FactSource, condition: str = LATELY, most: int = SHIFTS_BACK
) -> tuple[JobOutput, ...]:
    """Return what a station made of the jobs that `condition` selects, newest first."""
    lines: dict[str, dict[str, str]] = {}
    for job, line, result in source.rows(MADE.format(condition), most):
        lines.setdefault(job, {})[line] = result
    return tuple(
        JobOutput(job, title, due, {**_untaken(source, job), **lines[job]})
        for job, title, due in source.rows(TITLES.format(condition), most) if job in lines
    )  # fmt: skip


def _untaken(source: FactSource, job: str) -> dict[str, str]:
    return {line: "open" for line, *_ in source.untaken.get(job, ())}
