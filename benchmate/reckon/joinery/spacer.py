"""The spacer that keeps a mortise open while a head is built up round it.

The bare spacer is smaller than the mortise by the release tape and the clearance on every side. A
tapered one comes out when its narrow end is tapped, if both its sizes grow towards the same end. In
two halves with a key between, the key alone carries the taper of the side that changes most: once
it is tapped out, the halves fall together.

Source: geometry. That a spacer is taped or waxed, and how much clearance it wants, is common
practice of the trade.
"""

from dataclasses import dataclass
from math import isclose
from typing import Literal

from benchmate.quantities.worded import Worded, millimetres
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

End = Literal["from", "to", "either", "neither"]
Pair = tuple[float, float]


@dataclass(frozen=True)
class Spacer:
    """A spacer, mm: [thickness, width] at both ends, and how it comes out."""

    start: Pair
    end: Pair
    clearance: float
    key_taper_1_in: float | None
    taps_out_from: End
    """The narrow end, which is tapped."""

    @property
    def taps_out(self) -> bool:
        """Whether it comes out at all."""
        return self.taps_out_from != "neither"


def spacer(
    start_mm: Pair, end_mm: Pair, depth_mm: float, room_mm: float, *, halves: bool
) -> Spacer:
    """Return the spacer for a mortise of [thickness, width] at its ends.

    `room_mm` is what stays free on each side of the bare spacer. Raises Refused when that leaves
    no spacer.
    """
    start = _smaller(start_mm, room_mm)
    end = _smaller(end_mm, room_mm)
    changes = tuple(
        0.0 if isclose(a, b, abs_tol=1e-9) else a - b for a, b in zip(start, end, strict=True)
    )
    across = 0 if abs(changes[0]) >= abs(changes[1]) else 1
    most = changes[across]
    ratio = depth_mm / abs(most) if most else None
    # The key falls out along the side that changes most, so only the other one can still hold it.
    holding = [changes[1 - across]] if halves and most else list(changes)
    return Spacer(start, end, room_mm, ratio, _tapped_at(holding, most if halves else 0.0))


def _smaller(size_mm: Pair, room_mm: float) -> Pair:
    thickness, width = (side - 2.0 * room_mm for side in size_mm)
    if min(thickness, width) <= 0.0:
        raise Refused(
            Worded(
                "tape and clearance of {room} a side leave no spacer in a mortise of {thick} x "
                "{wide}",
                room=millimetres(room_mm),
                thick=millimetres(size_mm[0]),
                wide=millimetres(size_mm[1]),
            )
        )
    return thickness, width


def _tapped_at(changes: list[float], otherwise: float) -> End:
    """Which end is tapped: the one towards which nothing grows."""
    shrinks, grows = any(c > 0.0 for c in changes), any(c < 0.0 for c in changes)
    if shrinks and grows:
        return "neither"
    if shrinks or grows:
        return "to" if shrinks else "from"
    if otherwise:
        return "to" if otherwise > 0.0 else "from"
    return "either"


def _pair(given: Given, key: str) -> Pair:
    sides = given.numbers(key)
    if len(sides) != 2:
        raise Refused(f"{key} must be [thickness, width]; {len(sides)} sizes are given")
    return sides[0], sides[1]


def _work(given: Given) -> Worked:
    room_mm = given.number("tape_mm") * given.count("tape_layers") + given.number("clearance_mm")
    halves = given.flag("halves")
    found = spacer(
        _pair(given, "from_mm"),
        _pair(given, "to_mm"),
        given.number("depth_mm"),
        room_mm,
        halves=halves,
    )
    return Worked(
        {
            "spacer_from_mm": list(found.start),
            "spacer_to_mm": list(found.end),
            "key_taper_1_in": found.key_taper_1_in,
            "clearance_mm": found.clearance,
            "taps_out": found.taps_out,
            "taps_out_from": found.taps_out_from,
        },
        tuple(_notes(found, halves=halves)),
    )


def _notes(found: Spacer, *, halves: bool) -> list[str]:
    notes = []
    if not found.taps_out:
        notes.append(
            "It is thicker towards one end and wider towards the other, so it can't be drawn in "
            "one piece: make it in two halves with a key."
        )
    elif found.key_taper_1_in is None:
        notes.append(
            "The mortise is parallel: "
            + (
                "give the key a taper of its own, about 1 in 12 (common practice)."
                if halves
                else "a parallel spacer rubs all the way out; two halves with a tapered key let go."
            )
        )
    if found.clearance == 0.0:
        notes.append("Without tape or clearance, resin and glue will hold it: wax it twice.")
    return notes


RECKONER = Reckoner(
    name="spacer",
    title="The spacer that keeps a mortise open",
    inputs=(
        Input(
            "from_mm",
            "[thickness, width] of the mortise at its one end",
            takes="numbers",
            above=0.0,
            high=1000.0,
        ),
        Input(
            "to_mm",
            "[thickness, width] of the mortise at its other end",
            takes="numbers",
            above=0.0,
            high=1000.0,
        ),
        Input("depth_mm", "between both ends", above=0.0, high=1000.0),
        Input("tape_mm", "thickness of the release tape", default=0.0, low=0.0, high=5.0),
        Input(
            "tape_layers", "layers of tape on each side", takes="count", default=1, low=0, high=20
        ),
        Input("clearance_mm", "further room a side", default=0.0, low=0.0, high=20.0),
        Input("halves", "yes for two halves with a key between them", takes="flag", default=False),
    ),
    results=(
        Result("spacer_from_mm", "bare spacer [thickness, width] at from"),
        Result("spacer_to_mm", "bare spacer [thickness, width] at to"),
        Result(
            "key_taper_1_in",
            "taper of the key (of the spacer itself, in one piece), across the side "
            "that changes most",
            if_none="parallel",
        ),
        Result(
            "clearance_mm",
            "room a side between bare spacer and wood: tape and clearance",
            decimals=2,
        ),
        Result("taps_out", "whether it comes out"),
        Result(
            "taps_out_from", "the end that is tapped, the narrow one: from, to, either or neither"
        ),
    ),
    formula="spacer = mortise − 2 (tape x layers + clearance); N = depth/largest change",
    sources=("geometry", "taped or waxed spacers: common practice, no source"),
    limits=("Flat faces; both ends are taken as centred on each other.",),
    example={
        "from_mm": "[12, 25]",
        "to_mm": "[12, 20]",
        "depth_mm": "30",
        "tape_mm": "0.06",
        "tape_layers": "2",
        "clearance_mm": "0.1",
        "halves": "yes",
    },
    work=_work,
)
