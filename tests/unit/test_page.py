"""The page: its guard line by line, pairing, the picture, OK, half-open connections, silence."""

from __future__ import annotations

import asyncio
import json
import os
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from msgspec import structs

from benchmate.bench.page.picture import picture_of
from benchmate.bench.page.serving import Serving
from benchmate.page.app import Shown, make_app
from benchmate.page.devices import CODE_S, Devices
from benchmate.page.server import private_address
from benchmate.refusal import Refused
from benchmate.settings.model import PageSettings
from tests.unit.loop_help import Worked

HOST = "192.168.1.20:8765"
ORIGIN = {"origin": f"http://{HOST}", "content-type": "application/json"}


class Clock:
    """A clock that is set."""

    def __init__(self) -> None:
        self.at = 1_800_000_000.0

    def __call__(self) -> float:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def devices(tmp_path: Path, clock: Clock) -> Devices:
    return Devices(tmp_path / "devices.json", clock)


class Page:
    """A browser at the page."""

    def __init__(self, devices: Devices, clock: Clock) -> None:
        self.heard = 0
        self.shown = {"next": "<script>pour</script>", "standing": ["Cup 2 gels at 20:33"]}
        shown = Shown(lambda: self.shown, self._ok, clock)
        self.app = make_app(shown, devices, HOST)
        self.cookies: dict[str, str] = {}

    def _ok(self) -> int:
        self.heard += 1
        return 1

    def ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(
                transport=transport, base_url=f"http://{HOST}", cookies=self.cookies
            ) as client:
                return await client.request(method, path, **more)

        answer = asyncio.run(once())
        self.cookies.update(dict(answer.cookies))
        return answer

    def pair(self, code: str) -> httpx.Response:
        return self.ask("POST", "/pair", content=json.dumps({"code": code}), headers=ORIGIN)


@pytest.fixture
def page(devices: Devices, clock: Clock) -> Page:
    return Page(devices, clock)


@pytest.mark.parametrize(
    ("method", "path", "headers", "body", "status"),
    [
        ("GET", "/now", {"host": "evil.example"}, b"", 421),
        ("GET", "/", {"host": "192.168.1.20"}, b"", 421),
        (
            "POST",
            "/ok",
            {"origin": "http://evil.example", "content-type": "application/json"},
            b"{}",
            403,
        ),
        ("POST", "/ok", {"content-type": "application/json"}, b"{}", 403),
        ("POST", "/ok", {**ORIGIN, "content-type": "text/plain"}, b"{}", 415),
        ("POST", "/ok", ORIGIN, b"x" * 1025, 413),
        ("GET", "/now", {}, b"", 401),
        ("GET", "/events", {}, b"", 401),
        ("POST", "/ok", ORIGIN, b"{}", 401),
        ("DELETE", "/now", {}, b"", 405),
        ("GET", "/journal", {}, b"", 404),
    ],
)
def test_the_guard_refuses(
    page: Page, method: str, path: str, headers: dict[str, str], body: bytes, status: int
) -> None:
    answer = page.ask(method, path, headers=headers, content=body or None)
    assert answer.status_code == status
    assert page.heard == 0


def test_a_body_of_unknown_length_is_refused(page: Page) -> None:
    def chunks() -> Iterator[bytes]:
        yield b"{}"

    async def sent() -> httpx.Response:
        async def stream() -> Any:
            yield b"{}"

        transport = httpx.ASGITransport(app=page.app)
        async with httpx.AsyncClient(transport=transport, base_url=f"http://{HOST}") as client:
            return await client.post("/ok", content=stream(), headers=ORIGIN)

    assert asyncio.run(sent()).status_code == 413


def test_a_burst_is_held_off(page: Page, clock: Clock) -> None:
    statuses = [
        page.ask("POST", "/ok", content=b"{}", headers=ORIGIN).status_code for _ in range(12)
    ]
    assert statuses == [401] * 10 + [429] * 2
    clock.at += 11.0
    assert page.ask("POST", "/ok", content=b"{}", headers=ORIGIN).status_code == 401


def test_a_flood_is_let_wait(page: Page, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchmate.page.guard.LET_WAIT_S", 0.0)
    statuses = [page.ask("GET", "/page.css").status_code for _ in range(42)]
    assert statuses == [200] * 40 + [429] * 2
    clock.at += 1.5
    assert page.ask("GET", "/page.css").status_code == 200


def test_its_headers_keep_a_browser_strict_and_no_file_holds_data(page: Page) -> None:
    for path in ("/", "/page.js", "/page.css"):
        answer = page.ask("GET", path)
        assert answer.status_code == 200
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["cache-control"] == "no-store"
        assert "Cup 2" not in answer.text
    script = page.ask("GET", "/page.js").text
    assert "innerHTML" not in script, "what was typed is only ever text"


def test_a_device_pairs_once_looks_and_says_ok(page: Page, devices: Devices, clock: Clock) -> None:
    code = devices.open_code()
    assert page.pair(f" {code[:4]} {code[4:].lower()} ").status_code == 200
    assert page.ask("GET", "/now").json() == {**page.shown, "now": clock.at}
    assert page.ask("POST", "/ok", content=b"{}", headers=ORIGIN).json() == {"heard": 1}
    assert page.heard == 1
    other = Page(devices, clock)
    assert other.pair(code).status_code == 403, "a code is good once"
    assert devices.forget() == 1
    assert page.ask("GET", "/now").status_code == 401


def test_a_code_ends_after_ten_minutes_and_guessing_is_held_off(
    page: Page, devices: Devices, clock: Clock
) -> None:
    code = devices.open_code()
    clock.at += CODE_S + 1.0
    assert page.pair(code).status_code == 403
    code = devices.open_code()
    clock.at += 61.0
    for _ in range(5):
        assert page.pair("AAAAAAAA").status_code == 403
    assert page.pair(code).status_code == 429, "not even the right one"
    clock.at += 61.0
    assert page.pair(code).status_code == 200


def test_only_hashes_are_kept_for_the_owner_alone(page: Page, devices: Devices) -> None:
    page.pair(devices.open_code())
    key = page.cookies["device"]
    text = devices.file.read_text(encoding="utf-8")
    assert key not in text
    assert devices.file.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("address", ["0.0.0.0", "8.8.8.8", "not an address", "::"])
def test_it_is_never_bound_to_what_can_be_reached_from_outside(address: str) -> None:
    with pytest.raises(Refused):
        private_address(address)


class TestServed:
    @pytest.fixture
    def serving(self, tmp_path: Path) -> Iterator[Serving]:
        shop = Worked(tmp_path)
        shop.start()
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        wanted = PageSettings(on=True, address="127.0.0.1", port=port)
        shop.bench.settings = structs.replace(shop.bench.settings, page=wanted)
        made = Serving(shop.bench)
        made.server.begin()
        for _ in range(100):
            if made.server.is_up:
                break
            asyncio.run(asyncio.sleep(0.05))
        yield made
        made.server.end()
        shop.bench.close()

    def test_the_real_server_shows_the_shop_to_a_paired_device(self, serving: Serving) -> None:
        host = f"127.0.0.1:{serving.port}"
        with httpx.Client(base_url=f"http://{host}") as client:
            assert client.get("/now").status_code == 401
            code = serving.devices.open_code()
            headers = {"origin": f"http://{host}", "content-type": "application/json"}
            content = json.dumps({"code": code})
            assert client.post("/pair", content=content, headers=headers).status_code == 200
            shown = client.get("/now").json()
            drawn = picture_of(serving.bench, [], f"Process {os.getpid()} reminds.")
            assert {k: v for k, v in shown.items() if k != "now"} == drawn
            with client.stream("GET", "/events") as stream:
                first = next(line for line in stream.iter_lines() if line)
                assert json.loads(first.removeprefix("data: "))["what"] == shown["what"]

    def test_thirty_half_open_connections_dont_keep_others_out_for_ever(
        self, serving: Serving, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr("benchmate.page.server.HEAD_S", 1.0)
        held = [socket.create_connection(("127.0.0.1", serving.port)) for _ in range(30)]
        try:
            for one in held:
                one.sendall(b"GET / HTTP/1.1\r\nHost: x")
            answered = False
            for _ in range(60):
                try:
                    host = {"host": f"127.0.0.1:{serving.port}"}
                    answer = httpx.get(f"http://127.0.0.1:{serving.port}/", headers=host)
                    answered = answer.status_code == 200
                except httpx.HTTPError:
                    answered = False
                if answered:
                    break
                asyncio.run(asyncio.sleep(0.1))
            assert answered
        finally:
            for one in held:
                one.close()


def test_the_picture_is_plain_data_with_every_clock(tmp_path: Path) -> None:
    shop = Worked(tmp_path)
    shop.start()
    shop.until("A/block/pour#1", kind="do")
    drawn = picture_of(shop.bench, [], "")
    assert json.loads(json.dumps(drawn)) == drawn
    assert any("pot life" in clock["label"] for clock in drawn["clocks"])
    assert drawn["until"] is not None
    assert drawn["until"] > shop.bench.now().wall_s
    shop.bench.close()
