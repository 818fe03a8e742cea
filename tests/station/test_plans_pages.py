"""Another plan of a shared job: the differences fit on every screen, in both languages."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from mistakes import PLAIN, at
from station_audit import clipped, faint, height_kept
from station_harness import Bench
from station_tour import SIZES, TONGUES, Glass, Stop
from test_every_page import KEPT
from test_report_pages import wrong_with
from test_shop_pages import ROWS, SOUTH, answers, batch

from kiosk.plan.brief import Brief, brief_of
from kiosk.run.facts import ScreenKind
from kiosk.run.state import commands
from kiosk.run.state.rules import NO_RULES
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import conflict_of
from kiosk.station.desk.jobs.at_server import AtServer, garments_of
from kiosk.station.desk.pages import AT_WORK, SHEETS
from kiosk.station.desk.sending_process import SendingProcess
from kiosk.station.desk.sheet import PageKind, Sheet
from kiosk.words import Words


def otherwise(ours: Brief) -> dict[str, Any]:
    """Return the same garment pressed differently in everything that is shown."""
    there: dict[str, Any] = copy.deepcopy(dict(ours))
    for _, _, setting in there["closings"]:
        setting[0] += 10
    for _, _, peel in there["peels"]:
        peel[:] = ["warm"]
    for piece in there["pieces"]:
        piece[2] = "Felt letter, dark green"
    there["steps"] = [*there["steps"][1:], ["back", "tack"]]
    there["files"] = dict.fromkeys(there["files"], "1:of others")
    return {**there, "pressed": "of others"}


def test_plan_differences_fit_on_every_screen(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path, "1,AM,QUILLON,21\n", PLAIN)
    desk, drawn = person.station.desk, dict[str, dict[str, Sheet]]()
    desk.sending = person.station.parts.sending or SendingProcess(("nobody starts it",))

    def note(name: str, make: Callable[[Desk, Words], Sheet]) -> None:
        person.station.refresh()
        drawn[name] = {tongue: make(desk, words()) for tongue, words in TONGUES.items()}

    offer = desk.offers[0]
    assert offer.plan is not None
    ours = brief_of(offer.plan, offer.made_from)
    south = SOUTH | {"shared": True, "agrees": "other", "plan": otherwise(ours), "alike": [7],
                     "lines": ()}  # fmt: skip
    desk.shell.do(commands.LeaveJob())
    desk.look_at(offer)
    new = replace(offer, folder=offer.folder.with_name("new"))
    for name, each in (("set up anew", new), ("set up", offer)):
        desk.offer, found = each, {"job": each.folder.name, "others": [south]}
        desk.of(AtServer).conflict = conflict_of(found, shared=True, plan=ours)
        note(name, SHEETS[PageKind.SET_UP])
    assert drawn["set up anew"]["en"].lines[-1].startswith("Correct the files and begin again")
    assert drawn["set up"]["en"].lines[-1].startswith("The job began here with this plan")
    assert "Felt letter, dark green at press-2" in person.texts().replace("\n", " ")

    desk.shell.do(commands.StartJob(
        "shared", offer.plan, "hash", garments_of(ROWS[:1]), rules=NO_RULES, batch=1, whole=12,
        files=offer.made_from,
    ))  # fmt: skip
    desk.go_on()
    answers(person, [south], batch(1, "north", ours=True))
    assert person.view.kind is ScreenKind.LOT
    assert "This job is pressed by another plan at press-2" in person.texts().replace("\n", " ")
    note("lot", AT_WORK[ScreenKind.LOT])
    desk.go(PageKind.SHOP)
    note("shop", SHEETS[PageKind.SHOP])
    person.close()
    faults: list[str] = []
    for name, sheets in drawn.items():
        for look in SIZES:
            for tongue in TONGUES:
                bench.resize(look.width, look.height)
                title = f"{look.name} {tongue} {name}"
                faults += wrong_with(look, tongue, title, sheets[tongue], bench)
    assert faults == []


def test_a_job_begun_with_other_files_can_be_restarted_if_nothing_is_pressed(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, "1,AM,QUILLON,21\n", PLAIN)
    desk = person.station.desk
    desk.shell.do(commands.LeaveJob())
    desk.offer = replace(desk.offers[0], changed=True)
    sheets = {tongue: SHEETS[PageKind.SET_UP](desk, words()) for tongue, words in TONGUES.items()}
    again = sheets["en"].right
    assert again is not None
    assert again.label == "begin again"
    person.close()
    for look in SIZES:
        for tongue in TONGUES:
            bench.resize(look.width, look.height)
            glass = Glass(Stop("begin again", sheets=sheets), look, tongue)
            bench.show(glass)
            assert [*clipped(glass), *faint(glass, bench.pixels())] == []
            assert height_kept(glass) >= KEPT[look.inches, tongue], (look, tongue)
            bench.clear()
