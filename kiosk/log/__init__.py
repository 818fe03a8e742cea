"""The station's record: stores the events for good and reads facts from them."""

from pathlib import Path


def default_log() -> Path:
    """Return the log's default path, in the user's data folder; nothing is created."""
    import platformdirs  # takes 20 ms, which a start with --log can save

    folder = platformdirs.user_data_path("press-station-kiosk", appauthor=False)
    return folder / "station.sqlite3"
