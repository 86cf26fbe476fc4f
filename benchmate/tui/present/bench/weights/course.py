"""How far a piece's weight is from the plan, step by step, drawn in plain characters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmate.quantities import Units, show_mass
from benchmate.tui.present.lines import Line, Role, Span, line

if TYPE_CHECKING:
    from benchmate.landing.outlook import CoursePlot

LEFT = 9
"""Cells of the weights beside the plot."""
ROLES: dict[str, Role] = {"●": "strong", "○": "key", "─": "good", "░": "dim", "·": "dim"}


def course_lines(
    plot: CoursePlot, cells: int, rows: int, units: Units, *, numbered: bool = False
) -> list[Line]:
    """What it was (●) and is expected to be (○ in its 95 % band ░) less the plan (·), between the
    limits of its tolerance (─). `numbered`: the columns have the numbers of the table's rows.

    Empty where there is no room to draw it.
    """
    from benchmate.landing.drawing import drawn, limits, short_name

    made = drawn(plot, cells - LEFT, rows - 2)
    if made is None:
        return []
    out = [_legend(has_limits=bool(limits(plot)), cells=cells)]
    named = {0, len(made.rows) - 1, *(y for y, (g, _) in enumerate(made.rows) if g == 0.0)}
    for y, (g, marks) in enumerate(made.rows):
        name = "plan" if g == 0.0 else show_mass(round(g), units, sign=True).replace("-", "−")
        out.append(line(Span(f"{name if y in named else '':>{LEFT - 1}} ", "dim"), *_spans(marks)))
    heads = (
        str(n) if numbered else short_name(name, made.step - 1)
        for n, name in enumerate(made.labels, 1)
    )
    names = "".join(head.ljust(made.step) for head in heads)
    return [*out, line(" " * LEFT, Span(names, "dim"))]


def _legend(*, has_limits: bool, cells: int) -> Line:
    limit = "  ─ limits" if has_limits else ""
    text = f"off plan: ● so far  ○ expected ░ 95 %{limit}"
    return line(" " * max(0, min(LEFT, cells - len(text))), Span(text, "dim"))


def _spans(row: str) -> list[Span]:
    """Runs of one kind of mark, each in its role."""
    out: list[Span] = []
    for mark in row:
        role = ROLES.get(mark, "plain")
        if out and out[-1].role == role:
            out[-1] = Span(out[-1].text + mark, role)
        else:
            out.append(Span(mark, role))
    return out


def course_table(plot: CoursePlot, units: Units, cells: int) -> list[Line]:
    """Every step with its plan, what it was or will be, and how far that is from the plan."""
    from benchmate.landing.drawing import done_first
    from benchmate.landing.words import say_in, step_for

    say, plot = say_in(units), done_first(plot)
    rows: list[Sequence[str]] = [("", "plan", "weight", "off plan")]
    for i, name in enumerate(plot.labels):
        half = (plot.high[i] - plot.low[i]) / 2.0
        step = step_for(half / 1.96)
        off = plot.middle[i] - plot.plan[i]
        known = f"{'' if plot.kind[i] == 'done' else '→ '}{say(plot.middle[i], step)} ± "
        sign = "+" if off > 0 else "−" if off < 0 else ""
        rows.append(
            (
                f"{i + 1:>2} {name}",
                say(plot.plan[i], step),
                known + say(half, step),
                f"{sign}{say(abs(off), step)}",
            )
        )
    wide = min(23, max(len(row[0]) for row in rows) + 2)
    return [
        line(
            " ",
            Span(row[0][: wide - 1].ljust(wide), "dim"),
            f"{row[1]:>10}  {row[2]:>22}",
            f"  {row[3]:>10}",
        )
        for row in rows
    ]
