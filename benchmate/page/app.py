"""The page's few routes: its files, one picture, a stream of pictures, pairing, OK."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp

from benchmate.page.devices import Devices
from benchmate.page.guard import Guard

STATIC = Path(__file__).parent / "static"
FILES = {"/": "page.html", "/page.js": "page.js", "/page.css": "page.css"}
COOKIE, COOKIE_S = "device", 180 * 86_400
LOOK_S, BEAT_S = 0.25, 5.0
MOST_STREAMS = 8

Picture = dict[str, Any]


@dataclass
class Shown:
    """What the bench gives the page: the newest picture, and what to do with an OK."""

    picture: Callable[[], Picture]
    """Plain data; `now` in it is stamped anew with every sending."""
    ok: Callable[[], int]
    """Acknowledge everything that stands; how much that was."""
    wall_s: Callable[[], float]


def make_app(shown: Shown, devices: Devices, host: str) -> ASGIApp:
    """The app, guarded. `host` is what its address is called, with the port."""
    streams = _Streams(shown)

    def paired(request: Request) -> bool:
        return devices.knows(request.cookies.get(COOKIE, ""))

    async def file(request: Request) -> Response:
        return FileResponse(STATIC / FILES[request.url.path])

    async def now(request: Request) -> Response:
        return JSONResponse(streams.stamped()) if paired(request) else Response(status_code=401)

    async def events(request: Request) -> Response:
        if not paired(request):
            return Response(status_code=401)
        if streams.open >= MOST_STREAMS:
            return Response(status_code=503)
        followed = streams.follow(request, lambda: paired(request))
        return StreamingResponse(followed, media_type="text/event-stream")

    async def pair(request: Request) -> Response:
        if devices.is_held_off:
            return Response(status_code=429)
        key = devices.pair(str((await _body(request)).get("code", "")))
        if key is None:
            return Response(status_code=403)
        response = JSONResponse({"paired": True})
        response.set_cookie(
            COOKIE,
            key,
            max_age=COOKIE_S,
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )
        return response

    async def heard(request: Request) -> Response:
        if not paired(request):
            return Response(status_code=401)
        return JSONResponse({"heard": await asyncio.to_thread(shown.ok)})

    routes = [Route(path, file) for path in FILES]
    routes += [Route("/now", now), Route("/events", events)]
    routes += [Route("/pair", pair, methods=["POST"]), Route("/ok", heard, methods=["POST"])]
    return Guard(Starlette(routes=routes), host, shown.wall_s)


async def _body(request: Request) -> dict[str, Any]:
    try:
        found = await request.json()
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


class _Streams:
    """All that follow the pictures; each gets a new one when it changes, and a beat between."""

    def __init__(self, shown: Shown) -> None:
        self.shown, self.open = shown, 0

    def stamped(self) -> Picture:
        """The picture with the instant of its sending, by which the browser sets its clock."""
        return {**self.shown.picture(), "now": self.shown.wall_s()}

    async def follow(self, request: Request, is_known: Callable[[], bool]) -> AsyncIterator[str]:
        """Server-sent events until the browser goes, or is forgotten."""
        self.open += 1
        last, quiet_s = "", 0.0
        try:
            while not await request.is_disconnected():
                drawn = json.dumps(self.shown.picture(), sort_keys=True)
                text = ""
                if drawn != last:
                    text = f"data: {json.dumps(self.stamped())}\n\n"
                elif quiet_s >= BEAT_S:
                    text = f"event: beat\ndata: {self.shown.wall_s()}\n\n"
                if text:
                    if not is_known():
                        return
                    last, quiet_s = drawn, 0.0
                    yield text
                await asyncio.sleep(LOOK_S)
                quiet_s += LOOK_S
        finally:
            self.open -= 1
