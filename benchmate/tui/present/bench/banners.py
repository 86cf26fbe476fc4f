"""What reminds, over the full width of the screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from benchmate.remind.rules.edges import Reminder
from benchmate.tui.present.lines import Line, Span, fit, line, wrap

LEAST_HEIGHT = 6
"""On fewer rows than these the act and its deadline are all there is room for."""
KEYS = "k OK   r later"


def banner_lines(
    standing: Sequence[Reminder], cells: int, height: int, *, plain: bool = False
) -> list[Line]:
    """The gravest banner over the full width, with the keys that answer it.

    `plain` leaves the keys out: on a screen that is locked.
    """
    if not standing or height < LEAST_HEIGHT:
        return []
    first = standing[0]
    more = f" (and {len(standing) - 1} more)" if len(standing) > 1 else ""
    most = 1 if height < 20 else 2 if height < 36 else 3
    keys = "" if plain or cells < 2 * len(KEYS) else KEYS
    rows = wrap(f"▲ {first.text}", cells - 2, most)
    tail = f"{more}   {keys}".rstrip() + " "
    if cell_len(rows[-1]) + len(tail) > cells - 1 and len(rows) < most:
        rows.append("")
    last = fit(rows[-1], cells - 1 - len(tail)) + tail
    return [line(Span(fit(f" {r}", cells), "alarm")) for r in (*rows[:-1], last)]
