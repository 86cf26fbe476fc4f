"""The two programs that `bench_screen` holds side by side, each run in a terminal of its own.

`python -m tests.speed.screens bare|bench HOME frame|idle` says on standard error when its first
frame was painted, and after an idle stretch how much processor time that took.
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

IDLE_S = 10.0
SETTLE_S = 2.0


def used_s() -> float:
    """Processor time of this process so far."""
    usage = resource.getrusage(resource.RUSAGE_SELF)
    return usage.ru_utime + usage.ru_stime


def run_bare(mode: str) -> None:
    """A bare app with twenty Digits that count a second down, once a second."""
    from textual.app import App, ComposeResult
    from textual.widgets import Digits

    class Bare(App[None]):
        def compose(self) -> ComposeResult:
            for n in range(20):
                yield Digits(f"{n:02}:00")

        def on_mount(self) -> None:
            self.left = 3600
            self.set_interval(1.0, self.count)
            watch(self, mode)

        def count(self) -> None:
            self.left -= 1
            for n, digits in enumerate(self.query(Digits)):
                digits.update(f"{(self.left + n) // 60 % 60:02}:{(self.left + n) % 60:02}")

    Bare().run()


def run_bench(mode: str, home: Path) -> None:
    """The bench on a journal that was written before."""
    from benchmate.bench import Bench
    from benchmate.settings import find_folders, load

    folders = find_folders(home)
    settings, _ = load(folders)
    bench = Bench.open(folders, settings)
    import benchmate.tui
    from benchmate.tui.app import BenchApp

    class Watched(BenchApp):
        # A style sheet's path is taken from where its class stands, which is here now.
        CSS_PATH = Path(benchmate.tui.__file__).with_name("bench.tcss")

        def on_ready(self) -> None:
            watch(self, mode)

    Watched(bench).run()
    bench.close()


def watch(app: object, mode: str) -> None:
    """Say when the first frame is there; then, in idle mode, what an idle stretch costs."""
    from textual.app import App

    assert isinstance(app, App)
    if mode == "frame":
        app.call_after_refresh(app.exit)
        return
    begun: list[float] = []

    def begin() -> None:
        begun.extend((used_s(), time.perf_counter()))

    def end() -> None:
        share = (used_s() - begun[0]) / (time.perf_counter() - begun[1])
        Path(sys.argv[4]).write_text(f"{share * 100:.4f}")
        app.exit()

    app.set_timer(SETTLE_S, begin)
    app.set_timer(SETTLE_S + IDLE_S, end)


if __name__ == "__main__":
    if sys.argv[1] == "bare":
        run_bare(sys.argv[3])
    else:
        run_bench(sys.argv[3], Path(sys.argv[2]))
