"""The wall as a live stream, sent at once and on every change to a limited number of listeners."""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import suppress

from starlette.responses import Response, StreamingResponse
from starlette.types import Message as Sent
from starlette.types import Receive, Scope, Send

MOST_LISTENERS = 64
ALIVE_SECONDS = 15.0  # sent again, so that a page knows that the board is alive
TAKES_SECONDS = 30.0  # a listener that reads nothing for so long is dropped
END_SECONDS = 0.5  # the same when the board stops


class Listeners:
    """The current listeners."""

    def __init__(self) -> None:
        self._listening: set[_Stream] = set()

    def news(self) -> None:
        """Send the wall to every listener."""
        for each in self._listening:
            each.news.set()

    def end(self) -> None:
        """End all streams, even those whose listener has stopped reading."""
        for each in self._listening:
            each.end()

    def answer(self, wall: Callable[[], str]) -> Response:
        """Return a stream of the wall, or 503 if there are too many listeners."""
        if len(self._listening) >= MOST_LISTENERS:
            return Response(status_code=503)
        stream = _Stream(wall, self._listening.discard)
        self._listening.add(stream)
        return stream


class _Stream(StreamingResponse):
    """One listener, from the request to the end of the connection."""

    def __init__(self, wall: Callable[[], str], gone: Callable[["_Stream"], None]) -> None:
        super().__init__(self._updates(wall), media_type="text/event-stream")
        self.news, self._gone = asyncio.Event(), gone
        self.news.set()
        self._ending = False
        self._patience: asyncio.Timeout | None = None

    def end(self) -> None:
        self._ending = True
        self.news.set()
        if self._patience is not None:
            self._patience.reschedule(asyncio.get_running_loop().time() + END_SECONDS)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            await super().__call__(scope, receive, send)
        finally:
            self._gone(self)

    async def stream_response(self, send: Send) -> None:
        async def taken(message: Sent) -> None:
            try:
                async with asyncio.timeout(TAKES_SECONDS) as self._patience:
                    await send(message)
            finally:
                self._patience = None

        with suppress(TimeoutError):
            await super().stream_response(taken)

    async def _updates(self, wall: Callable[[], str]) -> AsyncIterator[str]:
        while not self._ending:
            with suppress(TimeoutError):
                await asyncio.wait_for(self.news.wait(), ALIVE_SECONDS)
            self.news.clear()
            yield "".join(f"data: {line}\n" for line in wall().splitlines()) + "\n"
