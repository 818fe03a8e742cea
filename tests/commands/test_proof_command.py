"""`kiosk proof`: every garment of an order as worn, to be checked and signed."""

from __future__ import annotations

import json
import re
import shutil
import stat
import subprocess
from html import unescape
from pathlib import Path

import pytest
from command_line import kiosk
from shop_folders import KNIT, NAMES, write_shop

from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.roster.forget import PROOF, delete_named_files
from kiosk.catalog.rules import read_face
from kiosk.plan.fingerprint import proof_digests
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job

ROOT = Path(__file__).resolve().parents[2]


def page(tmp_path: Path, roster: str | None = None) -> str:
    job = write_shop(tmp_path, **({} if roster is None else {"roster": roster}))
    path = tmp_path / "proof.html"
    done = kiosk("proof", *job, "--html", str(path))
    assert done.code == 0, done.err
    return path.read_text("utf-8")


def letters(html: str) -> list[str]:
    """Return the letters drawn in the topmost layer, one text per garment."""
    garments = html.split('<div class="garment">')[1:]
    return [unescape("".join(re.findall(r"[^>]>([^<])</text>", each))) for each in garments]


def test_every_garment_is_drawn_with_its_own_letters(tmp_path: Path) -> None:
    texts = letters(page(tmp_path))
    for text, name, number in zip(texts, NAMES, ("31", "13", "00"), strict=True):
        assert text == name + number  # red is visible on the drawn cloth without an outline


def test_a_pale_film_has_a_dark_line_around_it(tmp_path: Path) -> None:
    job = write_shop(tmp_path)
    for recipe in (tmp_path / "recipes").glob("*.yaml"):
        recipe.write_text(recipe.read_text("utf-8").replace("colour: red", "colour: white"))
    assert kiosk("proof", *job, "--html", str(tmp_path / "proof.html")).code == 0
    assert letters((tmp_path / "proof.html").read_text("utf-8"))[0] == "KOVAKOVA3131"


def test_the_terminal_shows_one_line_per_garment(tmp_path: Path) -> None:
    output = kiosk("proof", *write_shop(tmp_path)).out
    for name, number in zip(NAMES, ("31", "13", "00"), strict=True):
        assert f"{number} · {name}" in output


def test_a_size_written_differently_is_also_shown_as_written(tmp_path: Path) -> None:
    html = page(tmp_path, "line,size,name,number\n1,Adult Large,KOVA,31\n")
    assert "AL, written Adult Large" in html


def test_a_letter_in_no_face_is_drawn_as_a_box_and_named(tmp_path: Path) -> None:
    html = page(tmp_path, "line,size,name,number\n1,AL,KO字A,31\n")
    assert "字" not in letters(html)[0]
    assert html.count("<path ") == 1
    assert "width not known: 字" in html


def test_text_from_the_order_is_escaped(tmp_path: Path) -> None:
    html = page(tmp_path, 'line,size,name,number\n"<b>1",AL,O\'<&>A,31\n')
    assert "&lt;b&gt;1" in html
    assert "<b>1" not in html


def test_the_page_loads_nothing_and_embeds_its_font(tmp_path: Path) -> None:
    html = page(tmp_path)
    assert not re.findall(r"(?:src|href)=|url\((?!data:)|@import|<script", html)
    assert "url(data:font/opentype;base64," in html


def test_the_page_is_only_for_its_owner_and_is_deleted_with_the_names(tmp_path: Path) -> None:
    html = page(tmp_path)
    assert "This page holds names" in html
    path = tmp_path / "proof.html"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert delete_named_files(tmp_path / "jobs" / "ferry") == ()
    assert not path.exists()


def test_a_copied_jobs_names_take_no_proof_of_the_first_along(tmp_path: Path) -> None:
    """The same order again: somebody copies last year's folder. Moved, a folder keeps its files."""
    page(tmp_path)
    first, again = tmp_path / "jobs" / "ferry", tmp_path / "jobs" / "ferry-again"
    shutil.copytree(first, again)
    assert delete_named_files(again) == ()
    assert (tmp_path / "proof.html").exists()
    first.rename(tmp_path / "jobs" / "moved")
    assert delete_named_files(tmp_path / "jobs" / "moved") == ()
    assert not (tmp_path / "proof.html").exists()


def test_a_name_wider_than_the_cloth_is_drawn_whole(tmp_path: Path) -> None:
    name = "VAN DER WOLKENSTEINER-OBERDORF-ZUMSTEIN"
    html = page(tmp_path, f"line,size,name,number\n1,YXS,{name},31\n2,YXS,KO,31\n")
    boxes = re.findall(r'viewBox="(\S+) \S+ (\S+) ', html)
    inks = re.findall(r"translate\((\S+) ", html)
    assert len(boxes) == 2
    widths = [float(wide) for _, wide in boxes]
    assert widths[0] > widths[1]
    assert min(map(float, inks)) > float(boxes[0][0])


def test_the_page_prints_legibly_and_without_split_garments(tmp_path: Path) -> None:
    """Letters have at least 8 points (16 CSS pixels are 12 points: CSS Values, 5.2)."""
    job = write_shop(tmp_path)
    yaml = tmp_path / "jobs" / "ferry" / "job.yaml"
    title = 'Ferry "away" </style><b>x'
    yaml.write_text(yaml.read_text("utf-8").replace("Ferry order, away", repr(title)), "utf-8")
    path = tmp_path / "proof.html"
    assert kiosk("proof", *job, "--html", str(path)).code == 0
    html = path.read_text("utf-8")
    style = html[html.index("<style>") : html.index("</style>")]
    assert ".garment { border" in style
    assert re.search(r"\.garment \{[^}]*break-inside: avoid", style)
    assert re.search(r"\.sign \{[^}]*break-inside: avoid", style)
    points = [float(p) for p in re.findall(r"(?:font|font-size): ([\d.]+)pt", style)]
    points += [float(r) * 12 for r in re.findall(r"font-size: ([\d.]+)rem", style)]
    assert min(points) >= 8
    assert "counter(page)" in style
    assert html.count("</style>") == 1
    assert "<b>x" not in html


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PROBE = """<script>addEventListener("load", () => {
  const wide = document.documentElement.clientWidth;
  const off = [...document.querySelectorAll("body *")].filter(
    e => e.getBoundingClientRect().right > wide + 1);
  parent.document.title += ` ${innerWidth}:${off.length}`; });</script>"""


@pytest.mark.skipif(CHROMIUM is None, reason="needs a chromium")
def test_the_page_fits_a_telephone(tmp_path: Path) -> None:
    html = page(tmp_path).replace("</body>", f"{PROBE}</body>")
    (tmp_path / "probed.html").write_text(html, "utf-8")
    frame = '<iframe src="probed.html" style="width:375px;height:800px;border:0"></iframe>'
    (tmp_path / "frame.html").write_text(f"<title>seen</title>{frame}", "utf-8")
    command = [CHROMIUM or "", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
             "--disable-background-networking", "--allow-file-access-from-files",
             f"--user-data-dir={tmp_path / 'own'}", "--virtual-time-budget=3000", "--dump-dom",
             f"file://{tmp_path}/frame.html"]  # fmt: skip
    dom = subprocess.run(command, check=True, capture_output=True, timeout=60).stdout.decode()
    assert "<title>seen 375:0</title>" in dom


def test_colours_are_listed_by_element_from_the_cloth_up(tmp_path: Path) -> None:
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", page(tmp_path))
    assert set(captions) == {"back · red"}
    two = [{"material": "film", "colour": colour} for colour in ("blue", "red")]
    one = [{"material": "film", "colour": "white"}]
    elements = [{"element": "name", "layers": one}, {"element": "number", "layers": two}]
    recipe = {"title": "Both", "panels": [{"panel": "back", "elements": elements}]}
    path = tmp_path / "two.html"
    assert kiosk("proof", *write_shop(tmp_path, recipe=recipe), "--html", str(path)).code == 0
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", path.read_text("utf-8"))
    assert set(captions) == {"back · name: white · number: blue, red"}


def test_a_film_without_a_colour_leaves_no_gap_on_paper(tmp_path: Path) -> None:
    """A layer's colour may be left out (design.md, section 5)."""
    bare, red = ({"material": "film"}, {"material": "film", "colour": "red"})
    elements = [{"element": "name", "layers": [bare]}, {"element": "number", "layers": [red]}]
    recipe = {"title": "Both", "panels": [{"panel": "back", "elements": elements}]}
    shop, path = write_shop(tmp_path, recipe=recipe), tmp_path / "made.html"
    assert kiosk("proof", *shop, "--html", str(path)).code == 0
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", path.read_text("utf-8"))
    assert set(captions) == {"back · number: red"}
    picks = tmp_path / "picks.html"
    printed = kiosk("plan", *shop, "--picks", str(picks)).out
    assert "  back name, layer 1, Plain cut film, " in printed
    labels = re.findall(r"<p>(back name: .*?)</p>", picks.read_text("utf-8"))
    assert labels
    assert all(re.fullmatch(r"back name: \d+ letters?, [^,]+", label) for label in labels)


def test_the_page_says_that_its_colours_are_not_matched(tmp_path: Path) -> None:
    assert "not matched" in page(tmp_path)


def test_a_job_that_cannot_be_pressed_has_no_proof(tmp_path: Path) -> None:
    job = write_shop(tmp_path, fabrics={"knit": {**KNIT, "temperature_max": "200 F"}})
    done = kiosk("proof", *job, "--html", str(tmp_path / "proof.html"))
    assert done.code == 3
    assert "fabric.temperature_max=200 F" in done.out  # design.md, section 6: why, on stdout
    assert not (tmp_path / "proof.html").exists()


@pytest.mark.parametrize("name", ["raft-polo", "night-regatta", "pier-wardens"])
def test_the_shipped_jobs_have_a_proof(name: str, tmp_path: Path) -> None:
    job = tmp_path / name  # a copy: the folder notes which files hold its names
    shutil.copytree(ROOT / "shared" / "jobs" / name, job)
    path = tmp_path / "proof.html"
    assert kiosk("proof", str(job), "--html", str(path)).code == 0
    assert path.read_text("utf-8").count('<div class="garment">') > 5


def test_the_proof_shows_who_approved_it_and_what_changed_since(tmp_path: Path) -> None:
    job = write_shop(tmp_path)
    folder = tmp_path / "jobs" / "ferry"
    assert "Approved" not in kiosk("proof", *job).out
    approve(folder, tmp_path / "recipes")
    output = kiosk("proof", *job).out
    assert "Approved by MV, 2026-03-01" in output
    assert "since" not in output
    rows = (folder / "roster.csv").read_text("utf-8").replace("OKORO", "OKORA")
    (folder / "roster.csv").write_text(f"{rows}4,AM,TRAVNIK,5\n", "utf-8")
    page_path = tmp_path / "proof.html"
    output = kiosk("proof", *job, "--html", str(page_path)).out
    html = page_path.read_text("utf-8")
    for text in (output, html):
        assert "2 rows to look over since" in text
        assert text.count("changed since it was approved") == 1
        assert text.count("new since") == 1
    assert "OKORA · YM · changed since it was approved" in output


def approve(folder: Path, recipes: Path) -> None:
    """Record in a job's folder that its present rows were approved."""
    catalog, _ = read_catalog(recipes)
    job, _ = read_job(folder, catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    rows = {
        row: {"digest": digest, "by": "MV", "day": "2026-03-01"}
        for row, digest in proof_digests(plan, job.roster).items()
    }
    (folder / PROOF).write_text(json.dumps({"rows": rows}), "utf-8")
