"""The station's record: what happened, kept for good, and what is read of it."""

from pathlib import Path


def default_log() -> Path:
    """Return the log's default path, in the user's data folder; nothing is created."""
    import platformdirs  # 20 ms that a start with --log does not need

    folder = platformdirs.user_data_path("press-station-kiosk", appauthor=False)
    return folder / "station.sqlite3"
