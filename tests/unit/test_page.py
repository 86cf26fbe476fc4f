"""The page: its guard line by line, pairing, the picture, OK, half-open connections, silence."""

from __future__ import annotations

import asyncio
import json
import os
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from msgspec import structs

from benchmate.bench.page.kept import MISSING, KeptPage
from benchmate.bench.page.picture import picture_of
from benchmate.bench.page.serving import Serving
from benchmate.page.app import Shown, make_app
from benchmate.page.devices import CODE_S, Devices
from benchmate.page.server import private_address
from benchmate.refusal import Refused
from benchmate.settings.model import PageSettings
from tests.needs import needs
from tests.remind_help import reminder
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


TYPED = {**ORIGIN, "content-type": "text/plain"}
FOREIGN = {**ORIGIN, "origin": "http://evil.example"}
NO_ORIGIN = {"content-type": "application/json"}
GUARD = {
    "a rebound name": ("GET", "/now", {"host": "evil.example"}, b"", 421),
    "its name without the port": ("GET", "/", {"host": "192.168.1.20"}, b"", 421),
    "another site's page": ("POST", "/ok", FOREIGN, b"{}", 403),
    "no origin": ("POST", "/ok", NO_ORIGIN, b"{}", 403),
    "not JSON": ("POST", "/ok", TYPED, b"{}", 415),
    "over a kilobyte": ("POST", "/ok", ORIGIN, b"x" * 1025, 413),
    "not paired: the picture": ("GET", "/now", {}, b"", 401),
    "not paired: the stream": ("GET", "/events", {}, b"", 401),
    "not paired: OK": ("POST", "/ok", ORIGIN, b"{}", 401),
    "a wrong code": ("POST", "/pair", ORIGIN, b'{"code": "AAAAAAAA"}', 403),
    "another method": ("DELETE", "/now", {}, b"", 405),
    "an unknown path": ("GET", "/journal", {}, b"", 404),
}


@pytest.mark.parametrize(("method", "path", "headers", "body", "status"), GUARD.values(), ids=GUARD)
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


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def soon(what: Callable[[], object]) -> None:
    """Wait for another thread."""
    give_up = time.monotonic() + 30.0
    while not what():
        assert time.monotonic() < give_up
        time.sleep(0.01)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    """A job has begun, and the page is on."""
    made = Worked(tmp_path)
    made.start()
    wanted = PageSettings(on=True, address="127.0.0.1", port=free_port())
    made.bench.settings = structs.replace(made.bench.settings, page=wanted)
    yield made
    made.bench.close()


def of_page(shop: Worked, **more: object) -> None:
    """Set the page otherwise."""
    settings = shop.bench.settings
    page = structs.replace(settings.page, **more)
    shop.bench.settings = structs.replace(settings, page=page)


class TestKept:
    @pytest.fixture
    def kept(self, shop: Worked) -> Iterator[KeptPage]:
        made = KeptPage(shop.bench)
        yield made
        made.stop()

    def test_a_taken_port_and_a_bad_certificate_are_told_apart(
        self, shop: Worked, kept: KeptPage, tmp_path: Path
    ) -> None:
        with socket.socket() as other:
            other.bind(("127.0.0.1", shop.bench.settings.page.port))
            other.listen()
            soon(lambda: kept.look((), on=True) or "its port may be taken" in kept.fault)
        (tmp_path / "cert.pem").write_text("no certificate")
        certificate = str(tmp_path / "cert.pem")
        of_page(shop, certificate=certificate, key=certificate)
        soon(lambda: kept.look((), on=True) or "the certificate or its key" in kept.fault)
        of_page(shop, certificate="", key="")
        soon(lambda: kept.look((), on=True) or not kept.fault)

    def test_a_machine_that_got_another_address_is_served_there(
        self, shop: Worked, kept: KeptPage, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        own = ["127.0.0.1"]
        monkeypatch.setattr("benchmate.page.server._own_address", lambda: own[0])
        monkeypatch.setattr("benchmate.bench.page.serving.MOVED_S", 0.0)
        monkeypatch.setattr("benchmate.bench.page.kept.AGAIN_S", 0.0)
        of_page(shop, address="")
        url = "http://{}:" + f"{shop.bench.settings.page.port}/page.css"

        def answers(address: str) -> bool:
            kept.look((), on=True)
            try:
                return httpx.get(url.format(address)).status_code == 200
            except httpx.TransportError:
                return False

        soon(lambda: answers("127.0.0.1"))
        own[0] = "127.0.0.2"
        soon(lambda: answers("127.0.0.2"))
        assert not answers("127.0.0.1")

    def test_without_its_packages_a_sentence_says_what_to_install(
        self, kept: KeptPage, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setitem(sys.modules, "benchmate.bench.page.serving", None)
        kept.look((), on=True)
        assert kept.fault == MISSING

    def test_off_nothing_listens_nothing_is_loaded_and_no_thread_is_there(
        self, tmp_path: Path
    ) -> None:
        done = subprocess.run(
            [sys.executable, "-c", OFF, str(tmp_path)], capture_output=True, text=True, check=True
        )
        assert json.loads(done.stdout) == {"threads": ["minding"], "listens": 0, "loaded": []}


OFF = """
import json, sys, threading, time
from pathlib import Path
import psutil
from benchmate.bench import Bench
from benchmate.bench.reminding.minding import Minding
from benchmate.settings import Settings, find_folders
bench = Bench.open(find_folders(Path(sys.argv[1])), Settings())
minding = Minding(bench)
minding.start()
while minding.holds_voice is None:
    time.sleep(0.01)
time.sleep(0.5)
journals = "_sync_when_noted"  # there for a moment whenever a row was noted
found = [t.name for t in threading.enumerate() if journals not in t.name and t.daemon]
listens = [c for c in psutil.Process().net_connections("inet") if c.status == "LISTEN"]
names = ("starlette", "uvicorn", "segno", "serial", "hid", "apprise")
loaded = [name for name in names if name in sys.modules]
minding.stop()
bench.close()
print(json.dumps({"threads": found, "listens": len(listens), "loaded": loaded}))
"""


@needs("openssl")
def test_who_has_a_certificate_is_served_by_https_and_the_key_never_goes_in_the_clear(
    shop: Worked, tmp_path: Path
) -> None:
    certificate, key = tmp_path / "cert.pem", tmp_path / "key.pem"
    words = "openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=shop -addext"
    names = ["subjectAltName=IP:127.0.0.1", "-out", str(certificate), "-keyout", str(key)]
    subprocess.run([*words.split(), *names], check=True, capture_output=True)
    of_page(shop, certificate=str(certificate), key=str(key))
    made = Serving(shop.bench)
    made.server.begin()
    soon(lambda: made.server.is_up)
    trusted = ssl.create_default_context(cafile=str(certificate))
    try:
        with httpx.Client(base_url=made.link, verify=trusted) as client:
            headers = {"origin": made.link.rstrip("/"), "content-type": "application/json"}
            content = json.dumps({"code": made.devices.open_code()})
            answer = client.post("/pair", content=content, headers=headers)
            assert answer.status_code == 200
            assert "secure" in answer.headers["set-cookie"].lower()
            assert client.get("/now").status_code == 200
        with pytest.raises(httpx.TransportError):
            httpx.get(made.link.replace("https", "http"))
    finally:
        made.server.end()


class TestServed:
    @pytest.fixture
    def serving(self, shop: Worked) -> Iterator[Serving]:
        made = Serving(shop.bench)
        made.server.begin()
        soon(lambda: made.server.is_up)
        yield made
        made.server.end()

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
                lines = stream.iter_lines()
                first = next(line for line in lines if line)
                assert json.loads(first.removeprefix("data: "))["what"] == shown["what"]
                serving.devices.forget()
                serving.look([reminder("The jig is free.")])
                assert not any("jig" in line for line in lines), "it ends"

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
