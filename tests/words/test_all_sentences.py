"""Every sentence with every possible value, in both languages, is well formed.

`python -m tests.words.all_sentences FILE` lists them for people to read; this tests what a
program can check. The rules of Spanish are those of the Real Academia Española's grammar:
`a el` and `de el` contract (al, del), a feminine noun that begins with a stressed a has `el`.
"""

from __future__ import annotations

import re

import pytest
from all_sentences import ENGLISH, fields, sentences, values

from kiosk.words import Words
from kiosk.words.speak import catalogue

SPANISH = catalogue("es")
HERS = (
    "prenda|plancha|pieza|capa|hoja|manga|espalda|talla|ficha|película|letra|cifra|tela|línea|fila"
    "|lista|tarjeta|camiseta|almohadilla|costura|estación|sonda|tableta|prueba|muestra|causa"
    "|receta|temperatura|presión|comprobación|suposición|bolsa|barra"
)
HIS = (
    "delantero|pecho|pantalón|nombre|número|soporte|respaldo|plato|estante|trabajo|turno|contorno"
    "|borde|lote|material|ajuste|pedal|despegue|fijado|prensado|defecto|operador|supervisor"
    "|registro|suceso|taller|color|cierre|tiempo|cuello|puño|dibujo"
)
DONE = (
    "puest|cargad|prensad|despegad|fijad|apartad|buen|nuev|equivocad|derech|izquierd|list"
    "|desechad|preprensad|aprobad|colocad|cerrad|abiert"
)
WRONG = {
    "es": re.compile(
        rf"\b(de|a) el\b|\b(la|una) (agua|área|alma|arma)\b"
        rf"|\b(el|del|al|un|este|ese|ningún|otro) ({HERS})\b"
        rf"|\b(la|una|esta|esa|ninguna|otra) ({HIS})\b"
        rf"|\b(los|unos|estos|otros) ({HERS})s\b|\b(las|unas|estas|otras) ({HIS})e?s\b"
        rf"|\b({HERS}) ({DONE})o\b|\b({HIS}) ({DONE})a\b",
        re.I,
    ),
    "en": re.compile(r"\ba [aeio]\w+|\ban [bcdfgjklmnpqrstvwxyz]\w+|\bthe the\b|\ba an?\b", re.I),
}
ODD = re.compile(r"[{}]|  |\s[,.;:?!)]|\( |^\s|\s$|Message\(")
RIGHT = re.compile(  # found by the rules above, but correct: a garment's number, files, lines
    r"la número \d|espalda derecha| \.(yaml|csv|xlsx|venv|/)|_+  |\d scrap$|0 hecho;", re.I
)


def pairs(language: str) -> tuple[set[str], set[str]]:
    """Return singular and plural nouns, as found in the counted sentences."""
    found = catalogue(language)
    one, more = set(), set()
    for id_ in found.counted:
        first, other = (re.findall(r"{\w+}|[^\W\d_]+", form) for form in found.forms[id_])
        if len(first) == len(other):
            for a, b in zip(first, other, strict=True):
                if a != b and re.fullmatch(rf"{a}e?s|{a[:-1]}ones", b):
                    one.add(a.lower())
                    more.add(b.lower())
    return one - more, more - one


def test_every_field_of_a_sentence_has_example_values() -> None:
    for id_ in ENGLISH.forms:
        for field in fields(id_):
            assert values(id_, field), (id_, field)


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_sentence_is_well_formed_with_every_value(language: str) -> None:
    words, wrong = Words(language), []
    one, more = ("|".join(sorted(each)) for each in pairs(language))
    counts = re.compile(rf"(?<![\w.,:/–-])(1 ({more})|(0|2|15) ({one}))\b", re.I)
    for id_ in ENGLISH.forms:
        for sentence in dict.fromkeys(words.say(each) for each in sentences(id_)):
            text = RIGHT.sub("#", sentence)
            for rule in (ODD, WRONG[language], counts):
                if (found := rule.search(text)) is not None:
                    wrong.append(f"{id_}: {found[0]!r} in {sentence!r}")
    assert wrong == []


def test_the_rules_find_known_mistakes() -> None:
    assert {"prenda", "pieza"} <= pairs("es")[0]
    for bad in ("el borde de el plato", "la agua", "este prenda", "una nombre", "prenda puesto"):
        assert WRONG["es"].search(bad), bad
    for bad in ("{count} s", "a  b", "tela , hilo", " x"):
        assert ODD.search(bad), bad
