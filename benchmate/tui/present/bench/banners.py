"""What a reminder on screen says: derived from the windows, so that it needs no other service."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from rich.cells import cell_len

from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import act_sentence
from benchmate.quantities import show_duration
from benchmate.tui.present.bench.nextact import time_left
from benchmate.tui.present.lines import Line, Span, fit, line, wrap

Insistence = Literal["once", "again", "until heard"]
FRESH_S = 900.0
"""So long after it has opened a window is still worth a banner."""

LEAST_HEIGHT = 6
"""On fewer rows than these the act and its deadline are all there is room for."""
KEYS = "k OK   r later"


@dataclass(frozen=True)
class Banner:
    """One reminder. "until heard" is for what spoils something: it also changes the screen."""

    key: str
    text: str
    insistence: Insistence = "once"


def banners(found: Agenda, jobs: Mapping[str, JobState]) -> list[Banner]:
    """What is to be said now, the gravest first."""
    waiting = {v: a for a in reversed((*found.ready, *found.later)) for v in _windows_of(a)}
    made = [
        (_rank(v, b), b) for v in found.windows if not v.paused and (b := _of(v, waiting, jobs))
    ]
    return [b for _, b in sorted(made, key=lambda pair: pair[0])]


def _rank(view: WindowView, banner: Banner) -> tuple[int, bool, float]:
    """What spoils before the rest; in each what can still be saved, by its close, before what
    is lost."""
    order = ("until heard", "again", "once")
    close_s = view.closes.at if view.closes else view.now
    return order.index(banner.insistence), view.state == "missed", close_s


def _windows_of(act: Act) -> Iterable[str]:
    step = act.step
    return (*step.within, *step.waits, *step.waits_full) if step else ()


def _of(
    view: WindowView, waiting: Mapping[str, Act], jobs: Mapping[str, JobState]
) -> Banner | None:
    act = waiting.get(view.address)
    to_do = act_sentence(jobs[act.job], act).rstrip(".") + "." if act else ""
    label, window = view.window.label, view.window
    if view.is_ruined:
        return Banner(
            f"{view.address} chilled", f"{label}: too cold. Build nothing on it.", "again"
        )
    if view.state == "missed" and window.missed != "nothing" and view.closes:
        ago = show_duration(view.now - view.closes.at)
        lost = f"; {window.closes_text}" if window.closes_text else ""
        text = f"{label}: missed {ago} ago{lost}. What happened?"
        return Banner(f"{view.address} missed", text, "until heard" if view.spoils else "again")
    if view.state == "closing" and view.closes:
        lost = f", then {window.closes_text}" if window.closes_text else ""
        text = f"{label}: {time_left(view.closes.at - view.now)}{lost}. {to_do}"
        return Banner(f"{view.address} closing", text, "until heard" if view.spoils else "again")
    opened = view.opens is not None and 0 <= view.now - view.opens.at < FRESH_S
    if view.state == "open" and opened:
        text = f"{label}: {window.opens_text or 'open now'}. {to_do}"
        return Banner(f"{view.address} opened", text)
    return None


def banner_lines(
    standing: Sequence[Banner], cells: int, height: int, *, plain: bool = False
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
