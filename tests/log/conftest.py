"""A made-up record with no faults, and a copy of it for each test."""

import shutil
import sys
from pathlib import Path

import pytest
from log_station import simulated

sys.path.append(str(Path(__file__).resolve().parents[1] / "commands"))  # records are read by it


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record of 25 garments; no test writes to it."""
    path = tmp_path_factory.mktemp("whole") / "station.sqlite3"
    simulated(path, 25, seed=4)
    return path


@pytest.fixture
def path(whole: Path, tmp_path: Path) -> Path:
    """A copy of the record under test: `whole` here, or a file's own."""
    shutil.copy(whole, tmp_path)
    return tmp_path / whole.name
