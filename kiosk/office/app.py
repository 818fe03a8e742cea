"""The board over HTTP: access, routes and pages, and the live stream."""

import asyncio
import hmac
import secrets
import socket
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from threading import Event, Thread
from typing import Any

import uvicorn
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from kiosk.catalog.base import OWNERS_ALONE, say, write_whole
from kiosk.office.follow import Board, BoardSource
from kiosk.office.live import Listeners
from kiosk.office.pages import Maker, across, clock_text, garment, jobs, order, shift
from kiosk.report import STYLE
from kiosk.words import Words

HERE = Path(__file__).with_name("html")
FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts" / "b612"
STATIC = {
    "board.css": HERE / "board.css", "live.js": HERE / "live.js",
    "regular.otf": FONTS / "B612-Regular.otf", "bold.otf": FONTS / "B612-Bold.otf",
}  # fmt: skip
LANGUAGES = {"en": "English", "es": "Español"}
TOKEN, LANGUAGE = "token", "language"
YEAR = 365 * 86_400
KEPT = {"cache-control": "max-age=3600"}  # for files without personal data
HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'self'; script-src 'self'; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


def token_at(path: Path) -> str:
    """Return the token in a file; if there is none, create one readable only by its owner.

    An empty file counts as none, because an empty token would open the board to everybody. Raises
    OSError, ValueError.
    """
    with suppress(FileNotFoundError):
        if token := path.read_text("ascii").strip():
            return token
    path.parent.mkdir(parents=True, exist_ok=True)
    token = secrets.token_urlsafe(32)
    write_whole(path, f"{token}\n".encode(), OWNERS_ALONE)
    return token


@dataclass(frozen=True)
class Door:
    """Access: with a `token` anyone who shows it; without, only browsers on this machine."""

    token: str = ""

    def opens(self, request: Request) -> bool:
        """Whether a request is answered, by its cookie or by the host name it uses."""
        if self.token:
            return self.knows(request.cookies.get(TOKEN, ""))
        return is_here(request.url.hostname or "")

    def knows(self, token: str) -> bool:
        """Whether this is the token, compared in constant time."""
        return hmac.compare_digest(token.encode(), self.token.encode())


def is_here(host: str) -> bool:
    """Whether a host name means this machine; another site's name could be made to resolve here."""
    if host == "localhost":
        return True
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


class Guard:
    """Middleware that checks access before anything is read, and sets headers on every answer."""

    def __init__(
        self, app: ASGIApp, door: Door, turned_away: Callable[[Request], Response]
    ) -> None:
        self._app, self._door, self._turned_away = app, door, turned_away

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._answer(Request(scope))(scope, receive, sent)

    def _answer(self, request: Request) -> ASGIApp:
        if request.method not in ("GET", "HEAD"):
            return Response(status_code=405)
        token = request.query_params.get(TOKEN)
        if self._door.token and token is not None and self._door.knows(token):
            clean_url = request.url.remove_query_params(TOKEN)
            answer = RedirectResponse(f"{clean_url.path}?{clean_url.query}".rstrip("?"), 303)
            answer.set_cookie(TOKEN, token, max_age=YEAR, httponly=True, samesite="lax")
            return answer
        return self._app if self._door.opens(request) else self._turned_away(request)


class Pages:
    """The pages of one place, in the shop's language or the one that the reader chose."""

    def __init__(self, place: BoardSource, language: str, clock: Callable[[], float]) -> None:
        self._place, self._language = place, language
        self._said = {each: Words(each) for each in LANGUAGES}
        self._made = Environment(
            loader=FileSystemLoader(HERE), autoescape=True, undefined=StrictUndefined,
            trim_blocks=True, lstrip_blocks=True,
        )  # fmt: skip
        self._made.filters |= {"clock_text": clock_text, "across": across}
        self._board = Board(clock)
        self._live = Listeners()

    @asynccontextmanager
    async def kept_up(self, _: Starlette) -> AsyncIterator[None]:
        """Follow the stations for as long as the server runs."""
        loop, stop = asyncio.get_running_loop(), Event()

        def tell() -> None:
            if not stop.is_set():
                loop.call_soon_threadsafe(self._live.news)

        follow = (self._place, tell, stop)
        thread = Thread(target=self._board.follow, args=follow, daemon=True)
        thread.start()
        try:
            yield
        finally:
            stop.set()

    def end(self) -> None:
        """End the live streams."""
        self._live.end()

    def routes(self) -> list[Route]:
        """Return the routes."""
        return [
            Route("/", lambda _: RedirectResponse("/wall")),
            Route("/wall", self._wall),
            Route("/wall/live", self._stream),
            Route("/desk", self._of(shift)),
            Route("/jobs", self._of(jobs)),
            Route("/card", self._of(garment)),
            Route("/sheet", self._of(order)),
            Route(
                "/static/report.css", lambda _: Response(STYLE, media_type="text/css", headers=KEPT)
            ),
            Route("/static/{name}", self._static),
        ]

    def turned_away(self, request: Request) -> Response:
        """Return a page that only says that a token is needed."""
        return self._page(request, "said.html", 403, said=[say("board.token_needed")])

    def not_there(self, request: Request, _: Exception) -> Response:
        """Return a page that says that there is no such page."""
        return self._page(request, "said.html", 404, said=[say("board.no_page")])

    def _words(self, request: Request) -> Words:
        language = request.query_params.get(LANGUAGE) or request.cookies.get(LANGUAGE, "")
        return self._said.get(language) or self._said[self._language]

    def _page(self, request: Request, name: str, status: int = 200, **values: Any) -> Response:
        words = self._words(request)
        others = {key: title for key, title in LANGUAGES.items() if key != words.language}
        url = request.url.remove_query_params(TOKEN)
        links = {title: url.include_query_params(language=key).query
                 for key, title in others.items()}  # fmt: skip
        html = self._made.get_template(name).render(
            t=words, say=words.say, language=words.language, links=links, here=request.url.path,
            **values,
        )  # fmt: skip
        answer = HTMLResponse(html, status)
        if request.query_params.get(LANGUAGE) in LANGUAGES:
            answer.set_cookie(LANGUAGE, words.language, max_age=YEAR, samesite="lax")
        return answer

    def _of(self, maker: Maker) -> Callable[[Request], Response]:
        """Return a handler for the page that `maker` builds from the records; 503 if unreadable."""

        def answer(request: Request) -> Response:
            try:
                with self._place.records() as sources:
                    name, values = maker(sources, dict(request.query_params), self._words(request))
            except self._place.faults as fault:
                messages = [fault.message]  # type: ignore[attr-defined]  # all of them have one
                return self._page(request, "said.html", 503, said=messages)
            found = 200 if name != "said.html" else 404
            return self._page(request, name, found, apart=self._board.apart, **values)

        return answer

    def _wall(self, request: Request) -> Response:
        return self._page(request, "wall.html", wall=self._board.wall())

    async def _stream(self, request: Request) -> Response:
        words = self._words(request)

        def wall() -> str:
            template = self._made.get_template("stations.html")
            return template.render(t=words, say=words.say, wall=self._board.wall())

        return self._live.answer(wall)

    def _static(self, request: Request) -> Response:
        path = STATIC.get(request.path_params["name"])
        return Response(status_code=404) if path is None else FileResponse(path, headers=KEPT)


class BoardServer(uvicorn.Server):
    """Server that ends the live streams when it stops."""

    def __init__(self, config: uvicorn.Config, pages: Pages) -> None:
        super().__init__(config)
        self._pages = pages

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the live streams, then the requests still being answered."""
        self._pages.end()
        await super().shutdown(sockets)


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens at an address of this machine. Raises OSError."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    return socket.create_server((host, port), family=family)


def server(
    place: BoardSource,
    door: Door,
    language: str = "en",
    clock: Callable[[], float] = time.monotonic,
) -> uvicorn.Server:
    """Return the server of a place's board; `run([socket])` serves until the process ends."""
    pages = Pages(place, language if language in LANGUAGES else "en", clock)
    app = Starlette(
        routes=pages.routes(), lifespan=pages.kept_up, exception_handlers={404: pages.not_there}
    )
    config = uvicorn.Config(
        Guard(app, door, pages.turned_away), log_level="warning", access_log=False,
        server_header=False, proxy_headers=False, timeout_graceful_shutdown=1, lifespan="on",
    )  # fmt: skip
    return BoardServer(config, pages)
