"""File errors in the shop's language; the tests cause real errors of the system."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from kiosk.catalog.base import say, why_of
from kiosk.words import Words


def full(_: Path) -> None:
    with Path("/dev/full").open("wb", buffering=0) as file:
        file.write(b"a")


def gone(place: Path) -> None:
    (place / "none").read_bytes()


def long(place: Path) -> None:
    (place / ("n" * 300)).read_bytes()


def folder(place: Path) -> None:
    place.read_bytes()


def below_a_file(place: Path) -> None:
    (place / "file").write_bytes(b"")
    (place / "file" / "under").read_bytes()


def ring(place: Path) -> None:
    (place / "ring").symlink_to(place / "ring")
    (place / "ring").read_bytes()


def taken(place: Path) -> None:
    (place / "here").mkdir()
    (place / "here").mkdir()


def many(place: Path) -> None:
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (3, hard))
    try:
        os.open(place, os.O_RDONLY)
    finally:
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


@pytest.mark.parametrize(
    ("act", "english", "spanish"),
    [
        (full, "the disk is full", "el disco está lleno"),
        (gone, "it is not there", "no está ahí"),
        (long, "its name is too long", "su nombre es demasiado largo"),
        (folder, "it is a folder", "es una carpeta"),
        (below_a_file, "a part of its path is no folder", "una parte de la ruta no es una carpeta"),
        (ring, "its links go in a circle", "sus enlaces dan vueltas en círculo"),
        (taken, "something is already there", "ya hay algo ahí"),
        (many, "too many files are open", "hay demasiados archivos abiertos"),
    ],
)
def test_a_system_error_is_shown_in_the_shops_language(
    tmp_path: Path, act: Callable[[Path], None], english: str, spanish: str
) -> None:
    with pytest.raises(OSError, match="Errno") as caught:
        act(tmp_path)
    message = say("catalog.order.unwritten", why=why_of(caught.value))
    assert Words("en").say(message) == f"the order cannot be written: {english}"
    assert Words("es").say(message).endswith(f": {spanish}")


def test_an_error_without_a_sentence_is_shown_in_the_systems_words() -> None:
    assert why_of(OSError(27, "File too large")) == "File too large"
    assert why_of(ValueError()) == "ValueError"
