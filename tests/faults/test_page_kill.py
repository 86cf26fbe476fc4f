"""The page over the death of the process that serves it: heard again soon, and still paired."""

from __future__ import annotations

import json
import signal
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import httpx

from benchmate.settings.writing import keep_values
from tests.faults.minding_processes import holder, mind, set_up, start_windows, wait_for, with_bench

PATIENCE_S = 30.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def pictures(client: httpx.Client) -> Iterator[dict[str, object]]:
    """The pictures of a stream that listens anew as a browser does, for as long as it is asked."""
    give_up = time.monotonic() + PATIENCE_S
    while time.monotonic() < give_up:
        try:
            with client.stream("GET", "/events") as stream:
                assert stream.status_code == 200, "it is not paired any more"
                for line in stream.iter_lines():
                    if line.startswith("data: {"):
                        yield json.loads(line.removeprefix("data: "))
        except httpx.TransportError:
            time.sleep(0.1)
    raise AssertionError("no picture came")


def test_after_kill_9_another_process_serves_the_same_phone_again(tmp_path: Path) -> None:
    home, port = tmp_path / "home", free_port()
    set_up(home)
    start_windows(home, 1, length_s=600.0)
    page = {"on": True, "address": "127.0.0.1", "port": port}
    keep_values(home / "settings.toml", "page", page)
    with mind(home) as first, mind(home) as second:
        wait_for(lambda: holder(home) in (first.pid, second.pid))
        held = first if holder(home) == first.pid else second
        other = second if held is first else first
        code: list[str] = []

        def open_code(bench: object) -> None:
            from benchmate.bench.page.serving import devices_in

            code.append(devices_in(bench.folders.data, bench.clock).open_code())  # type: ignore[arg-type]

        with_bench(home, open_code)
        origin = f"http://127.0.0.1:{port}"
        with httpx.Client(base_url=origin, timeout=5.0) as client:
            headers = {"origin": origin, "content-type": "application/json"}

            def paired() -> bool:
                try:
                    body = json.dumps({"code": code[0]})
                    return client.post("/pair", content=body, headers=headers).status_code == 200
                except httpx.TransportError:
                    return False

            wait_for(paired)
            found = pictures(client)
            assert f"Process {held.pid} reminds" in str(next(found)["foot"])
            held.process.send_signal(signal.SIGKILL)
            killed = time.monotonic()
            assert f"Process {other.pid} reminds" in str(next(found)["foot"])
            print(f"heard again after {time.monotonic() - killed:.2f} s")
            found.close()
        assert other.end(signal.SIGTERM) == 0
