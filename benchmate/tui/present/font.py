"""Our own letters, 5 × 7 dots, drawn with half blocks: two dots a cell, one above the other.

Each letter is seven rows of dots, "#" set and "." blank, narrower where the letter is. What has no
letter here is shown as a box.
"""

from __future__ import annotations

from functools import cache

_ROWS = 7
_DRAWN = """
A .###. #...# #...# ##### #...# #...# #...#
B ####. #...# #...# ####. #...# #...# ####.
C .#### #.... #.... #.... #.... #.... .####
D ####. #...# #...# #...# #...# #...# ####.
E ##### #.... #.... ####. #.... #.... #####
F ##### #.... #.... ####. #.... #.... #....
G .#### #.... #.... #..## #...# #...# .####
H #...# #...# #...# ##### #...# #...# #...#
I ### .#. .#. .#. .#. .#. ###
J ..### ...#. ...#. ...#. ...#. #..#. .##..
K #...# #..#. #.#.. ##... #.#.. #..#. #...#
L #... #... #... #... #... #... ####
M #...# ##.## #.#.# #.#.# #...# #...# #...#
N #...# ##..# ##..# #.#.# #..## #..## #...#
O .###. #...# #...# #...# #...# #...# .###.
P ####. #...# #...# ####. #.... #.... #....
Q .###. #...# #...# #...# #.#.# #..#. .##.#
R ####. #...# #...# ####. #.#.. #..#. #...#
S .#### #.... #.... .###. ....# ....# ####.
T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# #...# #...# .###.
V #...# #...# #...# #...# #...# .#.#. ..#..
W #...# #...# #...# #.#.# #.#.# ##.## #...#
X #...# #...# .#.#. ..#.. .#.#. #...# #...#
Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..
Z ##### ....# ...#. ..#.. .#... #.... #####
0 .###. #...# #..## #.#.# ##..# #...# .###.
1 .#. ##. .#. .#. .#. .#. ###
2 .###. #...# ....# ..##. .#... #.... #####
3 ####. ....# ....# .###. ....# ....# ####.
4 ...#. ..##. .#.#. #..#. ##### ...#. ...#.
5 ##### #.... ####. ....# ....# #...# .###.
6 ..##. .#... #.... ####. #...# #...# .###.
7 ##### ....# ...#. ..#.. .#... .#... .#...
8 .###. #...# #...# .###. #...# #...# .###.
9 .###. #...# #...# .#### ....# ...#. .##..
. . . . . . . #
, .. .. .. .. .. .# #.
: . . # . # . .
- .... .... .... #### .... .... ....
+ ..... ..#.. ..#.. ##### ..#.. ..#.. .....
/ ....# ....# ...#. ..#.. .#... #.... #....
! # # # # # . #
? .###. #...# ....# ..##. ..#.. ..... ..#..
± ..#.. ..#.. ##### ..#.. ..#.. ..... #####
% ##..# ##..# ...#. ..#.. .#... #..## #..##
° ## ## .. .. .. .. ..
' # # . . . . .
~ ..... ..... .#..# #.#.# #..#. ..... .....
( .# #. #. #. #. #. .#
) #. .# .# .# .# .# #.
"""
SPACE = 2
"""Dots of a blank; with the gap on both sides it is nearly as wide as a letter."""
GAP = 1
_BOX = ("#####", "#...#", "#...#", "#...#", "#...#", "#...#", "#####")


@cache
def _letters() -> dict[str, tuple[str, ...]]:
    rows = (r.split() for r in _DRAWN.strip().splitlines())
    return {name: tuple(dots) for name, *dots in rows}


def dots(text: str) -> list[str]:
    """The text as seven rows of "#" and "."."""
    rows = [""] * _ROWS
    for character in text.upper():
        shape = (".." * (SPACE // 2),) * _ROWS if character == " " else _shape(character)
        for i in range(_ROWS):
            rows[i] += ("." * GAP if rows[i] else "") + shape[i]
    return rows


def _shape(character: str) -> tuple[str, ...]:
    return _letters().get(character.replace("−", "-"), _BOX)


def cells_of(text: str) -> int:
    """How many cells the text takes at scale 1."""
    return len(dots(text)[0])


def rows_of(scale: int) -> int:
    """How many rows it takes at a scale: 4 at scale 1, 7 at 2, 11 at 3."""
    return (_ROWS * scale + 1) // 2


def big(text: str, scale: int = 1) -> list[str]:
    """The text in half blocks, every dot `scale` cells wide and as many half cells high."""
    wide = ["".join(d * scale for d in row) for row in dots(text)]
    tall = [row for row in wide for _ in range(scale)]
    if len(tall) % 2:
        tall.append("." * len(tall[0]))
    pairs = zip(tall[::2], tall[1::2], strict=True)
    return ["".join(_cell(a, b) for a, b in zip(up, low, strict=True)) for up, low in pairs]


def _cell(up: str, low: str) -> str:
    if up == "#":
        return "█" if low == "#" else "▀"
    return "▄" if low == "#" else " "
