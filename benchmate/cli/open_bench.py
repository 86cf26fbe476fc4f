"""Opening the bench on the screen."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.cli.exits import Exit, code_of
from benchmate.cli.saying import put
from benchmate.settings import find_folders, load

if TYPE_CHECKING:
    from benchmate.bench.reminding.minding import Minding

TELL_S = 10.0
"""No longer does leaving wait for a service that is slow to take a message."""


def open_bench(home: Path | None) -> int:
    """Open the bench; the exit code."""
    if not sys.stdout.isatty():
        put("The bench needs a terminal; `benchmate next` says what is next.", err=True)
        return Exit.MISSING
    folders = find_folders(home)
    settings, trouble = load(folders)
    try:
        bench = Bench.open_anyhow(folders, settings)
    except JournalError as error:
        put(str(error), err=True)
        return code_of(error)
    return run_app(bench, " ".join(t for t in (trouble, bench.only_read) if t))


def run_app(
    bench: Bench,
    trouble: str = "",
    pace: float = 1.0,
    *,
    demo: bool = False,
    last: Callable[[], object] = bool,
) -> int:
    """Run the screens over an open bench; the exit code. A demo reminds on its screen alone.

    `last` tidies up where the process has to end without waiting for the screens.
    """
    from benchmate.tui.app import BenchApp
    from benchmate.tui.ending import Ending

    app = BenchApp(bench, pace=pace, trouble=trouble)
    app.makes = partial(_minding, demo=demo)
    app.tells_away = app.keeps_up = not demo
    ending = Ending(app.exit, last)
    ending.watch()
    try:
        app.run(mouse=True)
    finally:
        ending.done()
        if app.minding is not None and app.minding.leaving.is_telling:
            put("Your phone is told what comes while you are away …")
            app.minding.leaving.wait(TELL_S)
        bench.close()
    # A thread of the library's that broke ends the app without a code of its own.
    broke = Exit.BROKE if getattr(app, "_exit_renderables", ()) else Exit.OK
    return app.return_code or broke


def _minding(bench: Bench, *, demo: bool, **told: Any) -> Minding:
    """What minds the bench; loaded here, after the first frame."""
    from benchmate.bench.reminding.minding import Minding

    return Minding(bench, kinds=("terminal",), **told) if demo else Minding(bench, **told)
