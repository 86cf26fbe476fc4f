"""Messages to the maker's own phone, mail or chat, at an address that `apprise` understands."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from benchmate.remind.channels.base import SENT, Availability, Outcome
from benchmate.remind.channels.redact import kind_of_address, redacted
from benchmate.remind.rules.edges import Reminder, Stage

LONGEST_NOTE = 160
SLOW_S = 15.0
"""So long a service may take to answer: what it took and didn't confirm would come twice."""


class MessageChannel:
    """Sends reminders to one address. The address is a secret: it is never part of any text."""

    def __init__(self, address: str, name: int | str = 1) -> None:
        """`name` tells the maker's addresses apart: "1", "urgent 1"."""
        self.name = f"message:{name}"
        self._address = address
        self._kind = kind_of_address(address)
        self._service: Any = None

    def __repr__(self) -> str:
        return f"MessageChannel({self.name}, {self._kind})"

    def available(self) -> Availability:
        """Whether the address can be understood; whether it answers, only a message tells."""
        if self._load():
            return Availability(ok=True, sentence=f"Messages: address {self._place} is understood.")
        return Availability(
            ok=False,
            sentence=f"Messages: address {self._place} can't be understood.",
            mend="Compare it with the list of services in apprise's documentation.",
        )

    @property
    def _place(self) -> str:
        return f"{self.name.partition(':')[2]} ({self._kind})"

    def send(self, reminder: Reminder) -> Outcome:
        """Send it once; whether trying again may help is for the caller to use."""
        service = self._load()
        if not service:
            return Outcome(ok=False, note=f"address {self._place} can't be understood")
        with _kept_log() as log:
            try:
                went = service.notify(
                    title=reminder.title, body=reminder.text, notify_type=_type_of(reminder)
                )
            except Exception as error:  # a plug-in may raise anything
                log.append(type(error).__name__)
                went = False
        if went:
            return SENT
        reason = redacted("; ".join(log), (self._address,))[:LONGEST_NOTE]
        note = f"address {self._place} did not take it{': ' if reason else ''}{reason}"
        return Outcome(ok=False, note=note, retry=True)

    def _load(self) -> Any:
        if self._service is None:
            with _kept_log():
                self._service = _service_of(self._address)
        return self._service


def _service_of(address: str) -> Any:
    """The library's object for an address, or False. Loaded here, since it takes a while."""
    import apprise

    asset = apprise.AppriseAsset(
        app_id="benchmate",
        app_desc="benchmate",
        async_mode=False,
        secure_logging=True,
        storage_mode=apprise.PersistentStoreMode.MEMORY,
    )
    service = apprise.Apprise(asset=asset)
    try:
        if not service.add(address):
            return False
    except Exception:  # an address may be any text at all
        return False
    for one in service:
        one.socket_read_timeout = max(SLOW_S, one.socket_read_timeout or 0.0)
    return service


def _type_of(reminder: Reminder) -> Any:
    """How grave it is, in the library's words: each service makes its own priority of it."""
    from apprise import NotifyType

    if reminder.urgent:
        return NotifyType.FAILURE
    grave = reminder.edge.gravity > 0 and reminder.stage in (Stage.CLOSING, Stage.MISSED)
    return NotifyType.WARNING if grave else NotifyType.INFO


@contextmanager
def _kept_log() -> Iterator[list[str]]:
    """Warnings of the library as texts, instead of on the terminal or in somebody's log file."""
    kept: list[str] = []
    logger = logging.getLogger("apprise")
    handler = _Keeper(kept)
    logger.addHandler(handler)
    try:
        yield kept
    finally:
        logger.removeHandler(handler)


class _Keeper(logging.Handler):
    def __init__(self, kept: list[str]) -> None:
        super().__init__(logging.WARNING)
        self._kept = kept

    def emit(self, record: logging.LogRecord) -> None:
        self._kept.append(record.getMessage())


for _name in ("apprise", "urllib3"):
    # What they log below a warning quotes addresses; nothing of it may reach another's log.
    logging.getLogger(_name).addHandler(logging.NullHandler())
    logging.getLogger(_name).propagate = False
