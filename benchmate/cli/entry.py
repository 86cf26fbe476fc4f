"""Where `benchmate` starts. Commands load their own modules, and only their own."""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Sequence
from io import TextIOWrapper


def main(argv: Sequence[str] | None = None) -> None:
    """Run a command, or open the bench where none is given. Ends the process."""
    signal.signal(signal.SIGINT, _interrupted)
    words = list(sys.argv[1:] if argv is None else argv)
    _mind_zone()
    _mind_console()
    # Else pydantic reads what every installed package says of itself, at each start.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    if words == ["next"]:
        # A shell prompt asks this all day long: it takes the short way round the command parser,
        # and ends before there is anything to sweep up.
        gc.disable()
        from benchmate.cli.next import quick

        sys.exit(quick())
    from benchmate.cli.group import cli

    cli.main(args=words, prog_name="benchmate")


def _mind_console() -> None:
    """A console that lacks a letter shows another in its place: nothing ends for that."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and stream.encoding.lower() != "utf-8":
            stream.reconfigure(errors="replace")


def _mind_zone() -> None:
    """A time zone that nobody knows would end whatever shows a time: then the machine's own holds,
    and it is said."""
    name = os.environ.get("TZ")
    if not name:
        return
    from whenever import SYSTEM_TZ, Instant, reset_system_tz

    try:
        Instant.from_timestamp(0).to_tz(SYSTEM_TZ)
    except Exception:  # whatever that name is, no time can be shown by it
        del os.environ["TZ"]
        reset_system_tz()
        sys.stderr.write(f"TZ={name[:40]!r} is no time zone; times are this machine's own.\n")


def _interrupted(*_: object) -> None:
    """Ctrl+C ends a command in good order, wherever it is; a second one ends it at once."""
    from benchmate.cli.exits import Exit

    signal.signal(signal.SIGINT, signal.SIG_DFL)
    raise SystemExit(Exit.INTERRUPTED)


if __name__ == "__main__":
    main()
