"""Points, directions and where a shape lies."""

import math

import msgspec

Vec = tuple[float, float, float]

NEAR_MM = 1e-6
"""Two surfaces nearer than this are taken to touch: far below any tool, far above rounding."""


def dot(a: Vec, b: Vec) -> float:
    """The scalar product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def moved(a: Vec, b: Vec, share: float = 1.0) -> Vec:
    """`a` moved by `share` of `b`."""
    return (a[0] + share * b[0], a[1] + share * b[1], a[2] + share * b[2])


def less(a: Vec, b: Vec) -> Vec:
    """`a` minus `b`."""
    return moved(a, b, -1.0)


def length(a: Vec) -> float:
    """The length of a vector."""
    return math.hypot(*a)


_ROWS: dict[str, tuple[Vec, Vec, Vec]] = {
    "x": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "y": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    "z": ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
}
DIRECTIONS = ("x", "y", "z", "-x", "-y", "-z")


class Placing(msgspec.Struct, frozen=True):
    """Turns a shape's own coordinates into those of the piece: rows times own, plus `at`."""

    rows: tuple[Vec, Vec, Vec]
    at: Vec

    def point(self, own: Vec) -> Vec:
        """Where a point of the shape lies in the piece."""
        return moved(self.direction(own), self.at)

    def direction(self, own: Vec) -> Vec:
        """A direction of the shape, seen in the piece."""
        a, b, c = self.rows
        return (dot(a, own), dot(b, own), dot(c, own))

    def own_direction(self, there: Vec) -> Vec:
        """A direction in the piece, seen by the shape."""
        a, b, c = self.rows
        x, y, z = there
        return (
            a[0] * x + b[0] * y + c[0] * z,
            a[1] * x + b[1] * y + c[1] * z,
            a[2] * x + b[2] * y + c[2] * z,
        )

    def own_point(self, there: Vec) -> Vec:
        """A point of the piece in the shape's own coordinates."""
        return self.own_direction(less(there, self.at))

    def within(self, outer: "Placing") -> "Placing":
        """This placing, when what holds it is itself placed by `outer`."""
        columns = [outer.direction(tuple(row[i] for row in self.rows)) for i in range(3)]  # type: ignore[arg-type]
        rows = tuple(tuple(column[i] for column in columns) for i in range(3))
        return Placing(rows, outer.point(self.at))  # type: ignore[arg-type]


HOME = Placing(_ROWS["x"], (0.0, 0.0, 0.0))


def placing(along: str, at: Vec) -> Placing:
    """The placing of a shape that starts at `at` and goes on along one of `DIRECTIONS`.

    Its own y and z then lie along the next two axes in the round x, y, z, x. Against an axis the
    shape is mirrored, which makes no difference to shapes that are alike on both sides.
    """
    rows = _ROWS[along[-1]]
    if along.startswith("-"):
        rows = tuple((-row[0], row[1], row[2]) for row in rows)  # type: ignore[assignment]
    return Placing(rows, at)
