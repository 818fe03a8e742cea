"""The shop's server on the screen: shown only to a supervisor, and fitting on every screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from mistakes import PLAIN, at, hands
from station_driver import Person
from station_harness import Bench
from station_tour import SIZES, TONGUES
from test_report_pages import assert_twelve, wrong_with
from test_supervisor_pages import all_choices, headline, to_the_supervisor

from kiosk.plan.model import Phase
from kiosk.run.facts import ScreenKind
from kiosk.run.state import TicketStage, commands
from kiosk.run.state.rules import NO_RULES
from kiosk.station.demo.play import WindowSize
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.at_server import AtServer, garments_of
from kiosk.station.desk.jobs.begin import alone_or_shared
from kiosk.station.desk.pages import AT_WORK, SHEETS
from kiosk.station.desk.sending_process import SendingProcess
from kiosk.station.desk.sheet import PageKind, Sheet
from kiosk.words import Words

WALL = 1_800_000_000.0
PARTED = {"id": "shop.parted", "values": {"last": 91, "shop": 80, "seq": 64}}
AWAY = {"id": "shop.away", "values": {"why": "connection to server at 192.0.2.7 timed out"}}
LOCKED = {"id": "shop.no_entry", "values": {"why": (
    'no pg_hba.conf entry for host "192.0.2.70", user "press-1", database "press", no encryption'
)}}  # fmt: skip
CASES: list[tuple[dict[str, Any], int | None, str]] = [
    ({"state": "starting"}, None, "the shop's server is not reached yet"),
    ({"state": "away", "message": AWAY}, None, "the shop's server is away"),
    ({"state": "sent"}, 0, "everything is at the shop's server"),
    ({"state": "sent"}, 1, "1 event to send to the shop's server"),
    ({"state": "away", "message": AWAY}, 214, "the shop's server is away: 214 events to send"),
    ({"state": "wrong", "message": LOCKED}, 0, "nothing is sent to the shop's server"),
    (
        {"state": "parted", "message": PARTED}, 3,
        "this record has parted from the shop's: nothing is sent",
    ),
]  # fmt: skip
LONGEST = 6  # in Spanish
LARGE = (*SIZES[2:], WindowSize(1920, 1080, 13.3))


def says(person: Person, behind: int | None = 0, **told: Any) -> None:
    """Let the child process report this; the server is `behind` events behind."""
    beside = person.station.desk.sending
    assert beside is not None
    if behind is not None:
        told |= {"last": person.station.shell.recorder.last - behind, "at": WALL}
    beside._take(told)
    person.stage.pass_time(1.1)


def test_only_a_supervisor_sees_what_waits_to_be_sent_and_why(bench: Bench, tmp_path: Path) -> None:
    person = hands(at(bench, tmp_path, job=PLAIN), Phase.LOAD)
    desk = person.station.desk
    assert desk.sending is None  # a shop without a server
    desk.sending = SendingProcess(("nobody starts it",))
    for told, behind, _ in CASES:
        says(person, behind, **told)
        assert "server" not in person.texts()
        assert "parted" not in person.texts()
    to_the_supervisor(person)
    headline(person, CASES[-1][2])
    desk.sending = SendingProcess(("nobody starts it",))
    looks = [(look, tongue) for look in SIZES for tongue in TONGUES]
    large = [(look, tongue) for look in LARGE for tongue in ("en", "es")]
    drawn, shifts = [], []
    for nth, (told, behind, line) in enumerate(CASES):
        says(person, behind, **told)
        assert all_choices(person)["The shop's server"] == line
        person.choose("This shift")
        assert line in person.texts().replace("\n", " ")
        for look, tongue in large if nth == LONGEST else large[nth :: len(CASES)]:
            shifts.append((SHEETS[PageKind.REPORT](desk, TONGUES[tongue]()), look, tongue))
        person.choose("back")
        desk.go(PageKind.SHOP)
        person.station.refresh()
        headline(person, line)
        said = person.texts().replace("\n", " ")
        assert ("192.0.2.7" in said) is (told.get("message") in (AWAY, LOCKED))
        assert ("same up to event 64" in said) is (told["state"] == "parted")
        long = told.get("message") is LOCKED
        for look, tongue in looks if long else looks[nth :: len(CASES)]:
            drawn.append((look, tongue, line, SHEETS[PageKind.SHOP](desk, TONGUES[tongue]())))
        person.choose("back")
    person.close()
    for shift in shifts:
        assert_twelve(bench, *shift)
    faults: list[str] = []
    for look, tongue, line, sheet in drawn:
        bench.resize(look.width, look.height)
        faults += wrong_with(look, tongue, f"{look.name} {tongue} {line}", sheet, bench)
    assert faults == []


SOUTH = {"name": "press-2", "claim": 7, "shared": False, "copy": False, "sent": WALL,
         "agrees": "same", "plan": None, "alike": [], "unfinished": ()}  # fmt: skip
ROWS = [[str(n), str(n + 20), "AM", f"digest-{n}", ""] for n in range(1, 13)]


def answers(person: Person, others: list[dict[str, Any]], *batches: dict[str, Any]) -> None:
    """Let the child process pass on this answer of the server about the current job."""
    desk = person.station.desk
    assert desk.sending is not None
    answer = {"job": desk.shell.state.current, "ours": True, "others": others, "compares": True,
              "left": []}  # fmt: skip
    desk.of(AtServer).exchange()
    number = desk.sending._number
    says(person, number=number, state="sent", answer={**answer, "batches": list(batches)})


def batch(number: int, name: str, ours: bool = False, done: bool = False) -> dict[str, Any]:
    rows = ROWS[4 * number - 4 : 4 * number]
    return {"batch": number, "garments": rows, "name": name, "ours": ours, "done": done}


def test_conflicting_claims_and_garments_elsewhere_fit_on_every_screen(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, "".join(f"{n},AM,QUILLON,{n + 20}\n" for n in range(1, 5)), PLAIN)
    desk, drawn = person.station.desk, dict[str, dict[str, Sheet]]()
    desk.sending = person.station.parts.sending or SendingProcess(("nobody starts it",))

    def note(name: str, make: Callable[[Desk, Words], Sheet]) -> None:
        person.station.refresh()
        drawn[name] = {tongue: make(desk, words()) for tongue, words in TONGUES.items()}

    lines = tuple(str(n) for n in range(1, 4))
    answers(person, [SOUTH | {"lines": lines, "unfinished": lines}])
    assert person.view.kind is ScreenKind.LOT
    assert "This job is also at press-2" in person.texts().replace("\n", " ")
    assert "Pressed at press-2: 21, 22, 23" in person.texts().replace("\n", " ")
    assert "QUILLON" not in person.texts()
    note("met", AT_WORK[ScreenKind.LOT])
    person.choose("Put the job back")
    desk.look_at(desk.offers[0])
    offer = desk.offer
    assert offer is not None
    note("alone or not", lambda desk, words: alone_or_shared(desk, offer, words))
    assert offer.plan is not None
    start = commands.StartJob(
        "shared", offer.plan, "hash", garments_of(ROWS[:1]), rules=NO_RULES, batch=1, whole=12
    )
    desk.shell.do(start)
    job = desk.shell.state.job
    assert job is not None
    desk.shell.do(commands.RuleOnTicket(job.slot, TicketStage.VOID, "SV", "agreed"))
    desk.go_on()
    known = SOUTH | {"shared": True, "lines": ("5", "6"), "unfinished": ("6",)}
    answers(person, [known], batch(1, "north", ours=True, done=True), batch(2, "press-2"),
            batch(3, ""), batch(4, "press-2") | {"garments": []})  # fmt: skip
    note("done", AT_WORK[ScreenKind.DONE])
    said = person.texts().replace("\n", " ")
    assert "done 4 of 12, here 0, at other presses 4, not taken 4" in said
    assert "(batch 4 there): no press takes them" in said
    desk.go(PageKind.HAND_OVER)
    note("hand over", SHEETS[PageKind.HAND_OVER])
    desk.go(PageKind.SHOP)
    note("shop", SHEETS[PageKind.SHOP])
    person.choose("4 garments at press-2")
    assert "Known to be pressed: 25" in person.texts().replace("\n", " ")
    assert "Pressed there, not finished: 26" in person.texts().replace("\n", " ")
    person.choose("Number 27")
    note("give back", SHEETS[PageKind.SHOP])
    person.close()
    faults: list[str] = []
    for nth, (name, sheets) in enumerate(drawn.items()):
        for look, tongue in [(look, tongue) for look in SIZES for tongue in TONGUES][nth::5]:
            bench.resize(look.width, look.height)
            title = f"{look.name} {tongue} {name}"
            faults += wrong_with(look, tongue, title, sheets[tongue], bench)
    assert faults == []


def test_a_job_at_a_copy_of_the_tablet_fits_on_every_screen(bench: Bench, tmp_path: Path) -> None:
    """It is called a copy: under its own name an operator would take it for this tablet."""
    person = at(bench, tmp_path, "".join(f"{n},AM,QUILLON,{n + 20}\n" for n in range(1, 5)), PLAIN)
    desk = person.station.desk
    desk.sending = person.station.parts.sending or SendingProcess(("nobody starts it",))
    lines = tuple(str(n) for n in range(1, 4))
    answers(person, [SOUTH | {"copy": True, "lines": lines, "unfinished": lines}])
    assert person.view.kind is ScreenKind.LOT
    said = person.texts().replace("\n", " ")
    assert "This job is also at a copy of this tablet" in said
    assert "Pressed at a copy of this tablet: 21, 22, 23" in said
    assert "Another tablet works with a copy of this one's record" in said
    assert "press-2" not in said
    person.station.refresh()
    drawn = {tongue: AT_WORK[ScreenKind.LOT](desk, words()) for tongue, words in TONGUES.items()}
    person.close()
    faults: list[str] = []
    for look in SIZES:
        bench.resize(look.width, look.height)
        for tongue, sheet in drawn.items():
            faults += wrong_with(look, tongue, f"{look.name} {tongue}", sheet, bench)
    assert faults == []
