"""A simulated week of twenty stations with cuts, kills and lost tablets, on a real server."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from random import Random

import pytest

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / room) for room in ("fuzzers", "run")]

from shop_server import Postgres  # noqa: E402 - the path above leads there
from sim_server import Sent, play_served, shop_of_week, week  # noqa: E402
from sim_shrink import fault_of  # noqa: E402
from sim_story import Ordered, Shop, Work  # noqa: E402

from kiosk.shop import Sender  # noqa: E402
from kiosk.shop.claims import Claims  # noqa: E402
from kiosk.shop.wishes import JobWish, WishAnswer  # noqa: E402


def test_a_week_of_twenty_stations_loses_nothing(postgres: Postgres, tmp_path: Path) -> None:
    """Every event once, facts equal, nothing pressed twice, every garment pressed: `finish`."""
    shop = shop_of_week(20, 80, 40)
    came = play_served(postgres, shop, week(shop, Random(1), works=9), tmp_path / "shop")
    assert came["Cut"] > 5
    assert came["died"] > 5
    assert came["TabletLost"] == 2


THREE = Shop(3, (Ordered("rack", 20, shared=True),))
TOLD = tuple(each for n in range(6) for each in (Sent(n % 3), Work(n % 3, n, 60), Sent(n % 3)))


def test_changes_from_a_second_batch_are_sent_too(postgres: Postgres, tmp_path: Path) -> None:
    """A job's number of garments, which changes with each batch until the job is done."""
    play_served(postgres, THREE, TOLD, tmp_path / "shop")


def test_a_garment_given_to_two_presses_is_detected(
    postgres: Postgres, monkeypatch: pytest.MonkeyPatch
) -> None:
    hold = Claims.hold

    def generous(self: Claims, wish: JobWish) -> WishAnswer:
        """Give each batch to any station that asks, hiding what others have pressed."""
        answer = hold(self, wish)
        batches = tuple(batch._replace(ours=True) for batch in answer.batches)
        return answer._replace(batches=batches, others=())

    monkeypatch.setattr(Claims, "hold", generous)
    assert "is forgotten" in fault_of(THREE, TOLD, how=partial(play_served, postgres))


def test_unsent_facts_are_detected(postgres: Postgres, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Sender, "_facts", lambda *_: None)
    assert fault_of(THREE, TOLD, how=partial(play_served, postgres))
