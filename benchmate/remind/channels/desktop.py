"""Notifications on the desktop, by `desktop-notifier`, from a thread with an event loop."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import threading
from collections.abc import Callable, Coroutine
from concurrent.futures import TimeoutError as FutureTimeoutError
from typing import Any, TypeVar

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.rules.edges import Reminder

Heard = Callable[[Reminder], None]
T = TypeVar("T")
SEND_S = 8.0
HEARD = "Heard"


class DesktopChannel:
    """Shows reminders on the desktop, with a button that acknowledges them."""

    name = "desktop"

    def __init__(self, on_heard: Heard | None = None, timeout_s: float = SEND_S) -> None:
        """`on_heard` is called from another thread when the maker presses the button; without it
        there is no button.
        """
        self._on_heard = on_heard
        self._timeout_s = timeout_s
        self._lock = threading.Lock()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._notifier: Any = None
        self._shown: dict[str, str] = {}

    def available(self) -> Availability:
        """Whether a desktop answers."""
        try:
            self._run(self._ask())
        except Exception as error:  # each system's libraries raise their own
            return Availability(
                ok=False,
                sentence=f"Desktop: no notification service answers ({type(error).__name__}).",
                mend="Log in to a desktop session; over a remote terminal there is none.",
            )
        return Availability(ok=True, sentence="Desktop: a notification service answers.")

    def send(self, reminder: Reminder) -> Outcome:
        """Show it in place of what was shown of the same edge before."""
        try:
            went = self._run(self._show(reminder))
        except FutureTimeoutError:
            return Outcome(ok=False, note="the desktop did not answer")
        except Exception as error:  # each system's libraries raise their own
            return Outcome(ok=False, note=f"the desktop failed ({type(error).__name__})")
        if went:
            return SENT
        # The session may have been restarted: begin with a new connection next time.
        self._notifier = None
        return Outcome(ok=False, note="the desktop did not take it")

    def withdraw(self, key: str) -> None:
        """Take back what is shown of an edge, once it is acknowledged or met elsewhere."""
        identifier = self._shown.pop(key, None)
        if identifier is None or self._notifier is None:
            return
        with contextlib.suppress(Exception):  # it is gone, or the desktop is
            self._run(self._notifier.clear(identifier))

    def close(self) -> None:
        """End the thread."""
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._loop = None

    def _run(self, work: Coroutine[Any, Any, T]) -> T:
        future = asyncio.run_coroutine_threadsafe(work, self._running_loop())
        try:
            return future.result(self._timeout_s)
        except FutureTimeoutError:
            future.cancel()
            raise

    def _running_loop(self) -> asyncio.AbstractEventLoop:
        with self._lock:
            if self._loop is None:
                self._loop = asyncio.new_event_loop()
                threading.Thread(
                    target=self._loop.run_forever, name="desktop reminders", daemon=True
                ).start()
            return self._loop

    async def _ask(self) -> None:
        notifier = self._made()
        await notifier.get_capabilities()
        if not await notifier.has_authorisation():
            raise PermissionError

    async def _show(self, reminder: Reminder) -> bool:
        from desktop_notifier import Button, Notification, Urgency

        notifier = self._made()
        earlier = self._shown.pop(reminder.key, None)
        if earlier is not None:
            with contextlib.suppress(Exception):  # the maker may have closed it
                await notifier.clear(earlier)
        # The library logs a failure and returns as if all were well: only this call tells.
        dispatched: list[bool] = []
        heard = Button(title=HEARD, on_pressed=lambda: self._heard(reminder))
        notification = Notification(
            title=reminder.title,
            message=reminder.text,
            urgency=Urgency.Critical if reminder.urgent else Urgency.Normal,
            buttons=(heard,) if self._on_heard else (),
            on_dispatched=lambda: dispatched.append(True),
        )
        self._shown[reminder.key] = await notifier.send_notification(notification)
        return bool(dispatched)

    def _made(self) -> Any:
        if self._notifier is None:
            logging.getLogger("desktop_notifier").addHandler(logging.NullHandler())
            logging.getLogger("desktop_notifier").propagate = False
            from desktop_notifier import DesktopNotifier

            self._notifier = DesktopNotifier(app_name="benchmate", app_icon=None)
        return self._notifier

    def _heard(self, reminder: Reminder) -> None:
        self._shown.pop(reminder.key, None)
        if self._on_heard is not None:
            self._on_heard(reminder)
