"""The lists as data: what `benchmate papers cutting` and `buying` print with `--json`.

The shape is promised: `docs/lists.schema.json` is these records' own JSON Schema, written by
`python -m benchmate.lists.schema > docs/lists.schema.json`. Keys are only ever added. Lengths are
millimetres, weights grams, volumes millilitres.
"""

from __future__ import annotations

from typing import Literal

import msgspec


class _Record(msgspec.Struct, frozen=True):
    """Frozen; every key is always there."""


class CutRow(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part to be cut, of all pieces together."""

    part: str
    wood: str
    """Or metal."""
    pieces: tuple[str, ...]
    """Whose it is."""
    count: int
    """To saw, spares included."""
    spare: int
    finished_mm: tuple[float, float, float]
    """Length along the grain, width, thickness when it is done."""
    rough_mm: tuple[float, float, float]
    """To saw it to."""
    round: bool
    """Turned from it."""
    metal: bool
    """Sawn to length from rod, tube or sheet."""
    grain: str
    rough_g: float
    """Predicted weight of one, as sawn."""
    blank_g: float
    """Predicted weight of one as it is weighed before the first step, voids cut."""
    marks: tuple[str, ...]
    """What goes on each: letters of the pieces, matching marks, the maker's own."""
    unit: str = "mm"
    """The unit that the file gives its size in, and that it is shown in: "mm", "cm" or "in"."""


class Strip(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A stretch of board of one wood, width and thickness, with what is cut from it in order."""

    wood: str
    thickness_mm: float
    """Of the stock to buy: the next usual one."""
    width_mm: float
    length_mm: float
    """With a kerf after each part and both ends trimmed."""
    volume_ml: float
    parts: tuple[str, ...]
    """Part and length of each, in the order of sawing."""


class MakeRow(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A spacer, wedge or template that must be there before it is needed."""

    what: str
    count: int
    sizes: str
    """In words, in mm."""
    numbers_mm: dict[str, float]
    """The same by name."""
    where: str
    """What it is for."""
    note: str


class Cutting(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The cutting list."""

    version: Literal[1] = 1
    title: str
    pieces: int
    cut: tuple[CutRow, ...]
    strips: tuple[Strip, ...]
    first: tuple[MakeRow, ...]
    notes: tuple[str, ...]


class BuyRow(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A material that the plan takes, against the shelf."""

    what: str
    role: str
    """What the procedure calls it: "shot", "glue"."""
    kind: str
    need: float
    """For all pieces, with what stays in the cup; a whole number of what is counted."""
    unit: Literal["g", "cm²", "sheets", "m", "pieces"]
    parts: dict[str, float]
    """Of a two-part material: grams of each."""
    held: float | None
    """What the shelf holds, in the unit; null where it isn't known."""
    short: float | None
    """What is missing; null where it isn't known what is held."""
    pack: float | None
    """What one holds when bought, by the shelf's label."""
    packs: int | None
    """How many of these make up what is missing."""
    keeps: str
    """A sentence where what is held is too old, else empty."""
    by: str
    """What the amount was reckoned by: "plan", "use rate, common practice, no source"."""


class HandRow(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A tool, clamp, drill or caul to lay out."""

    what: str
    count: float
    size: str
    kind: str
    note: str


class Buying(_Record, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The buying list, and what is to be at hand."""

    version: Literal[1] = 1
    title: str
    pieces: int
    buy: tuple[BuyRow, ...]
    hand: tuple[HandRow, ...]
    notes: tuple[str, ...]
