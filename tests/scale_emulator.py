"""A weighing scale on a serial line, played by a program: an outside instrument for tests (POSIX).

Whatever reads a serial port can open `ScaleEmulator.port`, or the path given as `link`, which leads
to the new port after the plug was pulled. The display follows the load like a real one (settling,
noise, division, capacity, tare) and is sent in one of several line forms, all made up, none any
maker's. What went out stands in `sent` with what it truly meant, so that a test can compare.

    with ScaleEmulator("marks", rate_hz=10, link="/tmp/scale") as scale:
        scale.put(128.4); scale.put(62.0, seconds=8); scale.spoil("cut")
        scale.during("unplugged", 2.0); scale.unit = "oz"

By hand: `python scale_emulator.py --form marks --link /tmp/scale`, then type `put 128.4`.
"""

import argparse
import os
import pty
import random
import select
import sys
import threading
import time
import tty
from collections import deque
from collections.abc import Callable
from typing import NamedTuple, Self

UNITS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
FORMS = {
    "marks": "[S B] +  123.4  g: steady or moving (S, M), whole or net (B, N), over beyond range",
    "plain": "    123.4 g: the unit is missing while it moves; ------ beyond range",
    "comma": "    123,4 g: as plain, with a decimal comma",
    "bare": "123.4: nothing else, ends with CR alone; Err beyond range",
    "three": "N 7, T 0.0 g, W 123.4 g: three lines a weighing, a ? behind while it moves",
    "framed": "STX, status, places, seven digits, sign, check byte, CR: no decimal point",
}
SPOILERS, TIMES = ("cut", "glue", "dribble", "garbage"), ("silent", "unplugged", "wrong-speed")


class Sent(NamedTuple):
    """A line that went out: monotonic time, bytes, display (None: beyond range), and its state."""

    at: float
    data: bytes
    grams: float | None
    stable: bool
    whole: bool


class ScaleEmulator:
    """See the module. Driven by a `clock` there is no port and no thread: call `beat`.

    `demand`: None sends all the time; bytes such as b"W" sends when asked.
    """

    def __init__(
        self,
        form: str = "marks",
        rate_hz: float = 10.0,
        division_g: float = 0.1,
        capacity_g: float = 3000.0,
        noise_g: float = 0.02,
        demand: bytes | None = None,
        link: str = "",
        seed: int = 1,
        clock: Callable[[], float] | None = None,
    ) -> None:
        self.form, self.rate_hz, self.demand, self.link = form, rate_hz, demand, link
        self.division_g, self.capacity_g, self.noise_g = division_g, capacity_g, noise_g
        self.unit, self.port, self.stable = "g", "", True  # set `unit` to switch: g, kg, oz, lb
        self.shown_g: float | None = 0.0
        self.sent: list[Sent] = []
        self._random, self._lock = random.Random(seed), threading.Lock()
        self._over = threading.Event()
        self._load = self._pan = self._tare = 0.0
        self._pours: list[tuple[float, float, float]] = []  # grams, from, until
        self._recent: deque[int] = deque([0, 99], maxlen=4)
        self._spoilers: deque[str] = deque()
        self._until = dict.fromkeys(TIMES, 0.0)
        self._driven, self._now = clock is not None, clock or time.monotonic
        self.pieces: list[bytes] = []  # driven: what went out, in place of a port
        self._asked, self._last, self._master = b"", self._now(), -1
        self._plug_in()
        if self._driven:
            return
        self._thread = threading.Thread(target=self._run, name="scale", daemon=True)
        self._thread.start()

    def take_off(self) -> None:
        """Take everything off; a pour that runs ends."""
        with self._lock:
            self._load, self._pours = 0.0, []

    def put(self, grams: float, seconds: float = 0.001) -> None:
        """Put so much on at once, or pour it in evenly (below zero: take out)."""
        with self._lock:
            self._pours.append((grams, self._now(), self._now() + seconds))

    def tare(self) -> None:
        """The tare key: what lies there is balanced out."""
        self._tare = self._pan

    def spoil(self, how: str) -> None:
        """The next line: "cut" short, "glue"d to itself, in a "dribble", or after "garbage"."""
        self._spoilers.append(SPOILERS[SPOILERS.index(how)])

    def during(self, what: str, seconds: float) -> None:
        """For seconds: "silent", "unplugged" (the load is its new zero) or "wrong-speed"."""
        self._until[TIMES[TIMES.index(what)]] = self._now() + seconds

    def _step(self, now: float) -> None:
        passed, self._last = now - self._last, now
        for grams, began, until in self._pours:
            share = (min(now, until) - max(now - passed, began)) / (until - began)
            self._load += grams * max(0.0, share)
        self._pours = [p for p in self._pours if p[2] > now]
        self._pan += (self._load - self._pan) * min(1.0, passed / 0.25)
        net = self._pan - self._tare + self._random.gauss(0.0, self.noise_g)
        counts = round(net / self.division_g)
        self._recent.append(counts)
        over = self._pan > self.capacity_g + 9 * self.division_g
        self.shown_g = None if over else round(counts * self.division_g, 6)
        self.stable = not over and max(self._recent) - min(self._recent) <= 1

    def _line(self) -> bytes:
        step = self.division_g / UNITS[self.unit] * 1.0001
        places = next(n for n in range(9) if 10.0**-n <= step)
        shown = (self.shown_g or 0.0) / UNITS[self.unit]
        text = "" if self.shown_g is None else f"{shown:.{places}f}"
        minus, moves = text[:1] * text.startswith("-"), "" if self.stable else " ?"
        if self.form == "marks":
            head = f"[{'S' if self.stable else 'M'} {'N' if self._tare else 'B'}] {minus or '+'}"
            return f"{head}{text.lstrip('-') or 'over':>7}  {self.unit}\r\n".encode()
        if self.form in ("plain", "comma"):
            text = text.replace(".", "," if self.form == "comma" else ".") or "------"
            return f"{text:>9} {'' if moves else self.unit:2}\r\n".encode()
        if self.form == "three":
            head = f"N {len(self.sent) + 1}\r\nT {self._tare:.1f} g\r\n"
            return f"{head}W {text or 'over'} {self.unit}{moves}\r\n".encode()
        if self.form == "bare":
            return f"{text or 'Err'}\r".encode()
        status, digits = chr(0x20 | bool(moves) | 2 * (not text)), text.strip("-").replace(".", "")
        body = f"\x02{status}{places}{digits:0>7}{minus or ' '}".encode()
        return body + bytes([sum(body) & 0x3F | 0x40]) + b"\r"

    def _run(self) -> None:
        while not self._over.wait(1.0 / self.rate_hz):
            self.beat()

    def beat(self) -> None:
        """What a scale does so often a second."""
        if self._master >= 0 and self._until["unplugged"] > self._now():
            self._pull()
        elif self._master < 0 and self._until["unplugged"] < self._now():
            self._tare = self._pan = self._load
            self._plug_in()
        with self._lock:
            self._step(self._now())
        if self._master >= 0 and self._is_asked() and self._until["silent"] < self._now():
            self._send()

    @property
    def is_pulled(self) -> bool:
        """Whether the plug is out."""
        return self._master < 0

    def _is_asked(self) -> bool:
        if self.demand is None:
            return True
        while self._ready(select.POLLIN):
            self._asked += os.read(self._master, 64)
        _, found, self._asked = self._asked.rpartition(self.demand)
        return bool(found)

    def _ready(self, event: int) -> bool:
        poll = select.poll()  # not `select`, which knows no descriptor beyond 1023
        poll.register(self._master, event)
        return any(got & event for _, got in poll.poll(0))

    def _send(self) -> None:
        line, how = self._line(), self._spoilers.popleft() if self._spoilers else ""
        if how == "garbage":
            line = self._random.randbytes(self._random.randint(1, 20)) + line
        line = {"cut": line[: len(line) // 2], "glue": line + line}.get(how, line)
        wrong = self._until["wrong-speed"] > self._now()
        line = bytes((b << 1 ^ 0x6D) & 0xFF for b in line) if wrong else line
        whole = how not in ("cut", "garbage") and not wrong
        self.sent.append(Sent(self._now(), line, self.shown_g, self.stable, whole))
        if self._driven:
            many = (line[i : i + 1] for i in range(len(line))) if how == "dribble" else (line,)
            self.pieces.extend(many)
            return
        for piece in (line[i : i + 1] for i in range(len(line))) if how == "dribble" else (line,):
            if self._ready(select.POLLOUT):  # where nobody reads, bytes are lost
                os.write(self._master, piece)
            time.sleep(0.004 if how == "dribble" else 0.0)

    def _plug_in(self) -> None:
        if self._driven:
            self._master = 0
            return
        self._master, self._slave = pty.openpty()
        tty.setraw(self._slave)
        self.port = os.ttyname(self._slave)
        if self.link:
            os.symlink(self.port, f"{self.link}.{os.getpid()}")
            os.replace(f"{self.link}.{os.getpid()}", self.link)

    def _pull(self) -> None:
        if self._driven:
            self._master = -1
            return
        if self.link:
            os.unlink(self.link)
        os.close(self._slave)
        os.close(self._master)
        self._master = -1

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._driven:
            return
        self._over.set()
        self._thread.join(2.0)
        if self._master >= 0:
            self._pull()


def main() -> None:
    """By hand: a word and its values a line: put 128.4, put 62 8, spoil cut, during silent 3."""
    ask = argparse.ArgumentParser(description="A weighing scale on a pseudo-terminal.")
    ask.add_argument("--form", choices=FORMS, default="marks")
    ask.add_argument("--link", default="", help="a path that always leads to the port")
    with ScaleEmulator(**vars(ask.parse_args())) as scale:
        print(scale.link or scale.port, flush=True)
        for name, *rest in (text.split() for text in sys.stdin if text.strip()):
            getattr(scale, name)(*(r if r[0].isalpha() else float(r) for r in rest))


if __name__ == "__main__":
    main()
