"""A server that refuses a station, or takes no data: the message says who has to fix what."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest
from log_station import Station
from shop_server import OWNER, Postgres, holds_all
from test_ship import hold

from kiosk.shop import Away, ShopFault, ship
from kiosk.shop.door import what_to_fix
from kiosk.words import Words

SHOP = "door"
FAULTS = {
    "ALTER ROLE north NOLOGIN": (
        "ALTER ROLE north LOGIN", "The server does not let this name in",
    ),
    f"REVOKE CONNECT ON DATABASE {SHOP} FROM PUBLIC": (
        f"GRANT CONNECT ON DATABASE {SHOP} TO PUBLIC", "The server does not let this name in",
    ),
    "ALTER ROLE north RENAME TO north_before": (
        "ALTER ROLE north_before RENAME TO north", "The server knows no such name",
    ),
    "ALTER ROLE north SET default_transaction_read_only = on": (
        "ALTER ROLE north RESET default_transaction_read_only",
        "The server is read-only right now",
    ),
    "ALTER TABLE shop.records RENAME ahead TO ahead_before": (
        "ALTER TABLE shop.records RENAME ahead_before TO ahead",
        "not set up for this program. Run: kiosk shop init",
    ),
    "REVOKE shop_station FROM north": (
        "GRANT shop_station TO north", "A station sends, a reader reads",
    ),
}  # fmt: skip
"""What somebody does at the server, how it is fixed, and the message meanwhile."""


@pytest.fixture(scope="module")
def database(postgres: Postgres) -> str:
    return postgres.shop(SHOP)


@pytest.fixture
def station(tmp_path: Path, postgres: Postgres, database: str) -> Iterator[Station]:
    made = Station(tmp_path / "north.sqlite3")
    made.begin(12)
    ship(made.path, postgres.at("north", SHOP))
    hold(made)
    yield made
    made.recorder.close()


@contextmanager
def refused(station: Station, postgres: Postgres) -> Iterator[ShopFault]:
    with pytest.raises(ShopFault) as caught:
        ship(station.path, postgres.at("north", SHOP))
    yield caught.value
    ship(station.path, postgres.at("north", SHOP))
    holds_all(postgres, station.path, SHOP)


@pytest.mark.parametrize("fault", FAULTS)
def test_changes_at_the_server_are_reported_with_what_to_do(
    fault: str, station: Station, postgres: Postgres
) -> None:
    mends, told = FAULTS[fault]
    with postgres.sql(name=SHOP) as owner:
        owner.execute(fault)
        with refused(station, postgres) as found:
            owner.execute(mends)
    assert not isinstance(found, Away)  # waiting does not fix it
    assert told in Words("en").say(found.message)


def test_a_station_does_not_wait_forever_for_locked_tables(
    station: Station, postgres: Postgres, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once, a psql with an open BEGIN was silently waited for as long as it stayed open."""
    monkeypatch.setattr("kiosk.shop.server.LOCK_SECONDS", 1)
    with psycopg.connect(postgres.at(OWNER, SHOP).address) as somebody:
        somebody.execute("LOCK TABLE shop.records IN EXCLUSIVE MODE")
        with refused(station, postgres) as found:
            somebody.rollback()
    assert isinstance(found, Away)
    assert "keeps the shop's tables locked" in Words("en").say(found.message)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('role "%s" does not exist', "shop.wrong_password"),
        ('role "%s" is not permitted to log in', "shop.not_let_in"),
        ("permission denied for database %s", "shop.not_let_in"),
        ('Peer authentication failed for user "%s"', "shop.not_let_in"),
    ],
)
def test_a_servers_spanish_messages_are_understood_too(text: str, message: str) -> None:
    """Checked with PostgreSQL's own catalogue from Debian's package."""
    found = sorted(Path("/usr/share/locale/es/LC_MESSAGES").glob("postgres-*.mo"))
    if not found:
        pytest.skip("no Spanish catalogue of PostgreSQL's on this machine")
    with found[-1].open("rb") as file:
        spanish: Any = gettext.GNUTranslations(file).gettext
    assert spanish(text) != text
    for told in (text, spanish(text)):
        why = what_to_fix(f"connection failed: FATAL:  {told}")
        assert why is not None
        assert why.id == message
