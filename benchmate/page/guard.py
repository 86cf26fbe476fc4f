"""What comes in is looked at before anything answers: host, origin, kind, size, rate. Pure ASGI.

A page of another site that the browser has open can't reach this one: it carries another Host (a
rebound name) or Origin. Nothing larger than a kilobyte is read.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Receive, Scope, Send

LARGEST = 1024
BURST, BURST_S = 10, 10.0
FLOOD, FLOOD_S = 40, 1.0
LET_WAIT_S = 0.5
"""A flood is answered so slowly that the reminders beside it keep their time."""
HEADERS = (
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
        b"img-src 'self' data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
)


@dataclass
class Guard:
    """Wraps the app; `host` is "192.168.1.20:8765"."""

    app: ASGIApp
    host: str
    now: Callable[[], float]
    _posts: deque[float] = field(default_factory=deque)
    _all: deque[float] = field(default_factory=deque)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or hand on with the headers that keep a browser strict."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if _is_over(self._all, self.now(), FLOOD, FLOOD_S):
            await asyncio.sleep(LET_WAIT_S)
            await _say(send, 429)
            return
        refused = self._refused(scope)
        if refused is not None:
            await _say(send, refused)
            return

        async def strict(message: dict[str, object]) -> None:
            if message["type"] == "http.response.start":
                headers = message.get("headers")
                assert isinstance(headers, list)
                message = {**message, "headers": [*headers, *HEADERS]}
            await send(message)

        await self.app(scope, receive, strict)  # type: ignore[arg-type]

    def _refused(self, scope: Scope) -> int | None:
        headers = {name.lower(): value for name, value in scope["headers"]}
        if headers.get(b"host", b"").decode("latin-1") != self.host:
            return 421
        if scope["method"] not in ("GET", "POST"):
            return 405
        if scope["method"] == "GET":
            return None
        if headers.get(b"origin", b"").decode("latin-1") not in (
            f"http://{self.host}",
            f"https://{self.host}",
        ):
            return 403
        if not headers.get(b"content-type", b"").startswith(b"application/json"):
            return 415
        length = headers.get(b"content-length", b"")
        if not length.isdigit() or int(length) > LARGEST:
            return 413
        return 429 if _is_over(self._posts, self.now(), BURST, BURST_S) else None


def _is_over(times: deque[float], at: float, most: int, within_s: float) -> bool:
    """Whether so many came within so long already; else this one is counted too."""
    while times and not 0.0 <= at - times[0] <= within_s:
        times.popleft()
    if len(times) >= most:
        return True
    times.append(at)
    return False


async def _say(send: Send, status: int) -> None:
    headers = [(b"content-type", b"text/plain"), (b"connection", b"close"), *HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
