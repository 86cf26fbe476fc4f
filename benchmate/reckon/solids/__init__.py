"""Volume, surface and centre of the shapes a small shop cuts, turns and bores.

`shape_from_json` reads a shape in plain JSON (see `grammar`) and gives a `Body`; a shape that
can't be made raises `Refused` with one sentence.

Axes: a shape lies along x. It starts at x = 0 (a bore's mouth, a cylinder's first end) and goes
on towards greater x; its middle is on the x axis, so y and z run from minus to plus half of its
width and height. `at_mm` moves the start, `along` turns the shape to another axis.
"""

from benchmate.reckon.solids.body import Body
from benchmate.reckon.solids.grammar import shape_from_json

__all__ = ["Body", "shape_from_json"]
