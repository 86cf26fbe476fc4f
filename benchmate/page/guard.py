"""What comes in is looked at before anything answers: host, origin, kind, size, rate. Pure ASGI.

A page of another site that the browser has open can't reach this one: it carries another Host (a
rebound name) or Origin. Nothing larger than a kilobyte is read.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Receive, Scope, Send

LARGEST = 1024
BURST, BURST_S = 10, 10.0
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

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or hand on with the headers that keep a browser strict."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
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
        return 429 if self._is_burst() else None

    def _is_burst(self) -> bool:
        at = self.now()
        while self._posts and at - self._posts[0] > BURST_S:
            self._posts.popleft()
        if len(self._posts) >= BURST:
            return True
        self._posts.append(at)
        return False


async def _say(send: Send, status: int) -> None:
    headers = [(b"content-type", b"text/plain"), (b"connection", b"close"), *HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
