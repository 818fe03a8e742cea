"""A server set up as docs/shop.md says, and machines that sign in to it."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import pytest
from command_line import Result
from shop_server import OTHER, Postgres
from test_shop import DOCS, ELSEWHERE, documented, recipes, typed

from kiosk.catalog.model import Database

SECRETS = {name: f"Rare-{name}-word" for name in ("press-1", "press-2", "office")}


class Walled(Postgres):
    """A server that the network reaches, at its own port."""

    def __init__(self) -> None:
        self.port = _free_port()
        self.own_settings = f"-c listen_addresses=127.0.0.1 -p {self.port}"
        super().__init__()

    def at(self, role: str, name: str = "shared", host: str = "") -> Database:
        return Database(f"{super().at(role, name, host).address} port={self.port}")

    def again(self) -> None:
        """Restart it, so that it reads its files again."""
        self._run("pg_ctl", "stop", "-s", "-m", "fast")
        self.start()

    def has(self, *files: Path) -> None:
        """Install certificate and key as the page's line with sudo does."""
        for file in files:
            there = self.data / file.name
            shutil.copyfile(file, there)
            there.chmod(0o600)
            if self._as:
                shutil.chown(there, OTHER)

    @property
    def log(self) -> str:
        return (self.folder / "server.log").read_text("utf-8")


def _free_port() -> int:
    """Return a free port below 32768, where the system's automatic ones begin."""
    for port in range(20_000 + os.getpid() % 10_000, 32_768):
        with suppress(OSError), socket.create_server(("127.0.0.1", port)):
            return port
    raise AssertionError("every port is taken")


class Floor(NamedTuple):
    server: Walled
    keys: Path


@pytest.fixture(scope="module")
def floor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Floor]:
    """A server that was set up by the page's own lines."""
    if shutil.which("openssl") is None:
        pytest.skip("no openssl on this machine")
    keys, server = tmp_path_factory.mktemp("keys"), Walled()
    recipes(keys, f'{{database: "{server.at("owner", "press").address}"}}')
    try:
        with pytest.MonkeyPatch.context() as here:
            for key, value in {
                "PGHOST": str(server.folder), "PGPORT": str(server.port), "PGUSER": "owner",
                "PATH": f"{Path(sys.executable).parent}:{server.programs}:{os.environ['PATH']}",
            }.items():  # fmt: skip
                here.setenv(key, value)
            here.chdir(keys)
            _set_up(server, keys)
        yield Floor(server, keys)
    finally:
        server.stop()


def _set_up(server: Walled, keys: Path) -> None:
    for heading, line in documented():
        if "\\password" in line:
            _password(line)
        elif heading in ("At the server", ELSEWHERE):
            typed(line)
    page = DOCS.read_text("utf-8")
    [network] = re.findall(r"^    (hostssl .+)$", page, re.MULTILINE)
    (server.data / "pg_hba.conf").write_text(f"local all owner trust\n{network}\n")
    server.has(keys / "server.crt", keys / "server.key")
    server.again()


def _password(line: str) -> None:
    """Set the password by `psql`, which without a terminal reads it from its input."""
    [secret] = [word for name, word in SECRETS.items() if f'"{name}"' in line]
    subprocess.run(
        shlex.split(line), check=True, text=True, input=f"{secret}\n{secret}\n",
        start_new_session=True, capture_output=True,
    )  # fmt: skip


class Machine(NamedTuple):
    """A machine with the files of the page's section "The connection"."""

    home: Path

    def service(self, old: str, new: str) -> None:
        file = self.home / ".pg_service.conf"
        assert old in file.read_text()
        file.write_text(file.read_text().replace(old, new))

    def signs_in(self, name: str, secret: str = "", host: str = "press.example") -> None:
        """Sign in under that name; the password defaults to the role's own."""
        page = DOCS.read_text("utf-8")
        [line] = re.findall(r"^    (press\.example:.+)$", page, re.MULTILINE)
        file = self.home / ".pgpass"
        line = line.replace("the password", secret or SECRETS[name])
        file.write_text(line.replace("press-1", name).replace("press.example", host) + "\n")
        file.chmod(0o600)
        service = self.home / ".pg_service.conf"
        service.write_text(re.sub(r"user=.*", f"user={name}", service.read_text()))

    def trusts(self, authority: Path) -> None:
        (self.home / ".postgresql").mkdir(exist_ok=True)
        shutil.copyfile(authority, self.home / ".postgresql" / "root.crt")


@pytest.fixture
def tablet(floor: Floor, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    """A machine that signs in as press-1, with nothing wrong; programs run as if on it."""
    page = DOCS.read_text("utf-8")
    [block] = re.findall(r"^    \[press\]\n(?:    .+\n)+", page, re.MULTILINE)
    place = f"hostaddr=127.0.0.1\nport={floor.server.port}\n"
    (tmp_path / ".pg_service.conf").write_text(block.replace("    ", "") + place)
    made = Machine(tmp_path)
    made.signs_in("press-1")
    made.trusts(floor.keys / "root.crt")
    for name in ("PGHOST", "PGPORT", "PGUSER", "PGSERVICEFILE", "PGPASSFILE", "PGPASSWORD"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.chdir(recipes(tmp_path, '{database: "service=press"}').parent)
    (tmp_path / "data" / "press-station-kiosk").mkdir(parents=True)
    return made


def log_of(tablet: Machine) -> Path:
    return tablet.home / "data" / "press-station-kiosk" / "station.sqlite3"


def holds_no_secret(floor: Floor, said: Result) -> None:
    for told in (said.out, said.err, floor.server.log):
        assert not [word for word in (*SECRETS.values(), "Wrong-word") if word in told]
