"""A shift's report as one HTML page that needs nothing beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape

from kiosk.catalog.message import Message
from kiosk.report.lines import Section

Say = Callable[[Message], str]

# Paper and ink of the station's screens; black on white when printed.
STYLE = """
body { font: 1rem/1.5 system-ui, sans-serif; color: #15171C; background: #F7F4EC;
       max-width: 48rem; margin: 2rem auto; padding: 0 1rem; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: 400; }
td { text-align: right; font-variant-numeric: tabular-nums; }
th, td { border-top: 1px solid #4A463D; padding: .25rem 0; }
@media print { body { background: #fff; margin: 0; } }
"""


def to_html(
    title: Message, line: Message, sections: Iterable[Section], say: Say, language: str = "en"
) -> str:
    """Return the page; `say` puts a message into the page's language."""
    parts = [
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(say(title))}</title>\n<style>{STYLE}</style>\n</head>\n<body>",
        f"<h1>{escape(say(title))}</h1>\n<p>{escape(say(line))}</p>",
        *(_section(section, say) for section in sections),
        "</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _section(section: Section, say: Say) -> str:
    rows = "\n".join(
        f'<tr><th scope="row">{escape(say(word))}</th><td>{escape(count)}</td></tr>'
        for word, count in section.rows
    )
    return (
        f"<h2>{escape(say(section.title))}</h2>\n<p>{escape(say(section.reading))}</p>\n"
        f"<table>\n{rows}\n</table>"
    )
