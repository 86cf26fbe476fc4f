"""The server in a thread of its own, bound to one private address, and never to all of them."""

from __future__ import annotations

import logging
import socket
import threading
from ipaddress import ip_address

import uvicorn
from starlette.types import ASGIApp

from benchmate.refusal import Refused

CONNECTIONS = 24
HEAD_S = 8.0
"""A connection that has sent no whole request by then is closed: half-open ones would fill all
places for ever."""


def private_address(wanted: str = "") -> str:
    """The address to bind: the one asked for, else this machine's in the local network.

    Raises Refused for one that isn't private, or where there is no network.
    """
    address = wanted or _own_address()
    try:
        found = ip_address(address)
    except ValueError:
        raise Refused(f"“{address[:40]}” is no address; write one such as 192.168.1.20.") from None
    if not found.is_private or found.is_unspecified:
        raise Refused(
            f"{address} can be reached from outside; the page stays in the local network."
        )
    return address


def _own_address() -> str:
    """By asking which way a packet would go; none is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.168.255.255", 9))
            found: str = probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"
    return found


class PageServer(uvicorn.Server):
    """Serves until told to stop; no signal handlers, no word on the terminal."""

    def __init__(
        self, app: ASGIApp, host: str, port: int, certificate: str = "", key: str = ""
    ) -> None:
        for name in ("uvicorn", "uvicorn.error", "uvicorn.access"):
            log = logging.getLogger(name)
            log.handlers, log.propagate = [logging.NullHandler()], False
        config = uvicorn.Config(
            app,
            host=host,
            port=port,
            log_config=None,
            access_log=False,
            limit_concurrency=CONNECTIONS,
            timeout_keep_alive=5,
            server_header=False,
            date_header=False,
            lifespan="off",
            ssl_certfile=certificate or None,
            ssl_keyfile=key or None,
        )
        super().__init__(config)
        self._thread = threading.Thread(target=self._listen, name="page", daemon=True)
        self._waiting: dict[object, float] = {}
        self.fault = ""
        """Why it can't listen; empty: it can, or did."""

    def begin(self) -> None:
        """Start serving."""
        self._thread.start()

    def end(self) -> None:
        """Stop, and wait a moment for the thread."""
        self.should_exit = True
        self._thread.join(2.0)

    def _listen(self) -> None:
        try:
            self.run()
        except SystemExit:  # the library's own, where it can't bind
            self.fault = "its port may be taken"
        except OSError as error:
            self.fault = f"the certificate or its key can't be read ({error.strerror or error})"

    @property
    def is_up(self) -> bool:
        """Whether it listens."""
        return bool(self.started) and self._thread.is_alive()

    @property
    def is_over(self) -> bool:
        """Whether it has ended, or could never listen."""
        return self._thread.ident is not None and not self._thread.is_alive()

    def install_signal_handlers(self) -> None:
        """Signals belong to whoever runs the command."""

    async def on_tick(self, counter: int) -> bool:
        """Ten times a second: close what has sent no whole request for too long."""
        done = await super().on_tick(counter)
        at = counter / 10.0
        silent = {c for c in self.server_state.connections if getattr(c, "cycle", None) is None}
        self._waiting = {c: self._waiting.get(c, at) for c in silent}
        for connection, since in list(self._waiting.items()):
            transport = getattr(connection, "transport", None)
            if at - since >= HEAD_S and transport is not None:
                transport.close()
        return bool(done)
