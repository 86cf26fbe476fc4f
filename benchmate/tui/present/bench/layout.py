"""How many rows each part of the bench gets: everything visible at once, the act first."""

from __future__ import annotations

from typing import NamedTuple

SMALL, RULED, TALL = 8, 16, 36
WIDE = 120
LEAST_FOOT = 9
"""Rows that the windows leave for the weighings and the later acts on a tall screen."""
COURSE_FROM = 140
"""Cells from which on the course of the weight is drawn between the act and the piece."""
COURSE = 58
MORE_HAND = 2
"""Most rows that the act takes over from an empty time line."""


class Rooms(NamedTuple):
    """Rows per part, top to bottom. Rules between the parts are counted apart."""

    head: int
    hand: int
    keys: int
    timeline: int
    foot: int
    ruled: bool
    """Lines across between the parts."""
    wide: bool
    """Room for all headings, whole cautions and a list of later acts."""


def rooms(cells: int, height: int, windows: int, banner: int = 0, *, drawn: bool = True) -> Rooms:
    """The rows of a screen of that size, with so many live windows and rows of banner.

    `drawn`: a piece is drawn beside the act, which wants more rows where there are many.
    """
    height = max(1, height - banner)
    if height < SMALL:
        keys = 1 if height > 2 else 0
        return Rooms(0, height - keys, keys, 0, 0, ruled=False, wide=False)
    if height < RULED:
        hand = 4 if height < 12 else 5
        return Rooms(1, hand, 1, height - hand - 2, 0, ruled=False, wide=False)
    wide = cells >= WIDE and height >= TALL
    hand = (14 if drawn else 10) if wide else 6 if height < 30 else 8
    left = height - 1 - hand - 1 - 3
    if not wide:
        foot = 4 if height >= 22 else 2
        # Rows that no window needs go to the act: its amounts and cautions stay beside a message.
        spare = max(0, min(MORE_HAND, left - foot - windows - 1))
        hand, left = hand + spare, left - spare
        return Rooms(1, hand, 1, left - foot, foot, ruled=True, wide=False)
    timeline = max(6, min(windows + 1, left - LEAST_FOOT))
    return Rooms(1, hand, 1, timeline, left - timeline, ruled=True, wide=True)
