"""Seeded made-up shifts: three people, 40 garments each, two stations with presses of one name.

All people, presses and materials behave alike except for what is planted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from random import Random

from report_samples import at, facts, finished, plan

from kiosk.catalog.base.quantities import Degrees
from kiosk.log.facts.facts import (
    ClosingCount,
    EventTally,
    Facts,
    GarmentCount,
    GarmentSample,
    JobStart,
    ReportedEvent,
    StepSeconds,
    Stint,
)
from kiosk.report.period import Period
from kiosk.report.report import ReportRequest, build
from kiosk.run.state.event import Event
from kiosk.run.state.events import ReadBack
from kiosk.run.state.events_shift import PressVerified
from kiosk.run.state.model import TicketStage, TimeSource
from kiosk.run.state.rules import QuestionKind

PEOPLE = ("MK", "QV", "ZD")
STATIONS = ("north", "south")
JOBS = ("ferry", "barge")  # film and flock; pile and foil
EACH = 40
SLIPS = 0.05
CAUSES = {"laid_wrong": "off_centre", "wrong_pull": "wrong_piece", "short_press": "lifted_edge"}


@dataclass(frozen=True)
class Planted:
    """Planted deviations by person and topic, by material and by station; in seconds."""

    slips: Mapping[tuple[str, str], float] = field(default_factory=dict)
    failing: Mapping[str, float] = field(default_factory=dict)
    hands: Mapping[str, float] = field(default_factory=dict)
    tack: float = 0.3
    drift: float = 0.0
    people: tuple[str, ...] = PEOPLE
    each: int = EACH


NOTHING = Planted()


def jobs() -> dict[str, JobStart]:
    barge = plan("barge", "Barge order")
    pieces = tuple(
        replace(piece, material=material)
        for piece, material in zip(barge.pieces, ("pile", "foil"), strict=True)
    )
    return {"ferry": JobStart(plan()), "barge": JobStart(replace(barge, pieces=pieces))}


def many(rng: Random, whole: int, share: float) -> int:
    return sum(rng.random() < share for _ in range(whole))


class Shift:
    """One station's part of a shift: each person has half of their garments, a quarter per job."""

    def __init__(self, rng: Random, station: str, planted: Planted) -> None:
        self.rng, self.station, self.planted = rng, station, planted
        self.stints = [
            Stint(nth, 1, who, job, 1000 * nth + 1, 1000 * nth + 1000)
            for nth, (who, job) in enumerate((who, job) for who in planted.people for job in JOBS)
        ]
        self.tallies: list[EventTally] = []
        self.noted: list[ReportedEvent] = []
        self.seq = 0

    def made(self) -> Facts:
        quarter = self.planted.each // 4
        for stint in self.stints:
            self.stint(stint, quarter)
        total = quarter * len(self.planted.people)
        return facts(
            self.station,
            self.planted.people,
            stints=tuple(self.stints),
            jobs=jobs(),
            tallies=tuple(self.tallies),
            noted=tuple(self.noted),
            garments=tuple(GarmentCount(job, "good", True, True, True, total) for job in JOBS),
            closings=tuple(map(self.tacks, self.stints)),
            moves=tuple(map(self.hands, self.stints)),
            samples=tuple(GarmentSample(20, many(self.rng, 20, SLIPS), float(n)) for n in range(5)),
            checks=tuple((n, self.check(n)) for n in range(1, 11)),
        )

    def stint(self, stint: Stint, count: int) -> None:
        for kind, each in (("read-back", 1), ("finished", 1), ("closed", 2)):
            self.tallies.append(EventTally(stint.nth, kind, each * count, 60.0 * count, 0.0))
        for kind, topic in (("asked-quick", "quick"), ("was-closed", "opening"),
                            ("not-closed", "closing")):  # fmt: skip
            slips = many(self.rng, 2 * count, self.slip(stint, topic))
            self.tallies.append(EventTally(stint.nth, kind, slips, 0.0, 0.0))
        for nth in range(count):
            line = f"{stint.nth}-{nth}"
            if self.rng.random() < self.slip(stint, "reading"):
                self.note(stint, ReadBack(at(), f"{line}/1/1", QuestionKind.SIZE, "13", False))
            self.garment(stint, line)

    def garment(self, stint: Stint, line: str) -> None:
        pieces = jobs()[stint.job].plan.pieces
        for piece in pieces:
            if self.rng.random() < self.planted.failing.get(piece.material, SLIPS / 2):
                cause = self.rng.choice(list(CAUSES))
                self.note(
                    stint, finished(line, TicketStage.ACCEPTED, CAUSES[cause], cause, piece.name)
                )

    def slip(self, stint: Stint, topic: str) -> float:
        return self.planted.slips.get((stint.operator, topic), SLIPS)

    def note(self, stint: Stint, event: Event) -> None:
        self.seq += 1
        self.noted.append(ReportedEvent(1000 * stint.nth + self.seq, stint.nth, event))

    def tacks(self, stint: Stint) -> ClosingCount:
        seen = (TimeSource.MEASURED, TimeSource.DECLARED)[self.station == "south"]
        over = [self.rng.gauss(self.planted.tack, 0.3) for _ in range(self.planted.each // 4)]
        told = tuple((float(n), 2.0, each) for n, each in enumerate(over))
        return ClosingCount(stint.nth, 0, 2, TimeSource.DECLARED, seen, len(over), told)

    def hands(self, stint: Stint) -> StepSeconds:
        middle = self.planted.hands.get(stint.operator, 6.0)
        seconds = (middle * self.rng.lognormvariate(0, 0.3) for _ in range(self.planted.each // 4))
        return StepSeconds(stint.nth, 0, 0, 2, tuple(seconds))

    def check(self, nth: int) -> PressVerified:
        drift = self.planted.drift if self.station == "north" else 0.0
        return check(self.rng, drift * nth)


NOISE = 0.4
"""°C, of the mean of a check's five readings; made up."""


def check(rng: Random, offset: float) -> PressVerified:
    off = offset + rng.gauss(0, NOISE)
    return PressVerified(
        at(), "press-one", 150, Degrees.C, (150,) * 5, (True,) * 4, off, 2.0, 5.0, 8.0, True
    )


def period(seed: str, planted: Planted = NOTHING) -> Period:
    """Return a shift of both stations, made from its seed."""
    rng = Random(seed)
    return Period(tuple(Shift(rng, station, planted).made() for station in STATIONS))


def named(of: Period) -> dict[str, list[str]]:
    """Return the people, presses and materials that a report names."""
    report = build(ReportRequest(of, of, Period()), "", "")
    data: dict[str, object] = {}
    for topic in report.topics:
        data.update(topic.data())
    return named_in(data)


def named_in(data: Mapping[str, object]) -> dict[str, list[str]]:
    """Return the people, presses and materials named in a report's data."""
    d: dict[str, list[dict[str, str]]] = dict(data)  # type: ignore[arg-type]  # lists of these
    moves = [m for m in d["moves"] if m["word"] != "too_little"]
    checks: Mapping[str, Mapping[str, object]] = data["checks"]  # type: ignore[assignment]
    tack: Mapping[str, list[dict[str, str]]] = data["tack"]  # type: ignore[assignment]
    return {
        "people": [h["operator"] for h in d["help"]] + [m["operator"] for m in moves],
        "presses": [p["station"] for p in d["presses_apart"]]
        + [press for press, check in checks.items() if check["drifting"]]
        + [each["station"] for each in tack["too_long"]],
        "materials": [m["material"] for m in d["materials_apart"]],
    }
