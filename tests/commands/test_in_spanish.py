"""A shop that speaks Spanish: what people read is Spanish, what programs read stays as it is."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from command_line import ROOT, kiosk

JOB = "raft-polo"


@pytest.fixture(scope="module")
def spanish(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The shop's recipes with the station's language changed."""
    folder = tmp_path_factory.mktemp("shop") / "recipes"
    shutil.copytree(ROOT / "recipes", folder)
    shop = folder / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("language: en", "language: es"), "utf-8")
    return str(folder)


def test_a_plan_is_told_in_spanish(spanish: str) -> None:
    (panel,) = json.loads(kiosk("plan", JOB, "--json").out)["panels"]
    tack = next(each["dwell_s"] for each in panel["closings"] if each["purpose"] == "tack")
    said = kiosk("plan", JOB, "--recipes", spanish)
    assert said.code == 0
    for words in (
        "Cargar la prenda (espalda)",
        f"Fijado de {tack} s",
        "cubierta",
        "Toques por prenda",
    ):
        assert words in said.out
    for words in ("Load the", f"Tack {tack} s", "Take the carriers", "Time:"):
        assert words not in said.out


def test_check_and_help_are_spanish_too(spanish: str) -> None:
    assert "Recetas leídas" in kiosk("check", "--recipes", spanish).out
    said = kiosk("plan", "--help", "--recipes", spanish)
    assert said.code == 0
    assert said.out.startswith("uso: kiosk plan")
    assert "la carpeta del trabajo" in said.out


@pytest.mark.parametrize(("lang", "begins"), [("es_MX.UTF-8", "uso:"), ("C.UTF-8", "usage:")])
def test_where_there_is_no_shop_help_speaks_the_machines_language(
    lang: str, begins: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LC_ALL", lang)
    assert kiosk("plan", "--help", "--recipes", str(tmp_path)).out.startswith(begins)


def test_what_programs_read_is_the_same_in_both(spanish: str) -> None:
    english = str(ROOT / "recipes")
    both = [kiosk("plan", JOB, "--json", "--recipes", each).out for each in (english, spanish)]
    assert json.loads(both[0]) == json.loads(both[1])
