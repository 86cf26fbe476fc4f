"""The piece in hand, drawn as it fills: a block, a turned round or a hammer's head."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from benchmate.tui.present.bench.weights.levels import Level
from benchmate.tui.present.lines import Line, Role, Span, line

NARROW, BROAD = 14, 30
"""Cells with the layers' numbers alone, and with what went into each."""
LEAST_ROWS = 4
POURED, CAPPED = "▒", "░"


class Wall(NamedTuple):
    """One row of an outline: how far it is set in, and its two sides."""

    inset: int
    left: str
    right: str


def picture(found: Sequence[Level], outline: str, rows: int, *, broad: bool = False) -> list[Line]:
    """The layers in their piece, from the top down; empty where there is no room to draw.

    ▒ is poured, ░ the clear cap, ▸ the layer in hand; "!" stands at a layer that is off plan.
    """
    if not found or rows < LEAST_ROWS:
        return []
    outer = (BROAD if broad else NARROW) - (14 if broad else 4)
    foot = _foot(outline, outer)
    body_rows = rows - 1 - len(foot)
    cells = _body(_visible(found, body_rows), body_rows)
    walls = _walls(outline, len(cells))
    made = [_row(w, c, outer, broad=broad) for w, c in zip(walls, reversed(cells), strict=True)]
    return [line(_lid(outline, outer)), *made, *(line(f) for f in foot)]


class _Cell(NamedTuple):
    """One row of the body: which level it belongs to, and whether it is filled."""

    level: Level
    filled: bool
    first: bool
    """The level's lowest row, which carries its number."""
    mark: bool = False
    """Where the next grain goes."""


def _visible(found: Sequence[Level], rows: int) -> Sequence[Level]:
    """As many levels as there are rows, the one in hand among them."""
    if len(found) <= rows:
        return found
    now = next((i for i, v in enumerate(found) if v.state == "now"), len(found) - 1)
    first = max(0, min(len(found) - rows, now, now - rows + 2))
    return found[first : first + rows]


def _body(found: Sequence[Level], rows: int) -> list[_Cell]:
    """Rows from the bottom up. The cap is thin; the layers share the rest alike."""
    layers = sum(v.name != "cap" for v in found) or 1
    each = max(1, (rows - (len(found) - layers)) // layers)
    out: list[_Cell] = []
    for level in found:
        tall = 1 if level.name == "cap" else each
        full = tall if level.state == "done" else min(tall - 1, int(level.share * tall))
        now = level.state == "now"
        out += [_Cell(level, i < full, i == 0, now and i == full) for i in range(tall)]
    return out


def _walls(outline: str, rows: int) -> list[Wall]:
    straight = Wall(0, "│", "│")
    if outline != "round" or rows < 3:
        return [straight] * rows
    top = [Wall(2, "╱", "╲"), Wall(1, "╱", "╲")] if rows >= 4 else [Wall(1, "╱", "╲")]
    return [*top, *[straight] * (rows - len(top))]


def _lid(outline: str, outer: int) -> str:
    if outline == "round":
        return "   " + "╭" + "─" * (outer - 8) + "╮"
    return "┌" + "─" * (outer - 2) + "┐"


def _foot(outline: str, outer: int) -> list[str]:
    """The bottom; a hammer's head has its handle below."""
    if outline == "round":
        return ["╰" + "─" * (outer - 2) + "╯"]
    if outline == "head":
        side = (outer - 4) // 2
        bottom = "└" + "─" * (side - 1) + "┬" + "─" * (outer - 2 * side - 2) + "┬"
        return [
            bottom + "─" * (side - 1) + "┘",
            " " * side + "│" + " " * (outer - 2 * side - 2) + "│",
        ]
    return ["└" + "─" * (outer - 2) + "┘"]


def _row(wall: Wall, cell: _Cell, outer: int, *, broad: bool) -> Line:
    level, inner = cell.level, outer - 2 - 2 * wall.inset
    role: Role = "strong" if level.state == "now" else "dim"
    if cell.filled:
        inside = Span((CAPPED if level.name == "cap" else POURED) * inner, "plain")
    elif cell.mark:
        inside = Span(" ▸".ljust(inner), "strong")
    else:
        inside = Span(" " * inner)
    pad = " " * wall.inset
    return line(f"{pad}{wall.left}", inside, f"{wall.right}{pad}", *_label(cell, role, broad=broad))


def _label(cell: _Cell, role: Role, *, broad: bool) -> list[Span]:
    level = cell.level
    if not cell.first:
        return []
    role = "spoil" if level.sign else role
    text = f" {level.name}{level.sign}"
    return [Span(f"{text:<5}{level.grams:>8}" if broad else text, role)]
