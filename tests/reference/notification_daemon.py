"""A small desktop for the tests: notifications and power, after freedesktop.org's specifications.

Owns their names on the session bus, writes each call as a line of JSON to the
file named by its first argument, and, as a second argument says, presses the first button of
each notification ("press"), refuses every one ("refuse"), or never answers ("hang").
"""
# ruff: noqa: F722, F821

import asyncio
import json
import sys
from pathlib import Path

from dbus_fast.aio import MessageBus
from dbus_fast.constants import RequestNameReply
from dbus_fast.errors import DBusError
from dbus_fast.service import ServiceInterface, dbus_method, dbus_signal

NAME = "org.freedesktop.Notifications"
POWER = "org.freedesktop.PowerManagement"


class Notifications(ServiceInterface):
    """The interface, as far as a sender uses it."""

    def __init__(self, told: Path, habit: str) -> None:
        super().__init__(NAME)
        self.told, self.habit, self.last = told, habit, 0

    def tell(self, **what: object) -> None:
        with self.told.open("a") as file:
            file.write(json.dumps(what) + "\n")

    @dbus_method()
    def GetCapabilities(self) -> "as":
        return ["body", "actions"]

    @dbus_method()
    def GetServerInformation(self) -> "ssss":
        return ["a test", "nobody", "1", "1.2"]

    @dbus_method()
    async def Notify(
        self,
        app: "s",
        replaces: "u",
        icon: "s",
        summary: "s",
        body: "s",
        actions: "as",
        hints: "a{sv}",
        timeout: "i",
    ) -> "u":
        if self.habit == "hang":
            await asyncio.sleep(60)
        if self.habit == "refuse":
            raise DBusError(f"{NAME}.Error", "not today")
        self.last += 1
        self.tell(
            call="Notify",
            id=self.last,
            app=app,
            summary=summary,
            body=body,
            actions=actions,
            urgency=hints["urgency"].value,
        )
        if self.habit == "press":
            button = next(a for a in actions[::2] if a != "default")
            asyncio.get_running_loop().call_later(0.1, self.ActionInvoked, self.last, button)
        return self.last

    @dbus_method()
    def CloseNotification(self, id: "u"):
        self.tell(call="CloseNotification", id=id)
        self.NotificationClosed(id, 3)

    @dbus_signal()
    def ActionInvoked(self, id: "u", key: "s") -> "us":
        return [id, key]

    @dbus_signal()
    def NotificationClosed(self, id: "u", reason: "u") -> "uu":
        return [id, reason]


class Inhibit(ServiceInterface):
    """The power manager's interface that keeps a machine awake (org.freedesktop, version 0.2)."""

    def __init__(self, told: Notifications) -> None:
        super().__init__(f"{POWER}.Inhibit")
        self.told = told

    @dbus_method()
    def Inhibit(self, application: "s", reason: "s") -> "u":
        self.told.tell(call="Inhibit", application=application, reason=reason)
        return 77

    @dbus_method()
    def UnInhibit(self, cookie: "u"):
        self.told.tell(call="UnInhibit", cookie=cookie)

    @dbus_method()
    def HasInhibit(self) -> "b":
        return True


async def main(told: str, habit: str = "") -> None:
    bus = await MessageBus().connect()
    notifications = Notifications(Path(told), habit)
    bus.export("/org/freedesktop/Notifications", notifications)
    bus.export("/org/freedesktop/PowerManagement/Inhibit", Inhibit(notifications))
    for name in (NAME, POWER):
        assert await bus.request_name(name) is RequestNameReply.PRIMARY_OWNER
    Path(told).touch()
    await bus.wait_for_disconnect()


if __name__ == "__main__":
    asyncio.run(main(*sys.argv[1:]))
