"""Far: three lines that fill the screen, to be read from across the shop."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.bench.big_view import BigView, Wordings
from benchmate.quantities import show_countdown, show_duration
from benchmate.tui.present.bench.timeline import role_of
from benchmate.tui.present.font import big, cells_of, rows_of
from benchmate.tui.present.lines import Line, Role, Span, crop, line, safe

MARGIN = 2


def far_time(seconds: float) -> str:
    """ "8:41" to the second below an hour, "1:08 h" below a day, then "1 d 20 h"."""
    if seconds < 3600:
        return show_countdown(seconds)
    if seconds < 86400:
        minutes = -int(-seconds // 60)
        return f"{minutes // 60}:{minutes % 60:02d} h"
    return show_duration(seconds, rounding="up")


def far_lines(view: BigView, now_s: float, cells: int, rows: int) -> list[Line]:
    """The three lines as large as they go, in the middle, with the caption below."""
    time = _time(view, now_s)
    texts = [_chosen(w, cells - 2 * MARGIN) for w in (view.what, view.amount, (time,))]
    role: Role = "alarm" if view.missed else "strong"
    timed: Role = role_of(view.bound) if view.bound and not view.missed else "plain"
    roles: list[Role] = [role, role, role if view.missed else timed]
    shown = [(t, r) for t, r in zip(texts, roles, strict=True) if t]
    if rows < 4 * len(shown) + 1 or any(cells_of(t) > cells - MARGIN for t, _ in shown):
        made = _plain(view, time, cells)
    else:
        made = _big(shown, cells, rows - 1)
        made.append(crop(line(" ", Span(view.caption, role if view.missed else "dim")), cells))
    made = [*made, *[()] * (rows - len(made))][:rows]
    return [_filled(m, cells) for m in made] if view.missed else made


def _time(view: BigView, now_s: float) -> str:
    if view.at_s is None:
        return ""
    left_s = view.at_s - now_s
    return f"{far_time(-left_s)} AGO" if view.missed else far_time(left_s)


def _chosen(wordings: Wordings, cells: int) -> str:
    """The usual wording if it fits, a shorter one if not; the full one where it costs no size."""
    made = [safe(w) for w in wordings if w]
    if not made:
        return ""
    usual = next((w for w in made[1:] if cells_of(w) <= cells), made[-1])
    if cells_of(made[0]) <= cells and cells // cells_of(made[0]) >= cells // cells_of(usual):
        return made[0]
    return usual


def _big(shown: list[tuple[str, Role]], cells: int, rows: int) -> list[Line]:
    scales = _scales([cells_of(t) for t, _ in shown], cells - MARGIN, rows)
    blocks = [
        [line(" " * MARGIN, Span(row, role)) for row in big(text, scale)]
        for (text, role), scale in zip(shown, scales, strict=True)
    ]
    spare = max(0, rows - sum(map(len, blocks)))
    gap, out = spare // (len(blocks) + 1), []
    for block in blocks:
        out += [*[()] * gap, *block]
    return [*out, *[()] * (rows - len(out))]


def _scales(widths: Sequence[int], cells: int, rows: int) -> list[int]:
    """The last line (the time) grows first, then the others, while all fit with a row between."""
    scales = [1] * len(widths)
    grown = True
    while grown:
        grown = False
        for i in reversed(range(len(widths))):
            wanted = [s + (n == i) for n, s in enumerate(scales)]
            high = sum(rows_of(s) for s in wanted) + len(wanted) - 1
            if widths[i] * wanted[i] <= cells and high <= rows:
                scales, grown = wanted, True
    return scales


def _plain(view: BigView, time: str, cells: int) -> list[Line]:
    """On a screen too small for large letters: the same in ordinary ones."""
    texts = [view.what[0], view.amount[0] if view.amount else "", time]
    return [crop(line(" ", Span(safe(t).upper(), "strong")), cells) for t in texts if t]


def _filled(spans: Line, cells: int) -> Line:
    """A whole row in the alarm's colours."""
    text = "".join(s.text for s in spans)
    return (Span(text.ljust(cells)[:cells], "alarm"),)
