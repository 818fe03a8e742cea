"""After a stop in a final, the pedal alone gives the garment its result."""

from __future__ import annotations

from pathlib import Path

from station_driver import LONG_SECONDS, Foot, small
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import Closed, Finished
from kiosk.run.state.model import TicketStage


def stopped_in_a_final(bench: Bench, place: Path) -> Foot:
    foot = small(bench, place, by=Foot)
    assert isinstance(foot, Foot)
    foot.to_heat(2)
    foot.restart("another boot")
    assert foot.view.kind is ScreenKind.OPEN_FIRST
    bench.pass_time(1.0)
    foot.press()
    assert foot.view.inspecting
    return foot


def test_a_garment_of_unknown_outcome_can_be_called_good(bench: Bench, tmp_path: Path) -> None:
    foot = stopped_in_a_final(bench, tmp_path)
    assert foot.view.bar.meaning is None
    foot.choose("Good")
    (result,) = [e for e in foot.events() if isinstance(e, Finished)]
    assert (result.ticket, result.stage) == ("1/1/1", TicketStage.GOOD)


def test_a_garment_of_unknown_outcome_can_be_scrapped_with_its_cause(
    bench: Bench, tmp_path: Path
) -> None:
    foot = stopped_in_a_final(bench, tmp_path)
    foot.choose("Scrap", "scorch", "pressed too long")
    (result,) = [e for e in foot.events() if isinstance(e, Finished)]
    assert (result.stage, result.defect, result.cause) == (TicketStage.SCRAP, "scorch", "over_run")


def test_scrap_chosen_by_mistake_can_be_cancelled_by_pedal(bench: Bench, tmp_path: Path) -> None:
    foot = stopped_in_a_final(bench, tmp_path)
    foot.choose("Scrap", "scorch", "cancel", "cancel", "Good")
    (result,) = [e for e in foot.events() if isinstance(e, Finished)]
    assert (result.stage, result.defect, result.cause) == (TicketStage.GOOD, "", "")


def test_a_garment_with_wrong_pieces_tacked_can_be_scrapped_before_its_final(
    bench: Bench, tmp_path: Path
) -> None:
    """Before any heat there is nothing to scrap; after it, nobody has to finish pressing first."""
    foot = small(bench, tmp_path, "raft-polo", "1", by=Foot)
    assert isinstance(foot, Foot)
    foot.answer()
    foot.press_pedal(LONG_SECONDS)
    assert "27: Scrap" not in foot._steps()
    foot.choose("Go on")
    foot.to_heat(2)
    foot.until_open()
    bench.pass_time(1.0)
    foot.press_pedal(LONG_SECONDS)
    foot.choose("27: Scrap", "wrong piece", "wrong pieces pulled")
    (result,) = [e for e in foot.events() if isinstance(e, Finished)]
    assert (result.ticket, result.stage, result.cause) == ("1/1/1", TicketStage.SCRAP, "wrong_pull")
    assert not any(isinstance(e, Closed) and e.step > 3 for e in foot.events())
    foot.answer()
    assert foot.view.ticket == "1/1/2"
