"""`kiosk proof`: every garment of an order as worn, for the customer to check and sign."""

import sys
from argparse import Namespace
from base64 import b64encode
from collections.abc import Iterator
from functools import partial
from html import escape
from pathlib import Path

from kiosk.catalog.base import PROOF_PAGE, html_head
from kiosk.catalog.rules import Face, read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS
from kiosk.commands.load import LoadedJob, Output, check_outputs, load, write_output
from kiosk.commands.plan.page import STYLE
from kiosk.commands.plan.text import of_refusal
from kiosk.plan.fingerprint import ProofState, proof_digests, proof_state, row_of
from kiosk.plan.model import PanelRefusal, Plan
from kiosk.plan.phrases import element_words, panel_word
from kiosk.plan.place import ElementBox, Letter
from kiosk.plan.procedure import GarmentProof, PanelProof, plan_job, proofs
from kiosk.station.desk.jobs.proofing import kept_approvals
from kiosk.station.glass.theme import CLOTH, CLOTH_EDGE, INK, WHITE, Colour, edge_on, film
from kiosk.words import Words

OWN_STYLE = """
.garments { display: grid; grid-template-columns: repeat(3, 1fr); gap: 4mm; }
.garment { border: 1px solid #4A463D; padding: 3mm; break-inside: avoid; background: #fff; }
.garment .panels { display: flex; gap: 2mm; align-items: flex-end; }
.garment figure { margin: 0; flex: 1; text-align: center; font-size: .75rem; }
.garment svg { width: 100%; max-height: 42mm; }
.garment p { margin: .3rem 0 0; }
.garment b { font-size: 1.2rem; }
.sign { display: grid; grid-template-columns: 2fr 1fr; gap: 8mm; margin: 1.5rem 0;
        break-inside: avoid; }
@media screen and (max-width: 50rem) {
  .garments { grid-template-columns: repeat(auto-fill, minmax(min(100%, 9rem), 1fr)); }
}
.garment, .garment figure { min-width: 0; overflow-wrap: anywhere; }
.sign p { border-top: 1px solid #15171C; margin: 2.5rem 0 0; padding-top: .2rem; }
@page { @bottom-left { font: 8pt system-ui, sans-serif; content: "TITLE"; }
        @bottom-right { font: 8pt system-ui, sans-serif;
                        content: counter(page) " / " counter(pages); } }
@media print { p { margin: .5em 0; } .garment { padding: 2mm; } .garment p { margin: .1rem 0 0; }
               .garment svg { max-height: 34mm; } .garments { gap: 3mm; } .sign { margin: 0; } }
"""
FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts"
FONT_FILES = {
    "B612 Bold": ("b612/B612-Bold.otf", "opentype"),
    "DejaVu Sans Condensed Bold": ("dejavu/DejaVuSansCondensed-Bold-part.ttf", "truetype"),
}
EM = 100.0  # type size of letters before they are scaled to their printed size
PEN = 0.09  # of a letter's height: line width of the box for a letter no font has
EDGE = 0.06  # inches of outline around each letter, so that it is seen on any cloth
Shade = str


def proof_page(
    plan: Plan, garments: tuple[GarmentProof, ...], loaded: LoadedJob, approved: ProofState
) -> str:
    """Return the page; it contains players' names, and says so."""
    words, face = loaded.words, read_face()
    title = escape(words("proof.title", title=plan.title))
    own = OWN_STYLE.replace("TITLE", _quoted(words("proof.title", title=plan.title)))
    style = STYLE + own + "".join(_fonts(garments, face))
    parts = [
        html_head(PROOF_PAGE, words.language, title, style),
        f"<h1>{title}</h1>",
        *(f"<p>{escape(line)}</p>" for line in _head(garments, loaded, approved)),
        '<div class="garments">',
        *(_garment(each, loaded, face, approved) for each in garments),
        "</div>",
        f'<div class="sign"><p>{escape(words("proof.signature"))}</p>'
        f"<p>{escape(words('proof.date'))}</p></div>",
        "</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _quoted(text: str) -> str:
    """Return a text escaped for a quoted string in a style sheet."""
    return "".join(c if c.isalnum() or c == " " else f"\\{ord(c):x} " for c in text)


def _head(
    garments: tuple[GarmentProof, ...], loaded: LoadedJob, approved: ProofState
) -> Iterator[str]:
    yield loaded.words("proof.count", garments=len(garments))
    yield from _approval_lines(approved, loaded.words)
    yield loaded.words("proof.look")
    yield loaded.words("proof.drawn")
    yield loaded.words("proof.names")


def _fonts(garments: tuple[GarmentProof, ...], face: Face) -> Iterator[str]:
    """Yield the fonts of these garments' letters, embedded in the page."""
    boxes = (box for each in garments for panel in each.panels for box in panel.boxes)
    holders = (face.holder(letter.character) for box in boxes for letter in box.letters)
    for title in dict.fromkeys(holder.title for holder in holders if holder is not None):
        file, form = FONT_FILES[title]
        data = b64encode((FONTS / file).read_bytes()).decode()
        source = f"url(data:font/{form};base64,{data}) format('{form}')"
        yield f"\n@font-face {{ font-family: '{title}'; src: {source}; }}"


def _garment(garment: GarmentProof, loaded: LoadedJob, face: Face, approved: ProofState) -> str:
    line, words = garment.line, loaded.words
    panels = "".join(_panel(each, loaded, face) for each in garment.panels)
    head = " · ".join(escape(text) for text in (line.number, line.name) if text)
    caption = (
        words("picks.label.line", line=line.line),
        line.set,
        *size_and_doubts(garment, loaded),
    )
    notes = _change_notes(garment, approved, words)
    details = escape(" · ".join(text for text in (*caption, *notes) if text))
    return (
        f'<div class="garment"><div class="panels">{panels}</div>\n'
        f"<p><b>{head}</b></p><p>{details}</p></div>"
    )


def size_and_doubts(garment: GarmentProof, loaded: LoadedJob) -> Iterator[str]:
    """Yield a garment's size, the size as written if different, and the letters no font has."""
    line, words = garment.line, loaded.words
    as_written = line.as_written("size")
    yield (
        line.size
        if as_written == line.size
        else words("proof.size", size=line.size, written=as_written)
    )
    if garment.lacking:
        yield words("proof.lacking", letters=garment.lacking)


def _panel(panel: PanelProof, loaded: LoadedJob, face: Face) -> str:
    words = loaded.words
    word = panel_word(panel.panel)
    title = word if isinstance(word, str) else words.say(word)
    left, top, wide, high = panel.extent
    cloth = " ".join(f"{x:.2f},{y:.2f}" for x, y in panel.outline)
    art = "".join(_element(box, panel.films[box.element], face) for box in panel.boxes)
    return (
        f'<figure><svg viewBox="{left - 0.2:.2f} {top - 0.2:.2f} {wide + 0.4:.2f} {high + 0.4:.2f}"'
        f' role="img"><polygon points="{cloth}" fill="{_css(CLOTH)}" stroke="{_css(CLOTH_EDGE)}"'
        f' stroke-width="0.1"/>{art}</svg>'
        f"<figcaption>{escape(' · '.join((title, *_films(panel, words))))}</figcaption></figure>"
    )


def _films(panel: PanelProof, words: Words) -> Iterator[str]:
    """Yield each element's colours from the cloth up, elements with the same colours together."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for box in panel.boxes:
        alike.setdefault(panel.films[box.element], []).append(f"{box.element}.1")
    for films, pieces in alike.items():
        colours = tuple(filter(None, films))
        if colours and len(alike) == 1:
            yield ", ".join(colours)
        elif colours:
            yield words("proof.films", elements=element_words(tuple(pieces)), films=colours)


def _element(box: ElementBox, films: tuple[str, ...], face: Face) -> str:
    """Return an element's layers, lowest first, each extending beyond the one above it."""
    lowest = (film(films[0]) if films else None) or WHITE
    pale = edge_on(CLOTH, lowest) != lowest  # invisible on the drawn cloth without an outline
    drawn = [_layer(box, EDGE + box.growth, _css(INK), face)] if pale else []
    for nth, colour in enumerate(films, 1):
        growth, known = box.growth_of(nth, len(films)), film(colour)
        drawn.append(_layer(box, growth, "#FFFFFF" if known is None else _css(known), face))
    return "".join(drawn)


def _layer(box: ElementBox, growth: float, shade: Shade, face: Face) -> str:
    return "".join(_letter(each, growth, shade, face) for each in box.letters)


def _letter(letter: Letter, growth: float, shade: Shade, face: Face) -> str:
    """Return one letter stretched to its size as cut; a crossed box if no font has it."""
    holder = face.holder(letter.character)
    left, low = letter.x - letter.width / 2, letter.y + letter.height / 2
    if holder is None:
        return _unknown(letter, growth, shade)
    glyph = holder.glyph(letter.character)
    em = holder.capital  # height of a capital, in ems of the font
    across = letter.width / ((glyph.right - glyph.left) * em / holder.width * EM)
    up = letter.height / ((glyph.top - glyph.bottom) * em * EM)
    x = left - glyph.left * em / holder.width * EM * across
    y = low + glyph.bottom * em * EM * up
    pen = f' stroke="{shade}" stroke-width="{2 * growth / up:.2f}" stroke-linejoin="round"'
    return (
        f'<text transform="translate({x:.3f} {y:.3f}) scale({across:.5f} {up:.5f})"'
        f' font-family="\'{holder.title}\'" font-size="{EM:g}" fill="{shade}"'
        f"{pen if growth else ''}>{escape(letter.character)}</text>"
    )


def _unknown(letter: Letter, growth: float, shade: Shade) -> str:
    w, h, pen = letter.width, letter.height, PEN * letter.height
    x, y = letter.x - w / 2 + pen / 2, letter.y - h / 2 + pen / 2
    w, h = w - pen, h - pen
    return (
        f'<path d="M{x:.3f} {y:.3f}h{w:.3f}v{h:.3f}h-{w:.3f}z l{w:.3f} {h:.3f}" fill="none"'
        f' stroke="{shade}" stroke-width="{pen + 2 * growth:.3f}"/>'
    )


def _css(colour: Colour) -> str:
    return "#" + "".join(f"{round(255 * share):02X}" for share in colour.rgba[:3])


def run(options: Namespace) -> int:
    """Print a line for each garment; write the page to sign if asked for."""
    loaded = load(options.job, options.recipes)
    if loaded is None:
        return FAULTS
    outputs = (
        [] if options.html is None else [Output(options.html, PROOF_PAGE, Path(loaded.job.folder))]
    )
    if refused := check_outputs(outputs, loaded.words):
        return refused
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(plan, PanelRefusal):
        print(of_refusal(plan, loaded.words))
        return CANNOT_BE_PRESSED
    garments = proofs(plan, loaded.job.roster, read_face())
    approved = proof_state(
        proof_digests(plan, loaded.job.roster), kept_approvals(Path(loaded.job.folder))
    )
    for output in outputs:
        make = partial(proof_page, plan, garments, loaded, approved)
        if failed := write_output(output, make, loaded.words):
            return failed
        print(loaded.words("command.proof.written", path=str(output.path)), file=sys.stderr)
    print("\n".join(_lines(garments, loaded, approved)))
    return DONE


def _lines(
    garments: tuple[GarmentProof, ...], loaded: LoadedJob, approved: ProofState
) -> Iterator[str]:
    words = loaded.words
    yield words("proof.title", title=loaded.job.title)
    yield words("proof.count", garments=len(garments))
    yield from _approval_lines(approved, words)
    for each in garments:
        line = each.line
        head = (words("picks.label.line", line=line.line), line.set, line.number, line.name)
        details = (*size_and_doubts(each, loaded), *_change_notes(each, approved, words))
        yield " · ".join((*(text for text in head if text), *details))


def _approval_lines(approved: ProofState, words: Words) -> Iterator[str]:
    """Yield who approved, and how many rows have waited since."""
    for by, day in approved.approvals:
        yield words("proof.approved", by=by, day=day)
    if approved.approvals and approved.waiting:
        yield words("proof.waiting", count=len(approved.waiting))


def _change_notes(garment: GarmentProof, approved: ProofState, words: Words) -> Iterator[str]:
    """Yield whether a garment changed since the approval, or was added after it."""
    row = row_of(garment.line)
    if row in approved.changed:
        yield words("proof.changed")
    elif row in approved.unseen and approved.approvals:
        yield words("proof.new")
