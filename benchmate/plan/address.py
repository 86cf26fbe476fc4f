"""Addresses: the one name that every act, window and weighing has.

`job/piece/part/step#n`, where `n` counts layers, coats or mixes and is 1 where there is
nothing to count. What belongs to the whole job, or to no part, stands under `all`. A window
is named after its act: `job/piece/part/step#n:window name`.
"""

from __future__ import annotations

import re
from typing import NamedTuple

WHOLE = "all"
_SLUG = re.compile(r"[^\w.+-]+", re.UNICODE)


class Address(NamedTuple):
    """The parts of an address. `n` counts from 1."""

    job: str
    piece: str
    part: str
    step: str
    n: int

    def __str__(self) -> str:
        return f"{self.job}/{self.piece}/{self.part}/{self.step}#{self.n}"


def slug(text: str) -> str:
    """A name as addresses use it: lower case, blanks as hyphens, no slash, no hash, no colon."""
    return _SLUG.sub("-", text.strip().lower()).strip("-") or "x"


def address(job: str, piece: str, part: str, step: str, n: int = 1) -> str:
    """An address in its one canonical form."""
    return str(Address(job, piece or WHOLE, part or WHOLE, step, n))


def place_of(part: str, void: str = "") -> str:
    """A part in an address, and which of its voids where it has several: "left-cheek.front"."""
    place = "-".join(part.split())
    return f"{place}.{slug(void).replace('.', '-')}" if void else place


def parse(text: str) -> Address | None:
    """The parts of a canonical address, or None if the text isn't one."""
    head, _, number = text.split(":", 1)[0].partition("#")
    parts = head.split("/")
    if len(parts) != 4 or not all(parts) or not number.isdigit():
        return None
    return Address(parts[0], parts[1], parts[2], parts[3], int(number))


def piece_address(job: str, piece: str) -> str:
    """A piece's address, whatever it is called on screen: `job/piece`."""
    return f"{job}/{piece or WHOLE}"


def window_address(step: str, name: str) -> str:
    """A window's address: that of the act it is anchored to, and its name."""
    return f"{step}:{name}"


def matches(wanted: str, canonical: str) -> bool:
    """Whether what a person typed means this address: its step, and as much before it as tells it
    from others, in the words of the file.

    `B/block/pour#3`, `pour#3`, `B/pour#3` and `bookends-1/B/block/pour#3` all mean the same step
    where no other is named so; a missing `#n` means the first. "A/round over" is A's step
    "round over", whichever part it is done to.
    """
    said, _, number = wanted.strip().partition("#")
    own = parse(canonical)
    if own is None or (number or "1") != str(own.n):
        return False
    *ahead, step = (slug(word) for word in said.split("/"))
    if step != slug(own.step):
        return False
    places = iter([slug(own.job), slug(own.piece), slug(own.part)])
    # Each word must be found further on than the one before it.
    return all(word in places for word in ahead)
