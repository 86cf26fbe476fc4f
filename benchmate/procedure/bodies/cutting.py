"""A part as one solid: what is added to it, less its cuts and voids, each in its place."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from benchmate.procedure.bodies.placing import beside as _beside
from benchmate.procedure.bodies.placing import extent_of, placed, whole_json
from benchmate.procedure.bodies.shapes import json_of
from benchmate.procedure.file.part_schema import Part, Shape


def body_json(part: Part, hollows: Iterable[Shape]) -> dict[str, Any]:
    """A part with its additions, less its own cuts and these hollows."""
    cuts = [placed(part, h) for h in (*part.minus, *hollows)]
    data = json_of(part)
    if part.plus:
        data["plus"] = [_on_end(part, p) for p in part.plus]
    return {**data, "minus": cuts} if cuts else data


def hollow_json(hollow: Shape) -> dict[str, Any]:
    """What is to be filled of a hollow: less the cores and spacers that stand in it (its `minus`).

    They are no wood: the part loses the whole hollow.
    """
    data = whole_json(hollow)
    if hollow.minus:
        data["minus"] = [_beside(core) for core in hollow.minus]
    return data


def _on_end(part: Part, more: Shape) -> dict[str, Any]:
    """An addition: it goes on where the part ends."""
    return {**json_of(more), "at_mm": [extent_of(part)[0] + more.down, 0, 0]}
