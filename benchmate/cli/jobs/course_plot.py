"""How far a piece's weight is from the plan over its steps, in characters."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.landing.drawing import drawn, limits, short_name
from benchmate.landing.outlook import CoursePlot
from benchmate.landing.words import Say, grams

WIDTH, HEIGHT, LEFT = 78, 14, 9


def plot_text(
    course: CoursePlot, say: Say = grams, *, width: int = WIDTH, height: int = HEIGHT
) -> str:
    """Plan, tolerance, 95 % band, what was weighed and what is expected, a column a step."""
    made = drawn(course, width - LEFT, height)
    if made is None:
        return "Too many steps to draw in so few columns."
    rows = [
        f"{_beside(g, say) if y in (0, height - 1) or g == 0.0 else '':>{LEFT - 1}} {marks}"
        for y, (g, marks) in enumerate(made.rows)
    ]
    names = "".join(short_name(n, made.step - 1).ljust(made.step) for n in made.labels)
    limit = "   ─ limits" if limits(course) else ""
    marks = f"off plan: ● so far   ○ expected   ░ 95 %   · plan{limit}"
    listed = _wrapped([f"{n} {name}" for n, name in enumerate(made.labels, 1)], width)
    return "\n".join(row.rstrip() for row in [*rows, " " * LEFT + names, marks, *listed])


def _beside(off_g: float, say: Say) -> str:
    if off_g == 0.0:
        return "plan"
    return f"{'+' if off_g > 0 else '−'}{say(abs(off_g), 1.0)}"


def _wrapped(names: Sequence[str], width: int) -> list[str]:
    rows = [""]
    for name in names:
        if rows[-1] and len(rows[-1]) + 2 + len(name) > width:
            rows.append("")
        rows[-1] += f"  {name}" if rows[-1] else name
    return rows
