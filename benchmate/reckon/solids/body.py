"""A body: a simple solid in its place, or several put together with voids cut."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from benchmate.reckon.solids.leaves import Flat, Leaf
from benchmate.reckon.solids.placing import Placing, Vec, dot
from benchmate.reckon.solids.second import central, turned_to

AXES: dict[str, Vec] = {
    "+x": (1.0, 0.0, 0.0),
    "-x": (-1.0, 0.0, 0.0),
    "+y": (0.0, 1.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "+z": (0.0, 0.0, 1.0),
    "-z": (0.0, 0.0, -1.0),
}


@dataclass(frozen=True)
class Piece:
    """A leaf in its place."""

    leaf: Leaf
    where: Placing

    def contains(self, p: Vec, slack: float) -> bool:
        """Whether a point is inside."""
        return self.leaf.contains(self.where.own_point(p), slack)

    def support(self, n: Vec) -> Vec:
        """The point that lies furthest in a direction."""
        return self.where.point(self.leaf.support(self.where.own_direction(n)))

    def samples(self) -> Iterator[Vec]:
        """Points on and in the leaf."""
        return map(self.where.point, self.leaf.samples())

    def flats(self) -> tuple[Flat, ...]:
        """The leaf's flat faces where they lie."""
        return tuple(
            Flat(
                flat.area,
                self.where.point(flat.middle),
                self.where.direction(flat.normal),
                tuple(map(self.where.point, flat.points)),
            )
            for flat in self.leaf.flats
        )


@dataclass(frozen=True)
class Body:
    """A shape with its measures in mm, and what it is made of, to fit other shapes against.

    `u_volume` is zero where the volume is exact. `surface` is None where holes cross or run out
    through a curved side, since it isn't worked out there.
    """

    name: str
    volume: float
    surface: float | None
    centre: Vec
    flats: tuple[Flat, ...] = ()
    piece: Piece | None = None
    parts: tuple["Body", ...] = ()
    voids: tuple["Body", ...] = ()
    notes: tuple[str, ...] = ()
    u_volume: float = 0.0
    made_second: Vec | None = None
    """Second moments about its centre, where it was put together; a leaf's own follow from it."""

    @property
    def volume_ml(self) -> float:
        """The volume in ml."""
        return self.volume / 1000.0

    @property
    def u_volume_ml(self) -> float:
        """The standard uncertainty of the volume in ml, from sampling alone."""
        return self.u_volume / 1000.0

    @property
    def surface_cm2(self) -> float | None:
        """The surface in cm², None where it isn't worked out."""
        return None if self.surface is None else self.surface / 100.0

    @cached_property
    def second(self) -> Vec:
        """Second moments about its centre along x, y and z, mm⁵ (see `second`)."""
        if self.made_second is not None:
            return self.made_second
        if self.piece is None:
            raise ValueError(f"{self.name} was made without its second moments")
        return turned_to(central(self.piece.leaf), self.piece.where)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The simple solids it is made of, voids not counted."""
        own = () if self.piece is None else (self.piece,)
        return own + tuple(piece for part in self.parts for piece in part.pieces)

    @cached_property
    def samples(self) -> tuple[Vec, ...]:
        """Points on and in its pieces."""
        return tuple(point for piece in self.pieces for point in piece.samples())

    def contains(self, p: Vec, slack: float = 0.0) -> bool:
        """Whether a point is in the material, which is grown by `slack`."""
        solid = self.piece is not None and self.piece.contains(p, slack)
        if not (solid or any(part.contains(p, slack) for part in self.parts)):
            return False
        return not any(void.contains(p, -slack) for void in self.voids)

    def reach(self, n: Vec) -> float:
        """How far the body reaches in a direction of length one."""
        return max(dot(n, piece.support(n)) for piece in self.pieces)

    @cached_property
    def box(self) -> dict[str, float]:
        """How far it reaches along each axis, both ways."""
        return {axis: self.reach(n) for axis, n in AXES.items()}


def single(name: str, leaf: Leaf, where: Placing) -> Body:
    """A leaf in its place as a body."""
    piece = Piece(leaf, where)
    centre = where.point(leaf.centre)
    return Body(name, leaf.volume, leaf.surface, centre, piece.flats(), piece)
