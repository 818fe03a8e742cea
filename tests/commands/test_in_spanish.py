"""A Spanish-speaking shop: text for people is in Spanish, output for programs is unchanged."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from command_line import ROOT, kiosk, kiosk_here

from kiosk.commands.usage import translated
from kiosk.words import Words

JOB = "raft-polo"


@pytest.fixture(scope="module")
def spanish(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the shop's recipes folder with the station's language set to Spanish."""
    folder = tmp_path_factory.mktemp("shop") / "recipes"
    shutil.copytree(ROOT / "recipes", folder)
    shop = folder / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("language: en", "language: es"), "utf-8")
    return str(folder)


def test_a_plan_is_printed_in_spanish(spanish: str) -> None:
    (panel,) = json.loads(kiosk("plan", JOB, "--json").out)["panels"]
    tack = next(each["dwell_s"] for each in panel["closings"] if each["purpose"] == "tack")
    result = kiosk("plan", JOB, "--recipes", spanish)
    assert result.code == 0
    for words in (
        "Cargar la prenda (espalda)",
        f"Fijado de {tack} s",
        "cubierta",
        "Toques por prenda",
    ):
        assert words in result.out
    for words in ("Load the", f"Tack {tack} s", "Take the carriers", "Time:"):
        assert words not in result.out


def test_check_and_help_are_spanish_too(spanish: str) -> None:
    assert "Recetas leídas" in kiosk("check", "--recipes", spanish).out
    result = kiosk("plan", "--help", "--recipes", spanish)
    assert result.code == 0
    assert result.out.startswith("uso: kiosk plan")
    assert "la carpeta del trabajo" in result.out


@pytest.mark.parametrize(("lang", "begins"), [("es_MX.UTF-8", "uso:"), ("C.UTF-8", "usage:")])
def test_without_a_shop_help_is_in_the_systems_language(
    lang: str, begins: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LC_ALL", lang)
    assert kiosk("plan", "--help", "--recipes", str(tmp_path)).out.startswith(begins)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (["plan"], "falta: JOB"),
        (["plan", JOB, "--jsno", "x"], "no se conoce: --jsno x"),
        (["plan", JOB, "--png"], "--png: falta el valor"),
        (["report", "--h", "x"], '"--h" puede ser --help, --html'),
        (["plan", JOB, "--json=3"], '--json: no lleva valor; se encontró "3"'),
        (["demo", "--language", "fr"], '--language: no hay "fr"; se admite: en, es'),
        (["shop", "gone"], 'init|add|status: no hay "gone"; se admite: init, add, status'),
        (["simulate", JOB, "--garments", "-1x"], "--garments: falta el valor"),
        (["simulate", JOB, "--garments", "x"], '--garments: escribir un número entero, 0 o más; '
         'se encontró "x"'),
    ],
)  # fmt: skip
def test_usage_errors_are_in_spanish(spanish: str, typed: list[str], message: str) -> None:
    result = kiosk(*typed, "--recipes", spanish)
    assert result.code == 2
    assert result.err.startswith("uso: kiosk ")
    whole_line = "kiosk" if "--jsno" in typed else f"kiosk {typed[0]}"
    assert result.err.endswith(f"\n{whole_line}: error de uso: {message}\n")


def test_an_unknown_command_is_reported_in_spanish(
    spanish: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("LC_ALL", "es_MX.UTF-8")
    monkeypatch.chdir(tmp_path)
    gone = kiosk_here("gone")
    assert gone.code == 2
    assert 'kiosk: error de uso: COMMAND: no hay "gone"; se admite: run, check, plan' in gone.err
    nothing = kiosk_here()
    assert nothing.err.endswith("kiosk: error de uso: falta: COMMAND\n")
    assert translated("a sentence of a later Python", Words("es")) == "a sentence of a later Python"


def test_json_is_the_same_in_both_languages(spanish: str) -> None:
    english = str(ROOT / "recipes")
    both = [kiosk("plan", JOB, "--json", "--recipes", each).out for each in (english, spanish)]
    assert json.loads(both[0]) == json.loads(both[1])
