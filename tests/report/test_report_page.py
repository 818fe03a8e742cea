"""The page, the text and the tables of a whole report."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
from functools import partial
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from report_samples import at, facts, finished, good, noted, plan

from kiosk.catalog.base import say
from kiosk.catalog.base.quantities import Degrees
from kiosk.log.facts.facts import GarmentSample, JobStart, ScrappedGarment, ShortHeatGarment, Stint
from kiosk.report.answers.checks import drift
from kiosk.report.content import QUESTIONS, ControlChart, Report, Say
from kiosk.report.page import ROWS, to_html
from kiosk.report.period import Period
from kiosk.report.report import ReportRequest, build
from kiosk.report.strokes import (
    BarStroke,
    ChartFrame,
    DotStroke,
    LabelStroke,
    LineStroke,
    bar_strokes,
    control_strokes,
    line_figures,
)
from kiosk.report.tables import FORMULA, tables_to_csv, to_text, values
from kiosk.run.state.event import Event
from kiosk.run.state.events import SetAside
from kiosk.run.state.events_shift import PressVerified, RepressAllowed
from kiosk.run.state.events_station import Held
from kiosk.run.state.model import TicketStage
from kiosk.words import Words

FRAME = ChartFrame(200.0, 50.0, 5.0, 10.0, lambda text: 5.0 * len(text))
SAY, SPANISH = Words("en").say, Words("es").say


def period(text: str = "ferry", *more: Event) -> Period:
    """A shift with something in every table, and `more`; `text` replaces all written text."""
    events = noted(
        finished("1", TicketStage.REWORK, "marks", "over_run", "number.2"),
        Held(at(), text),
        SetAside(at(), "2/1/1", text),
        RepressAllowed(at(), "1/1/1", text, text),
        *more,
    )
    return Period(
        (
            facts(
                text,
                jobs={"ferry": JobStart(plan(text, text, text), accepted_questions=2, seq=3)},
                garments=(good(30),),
                samples=tuple(GarmentSample(20, n % 3, float(n)) for n in range(6)),
                noted=events,
                spoiled=(ScrappedGarment("ferry", text, text, ((0, 4),)),),
                marked=(ShortHeatGarment("ferry", text, text, ("short",)),),
            ),
        )
    )


def made(text: str = "ferry") -> Report:
    about = period(text)
    return build(ReportRequest(about, about, Period()), "08:00", "16:00")


class Reader(HTMLParser):
    """Collects what a browser would show: elements, and text outside of style."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append(tag)
        assert all(not name.startswith("on") for name, _ in attrs)
        assert all(
            (value or "").startswith("#") for name, value in attrs if name in ("href", "src")
        )

    def handle_data(self, data: str) -> None:
        self.text += data


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    return reader


def test_the_twelve_questions_are_at_the_top_with_their_answers() -> None:
    topics = made().answering_topics()
    assert [topic.question for topic in topics] == list(QUESTIONS)
    page = to_html(made(), SAY)
    assert page.count("<dt>") == 12
    assert page.index("<main>") < page.index("</dl>") < page.index("<table>")
    assert all(SAY(line) for topic in topics for line in topic.answer)


def test_the_page_needs_no_other_files() -> None:
    page = to_html(made(), SAY)
    assert page.startswith("<!doctype html>")
    assert page.rstrip().endswith("</html>")
    assert not {"script", "link", "img", "iframe", "object"} & set(read(page).found)
    assert "url(" not in page
    assert "@page" in page


def test_every_chart_has_a_sentence_above_it_saying_what_it_suggests() -> None:
    charts = [topic.section for topic in made().topics if topic.section.chart is not None]
    assert charts
    for section in charts:
        assert all(SAY(line) for line in section.reading)
    page = to_html(made(), SAY)
    for drawn in page.split("<svg")[:-1]:
        assert "<p>" in drawn[drawn.rindex("<section") :]


TEXTS = st.text(max_size=12) | st.sampled_from(
    [
        "<script>alert(1)</script>",
        "@peel.cold",
        "@no such word",
        "=1+1",
        '"><b onload=x>',
        "{count}",
        "&amp;",
    ]
)


@settings(max_examples=60)
@given(TEXTS)
def test_text_written_by_people_never_becomes_an_html_element(text: str) -> None:
    known = set(read(to_html(made(), SAY)).found)
    assert set(read(to_html(made(text), SAY)).found) <= known


@settings(max_examples=60)
@given(TEXTS)
def test_no_table_cell_is_a_formula(text: str) -> None:
    if "\0" in text:  # csv's reader takes no NUL
        return
    rows = list(csv.reader(io.StringIO(tables_to_csv(made(text), SAY), newline="")))
    assert {len(row) for row in rows} == {4}
    assert not [c for row in rows for c in row if c.lstrip(" ").startswith(FORMULA)]


def test_the_json_has_everything_the_page_says() -> None:
    found = json.loads(json.dumps(values(made(), period(), SAY)))
    assert list(found["answers"]) == list(QUESTIONS)
    assert (found["ordered"], found["good"], found["first_pass"]["rate"]) == (30, 30, 1.0)
    assert found["spoiled"][0]["material"] in ("film", "flock")


def test_the_text_is_in_spanish_too() -> None:
    text = to_text(made(), SPANISH)
    assert "¿Qué trabajo va atrasado?" in text
    assert "Which" not in text


def test_the_facts_contain_no_player_names() -> None:
    fields = {
        name
        for each in (JobStart, ScrappedGarment, ShortHeatGarment, Stint)
        for name in each._fields
    }
    assert "name" not in fields


def test_the_page_and_the_text_say_not_yet_tried_on_a_real_press() -> None:
    assert "Not yet tried on a real press." in to_text(made(), SAY)
    assert "Todavía sin probar en una plancha real." in to_html(made(), SPANISH, "es")


def test_a_long_cell_wraps_onto_the_next_line_of_the_text() -> None:
    lines = to_text(made(), SAY).splitlines()
    start = "Few temperatures suit everything here: check that the press"
    row = next(n for n, line in enumerate(lines) if start in line)
    assert lines[row + 1].strip().startswith("holds its setting")


@settings(max_examples=60)
@given(st.lists(st.floats(-5, 5), min_size=2, max_size=20), st.floats(0, 3))
@example([0.0, 1.1125369292536007e-308], 0.0)
def test_a_chart_stays_in_its_frame_and_its_labels_do_not_overlap(
    values: list[float], reach: float
) -> None:
    ends = [tuple([at] * len(values)) for at in (-reach, 0.0, reach)]
    chart = ControlChart(
        tuple(values), ends[0], ends[1], ends[2], (0,), "s", say("report.chart.checks", press="one")
    )
    strokes = list(control_strokes(chart, line_figures(chart, SAY), FRAME))
    points = [p for each in strokes if isinstance(each, LineStroke) for p in each.points]
    points += [(each.x, each.y) for each in strokes if isinstance(each, DotStroke | LabelStroke)]
    assert all(-1e-6 <= x <= FRAME.wide and -1e-6 <= y <= FRAME.high + 1e-6 for x, y in points)
    middles = sorted(each.y for each in strokes if isinstance(each, LabelStroke))
    assert middles
    assert all(b - a >= FRAME.row - 1e-6 for a, b in pairwise(middles))


def test_figures_use_the_languages_decimal_mark() -> None:
    """Spanish writes 1,5 (English 1.5), also after a sign."""
    checks = tuple(
        (n, PressVerified(at(), "press-one", 150, Degrees.C, (150,) * 5, (True,) * 4,
                          n + 0.5, 2.0, 7.5, 8.0, True))
        for n in range(1, 7)
    )  # fmt: skip
    topic = drift(Period((facts(checks=checks),)))
    report = made()._replace(topics=(topic,))
    shown = {}
    for language, say_in in (("en", SAY), ("es", SPANISH)):
        body = to_html(report, say_in, language).partition("</style>")[2]
        shown[language] = read(body).text
    assert "+6.5 °C" in shown["en"]
    assert "±7.5 °C" in shown["en"]
    assert "+6,5 °C" in shown["es"]
    assert "±7,5 °C" in shown["es"]
    assert re.findall(r"\S*\d\.\d\S*", shown["es"]) == []


def test_bars_are_proportional_and_those_that_do_not_fit_are_left_out() -> None:
    bars = [("first", 8, "80 %"), ("second", 2, "100 %"), *[("more", 1, "")] * 9]
    strokes = list(bar_strokes(bars, FRAME))
    first, second, *rest = [each.wide for each in strokes if isinstance(each, BarStroke)]
    assert first == pytest.approx(4 * second)
    assert len(rest) == 3  # five rows of ten in a frame of fifty
    said = [each.text for each in strokes if isinstance(each, LabelStroke)]
    assert said[:3] == ["8 · 80 % · first", "2 · 100 % · second", "1 · more"]


def test_each_question_links_to_a_section_and_exceptions_are_bold() -> None:
    page = to_html(made(), SAY)
    led_to = re.findall(r'<dt><a href="#(\w+)">', page)
    assert len(led_to) == 12
    assert all(page.count(f'<section id="{name}"') == 1 for name in led_to)
    bold = re.findall(r"<dd><strong>", page)
    assert len(bold) == sum(topic.exception for topic in made().answering_topics()) > 0
    assert len(bold) < 12


def test_a_table_has_a_caption_headings_and_right_aligned_figures() -> None:
    page = to_html(made(), SAY)
    assert page.count("<table>") == page.count("<caption>") == page.count("<thead>")
    assert "<th>" not in page
    made_table = page[page.index('<section id="made"') : page.index('<section id="ratios"')]
    assert '<th scope="col" class="n">ordered</th>' in made_table
    assert '<td data-head="ordered" class="n">30</td>' in made_table
    assert made_table.count('<th scope="row">') == 1


def test_garments_to_recheck_are_never_hidden_in_a_fold() -> None:
    """A fold cannot be opened on paper."""
    marked = tuple(
        ShortHeatGarment("ferry", str(n), str(20 + n), ("unknown",)) for n in range(ROWS + 3)
    )
    period = Period((facts(marked=marked),))
    page = to_html(build(ReportRequest(period, period, period), "08:00", "16:00"), SAY)
    told = page[page.index('<section id="recheck"') :].partition("</section>")[0]
    assert "<details>" not in told
    assert all(f">{20 + n}<" in told for n in range(ROWS + 3))


@pytest.mark.parametrize(("say_in", "told"), [(SAY, "2 more rows"), (SPANISH, "2 filas más")])
def test_rows_beyond_the_first_can_be_unfolded_on_the_page(say_in: Say, told: str) -> None:
    """A reader of the page has no command line, so the page holds all rows of a table."""
    about = period("ferry", *(Held(at(), f"reason {n}") for n in range(ROWS)))
    page = to_html(build(ReportRequest(about, about, Period()), "08:00", "16:00"), say_in)
    holds = page[page.index('<section id="holds"') :].partition("</section>")[0]
    shown, behind = holds.split("<details>")
    assert shown.count('<th scope="row"') == ROWS
    assert f"<summary>{told}</summary>\n<table>\n<caption>" in behind
    assert len(set(re.findall(r"<thead>.*</thead>", holds))) == 1
    assert behind.count('<th scope="row"') == int(told[0])
    assert set(re.findall(r"reason \d", holds)) == {f"reason {n}" for n in range(ROWS)}
    assert " --" not in read(page.partition("</style>")[2]).text


def test_sentences_without_a_full_stop_do_not_run_together() -> None:
    told = to_html(made(), SAY)
    readings = re.findall(r"<section [^>]*>.*?<p>(.*?)</p>", told, re.DOTALL)
    assert readings
    for reading in readings:
        assert not re.search(r"[a-z0-9)%] [A-Z][a-z]+ [a-z]+ [a-z]+", reading), reading


def test_a_chart_has_a_name() -> None:
    page = to_html(made(), SAY)
    names = re.findall(r'<svg [^>]*role="img" aria-label="([^"]+)"><title>([^<]+)</title>', page)
    assert len(names) == page.count("<svg")
    assert ("Share with a defect, ferry: 6 values, 0 of them signals",) * 2 in names


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PROBE = """<script>addEventListener("load", () => {
  const wide = document.documentElement.clientWidth;
  const off = [...document.querySelectorAll("body *:not(caption)")].filter(e => {
    const box = e.getBoundingClientRect();
    return box.width && (box.right > wide + 1 || box.left < -1); });
  parent.document.title += ` ${innerWidth}:${off.length}`; });</script>"""


PRINTED = """<script>addEventListener("load", () => {
  const holds = document.querySelector("#holds"), seen = e => e.getClientRects().length > 0;
  const lefts = [...holds.querySelectorAll("tr")].filter(seen).map(row =>
    [...row.children].map(cell => Math.round(cell.getBoundingClientRect().left)).join());
  const heads = [...holds.querySelectorAll("thead")].filter(seen).length;
  document.title = `${heads} ${lefts.length} ${new Set(lefts).size}`; });</script>"""


def browse(place: Path, *asked: str) -> str:
    """Return what a browser prints; its profile is kept at `place`."""
    quiet = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync",
             "--disable-background-networking", "--disable-component-update", "--disable-quic",
             "--allow-file-access-from-files", f"--user-data-dir={place / 'own'}"]  # fmt: skip
    command = [CHROMIUM or "", *quiet, *asked]
    return subprocess.run(command, check=True, capture_output=True, timeout=60).stdout.decode()


@pytest.mark.skipif(CHROMIUM is None, reason="needs a chromium")
def test_on_paper_unfolded_rows_go_on_below_the_first_under_one_heading(tmp_path: Path) -> None:
    """The headings stood again after the sixth row, and the columns below them elsewhere."""
    about = period("ferry", *(Held(at(), f"reason {n}" * (1 + n)) for n in range(ROWS + 4)))
    page = to_html(build(ReportRequest(about, about, Period()), "08:00", "16:00"), SAY)
    paper = page.replace("@media print", "@media all").replace("</body>", f"{PRINTED}</body>")
    (tmp_path / "paper.html").write_text(paper, "utf-8")
    dom = browse(tmp_path, "--dump-dom", f"file://{tmp_path}/paper.html")
    found = re.search(r"<title>(\d+) (\d+) (\d+)</title>", dom)
    assert found is not None
    rows = page[page.index('<section id="holds"') :].partition("</section>")[0].count('"row"')
    assert rows > ROWS
    assert found.groups() == ("1", str(1 + rows), "1")  # headings, rows with them, columns' places


@pytest.mark.parametrize("words", [SAY, SPANISH])
def test_a_signature_line_stays_beside_its_word(words: Say) -> None:
    """On a phone the row breaks between the three, never within one."""
    parts = words(say("sheet.sign")).split(" ")
    assert [part.endswith("_") for part in filter(None, parts)] == [True] * 3


@pytest.mark.skipif(CHROMIUM is None, reason="needs a chromium")
def test_in_a_browser_everything_is_on_screen_and_prints_on_a4_and_letter(tmp_path: Path) -> None:
    assert CHROMIUM is not None
    page = to_html(made("a-long-name-without-any-space-in-it-of-a-job"), SAY)
    (tmp_path / "page.html").write_text(page.replace("</body>", f"{PROBE}</body>"), "utf-8")
    frames = "".join(
        f'<iframe src="page.html" style="width:{wide}px;height:900px;border:0"></iframe>'
        for wide in (375, 768, 1400)
    )
    (tmp_path / "frames.html").write_text(f"<title>seen</title>{frames}", "utf-8")
    chromium = partial(browse, tmp_path)
    dom = chromium("--virtual-time-budget=3000", "--dump-dom", f"file://{tmp_path}/frames.html")
    found = re.search("<title>(.*)</title>", dom)
    assert found is not None
    assert sorted(found[1].split()) == ["1400:0", "375:0", "768:0", "seen"]
    for paper in ("A4", "letter"):
        sheet, printed = tmp_path / f"{paper}.html", tmp_path / f"{paper}.pdf"
        sheet.write_text(page.replace("@page {", f"@page {{ size: {paper};"), "utf-8")
        chromium(f"--print-to-pdf={printed}", "--no-pdf-header-footer", f"file://{sheet}")
        assert 1 <= len(re.findall(rb"/Type\s*/Page\b", printed.read_bytes())) <= 3
