"""Purchases, pick list, bag labels, and the columns of a roster, on the command line."""

from __future__ import annotations

import json
import random
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from command_line import kiosk, process
from shop_folders import NAMES, write, write_shop

PACKS = {
    "spares": {"digits": {"share": "5 %", "least": 1}},
    "packs": {
        "five": {"title": "Five of one", "of_one": 5, "characters": "0123456789", "price": "4.50"},
        "kit": {"title": "Kit of 60", "mix": dict.fromkeys(range(10), 6), "price": "36"},
    },
}
# The roster: 31 and 00 on adults (10 in), 13 on a youth (8 in); one spare of each digit
SPARE_ADULT = {"0": 1, "1": 1, "3": 1}


def shop(tmp_path: Path, roster: str | None = None, **files: object) -> list[str]:
    job = write_shop(tmp_path, **({} if roster is None else {"roster": roster}))
    for name, content in files.items():
        write(tmp_path / "recipes" / f"{name}.yaml", content)
    return job


def picks(job: list[str], *more: str) -> Any:
    return json.loads(kiosk("plan", *job, "--json", *more).out)["picks"]


class Page(HTMLParser):
    """The text of a page, and what it loads from elsewhere."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in {"src", "href"}]

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def page(tmp_path: Path, job: list[str], *more: str) -> str:
    path = tmp_path / "picks.html"
    assert kiosk("plan", *job, "--picks", str(path), *more).code == 0
    return path.read_text("utf-8")


def test_without_packs_picks_has_nothing_to_buy_or_missing(tmp_path: Path) -> None:
    found = picks(shop(tmp_path))
    assert list(found)[:2] == ["garments", "pieces"]
    assert (found["purchase"], found["purchase_price"], found["shortage"]) == ([], 0, None)
    assert found["twins"] == []


def test_the_json_says_what_to_buy_and_what_is_left_over(tmp_path: Path) -> None:
    found = picks(shop(tmp_path, packs=PACKS))
    adult = {"material": "film", "colour": "red", "height_in": 10, "layer": 1, "layers": 1}
    assert {**adult, "count": 3, "characters": SPARE_ADULT} in found["spares"]
    five = {"pack": "five", "character": "0", "count": 1, "price": 4.5}
    assert {**five, **adult} in found["purchase"]
    assert found["purchase_price"] == 5 * 4.5  # 0, 1, 3 for adults; 1, 3 for the youth
    assert {**adult, "count": 8, "characters": {"0": 2, "1": 3, "3": 3}} in found["leftover"]
    assert {name["height_in"] for name in found["not_in_packs"]} == {2, 2.5}


def test_the_stock_is_compared_with_the_need_before_the_job(tmp_path: Path) -> None:
    drawer = {"material": "film", "colour": "red", "height": "10 in", "pieces": {"0": 9, "1": 1}}
    found = picks(shop(tmp_path, packs=PACKS, stock={"drawers": [drawer]}))
    short = [each for each in found["shortage"] if each["height_in"] == 10]
    assert [each["characters"] for each in short] == [{"1": 1, "3": 2}]
    output = kiosk("plan", *shop(tmp_path, packs=PACKS, stock={"drawers": [drawer]})).out
    assert "Short of stock, spares counted:\n" in output


def test_the_text_names_purchase_spares_and_twins(tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,AL,KOVA,6\n2,AL,OKORO,9\n"
    output = kiosk("plan", *shop(tmp_path, roster, packs=PACKS)).out
    assert "Buy (lowest price: 9.00):\n" in output
    assert "  red (Plain cut film), 10 in: 1 × Five of one, 6, 4.50\n" in output
    assert "Spares, pull these too:\n  red (Plain cut film), 10 in: 6×1  9×1\n" in output
    assert "6 / 9" in output


def test_an_unknown_size_does_not_stop_the_plan(tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,HUGE,KOVA,31\n2,AL,OKORO,13\n"
    job = shop(tmp_path, roster)
    assert kiosk("plan", *job).code == 0
    found = picks(job)
    assert found["garments_without_size"] == 1
    assert [g["characters"] for g in found["pieces"] if g["element"] == "number"] == [
        {"1": 1, "3": 1}
    ]
    assert "size not known" in page(tmp_path, job)


def test_the_printed_list_loads_nothing_and_has_no_names(tmp_path: Path) -> None:
    html = page(tmp_path, shop(tmp_path, packs=PACKS))
    assert not any(name in html for name in NAMES)
    assert Page(html).links == []
    assert {"script", "img", "link"}.isdisjoint(Page(html).tags)
    text = " ".join(Page(html).texts).replace("\u00a0", " ")
    for part in ("0×2", "back number: 31, red, 10 in", "back name: 8 letters", "Five of one"):
        assert part in text
    assert "red (Plain cut film)" in text  # by its title, not its key
    assert "red film" not in text


def test_each_garment_has_a_label_with_its_line_and_size(tmp_path: Path) -> None:
    text = " ".join(" ".join(Page(page(tmp_path, shop(tmp_path))).texts).split())
    for label in ("31 AL line 1", "13 YM line 2", "00 AS line 3"):
        assert label in text


def test_the_labels_are_in_the_order_of_work(tmp_path: Path) -> None:
    """Small sizes first, and 6 not beside 9: the order in which the press asks for them."""
    roster = "line,size,name,number\n1,AL,,6\n2,AL,,9\n3,AL,,31\n4,YM,,8\n"
    html = page(tmp_path, shop(tmp_path, roster))
    assert re.findall(r"line (\d)", html) == ["4", "1", "3", "2"]


def test_names_are_on_the_labels_if_asked_for(tmp_path: Path) -> None:
    html = page(tmp_path, shop(tmp_path), "--names")
    assert all(name in html for name in NAMES)


def test_a_label_shows_home_or_away(tmp_path: Path) -> None:
    roster = "size,name,number,set\nAL,KOVA,31,home\nAL,KOVA,31,away\n"
    text = " ".join(Page(page(tmp_path, shop(tmp_path, roster))).texts)
    assert "line 1 · home" in text
    assert "line 2 · away" in text


def test_text_from_files_is_escaped_in_the_page(tmp_path: Path) -> None:
    roster = 'line,size,name,number,set\n<b>&1,AL,O\'<u>X,"<s>",<em>\n'
    elements = [
        {"element": e, "layers": [{"material": "film", "colour": "<q>red"}]}
        for e in ("name", "number")
    ]
    job = write_shop(
        tmp_path,
        roster=roster,
        recipe={"title": "One", "panels": [{"panel": "back", "elements": elements}]},
    )
    sold = {"title": "<i>one", "of_one": 5, "characters": "<s>", "price": 4}
    write(tmp_path / "recipes" / "packs.yaml", {"packs": {"one": sold}})
    title = (Path(job[0]) / "job.yaml").read_text("utf-8").replace("Ferry", "<script>x</script>")
    (Path(job[0]) / "job.yaml").write_text(title, "utf-8")
    html = page(tmp_path, job, "--names")
    assert not {"script", "i", "u", "s", "em", "q"} & set(Page(html).tags)
    assert Page(html).tags.count("b") == 1  # the label's own
    text = " ".join(Page(html).texts)
    for markup in ("<script>x</script>", "<b>&1", "O'<u>X", "<s>", "<em>", "<q>red", "<i>one"):
        assert markup in text


def test_an_unwritable_list_is_reported(tmp_path: Path) -> None:
    result = kiosk("plan", *shop(tmp_path), "--picks", str(tmp_path / "no" / "picks.html"))
    assert result.code == 1
    assert "picks.html" in result.err
    assert result.out == ""


def test_check_shows_the_field_of_each_column(tmp_path: Path) -> None:
    roster = "Talla,Apellido,Dorsal,Notas\nAL,KOVA,31,\n"
    output = kiosk("check", *shop(tmp_path, roster)).out
    assert 'columns read: "Talla" as size, "Apellido" as name, "Dorsal" as number\n' in output
    assert "columns not used: Notas\n" in output


def test_check_reports_twins_but_not_0_beside_00(tmp_path: Path) -> None:
    lines = "".join(
        f"AL,{c},{n}\n" for c, n in zip("ABCDEF", (16, 91, 0, "00", 8, 68), strict=True)
    )
    result = kiosk("check", *shop(tmp_path, "size,name,number\n" + lines))
    assert result.code == 0
    assert result.out.splitlines()[0].endswith("read as each other upside down: 16 / 91")


@pytest.mark.parametrize("command", [("check",), ("plan", "--json", "--picks")])
def test_a_roster_of_a_thousand_lines_raises_no_question(
    tmp_path: Path, command: tuple[str, ...]
) -> None:
    rng = random.Random(4)
    rows = [
        f"{n},{rng.choice(('AS', 'AM', 'AL', 'YM'))},"
        f"{''.join(rng.choices('ABCDEFGHIJKLMNOPRSTUVÑ', k=9))},{1 + n % 99},set {n // 99}\n"
        for n in range(1_000)
    ]
    job = shop(tmp_path, "line,size,name,number,set\n" + "".join(rows), packs=PACKS)
    picks_file = [str(tmp_path / "picks.html")] if "--picks" in command else []
    result = process(command[0], *job, *command[1:], *picks_file)
    assert (result.code, result.err.count("question")) == (0, 0)
