"""Bodies that several parts make together: parts that lie flat on each other, layer by layer, and
the hollows that the parts of one layer leave between them.

A body has its length, width and height as a part has; its layers lie on each other along its
height, the first one's top inside, the last one turned over about its length.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from benchmate.fields.problem import Fault, Where
from benchmate.nearest import advice
from benchmate.procedure.bodies.bodies import Hollow, Worked
from benchmate.procedure.bodies.finishing import off_ml
from benchmate.procedure.bodies.gaps import Between, Layer, Span
from benchmate.procedure.bodies.placing import extent_of, side_named
from benchmate.procedure.bodies.shapes import ShapeError
from benchmate.procedure.file.part_schema import FileBuilt, Gap, Part, Void
from benchmate.quantities import show_length


@dataclass(frozen=True)
class Assembled:
    """A built body, worked out."""

    name: str
    spec: FileBuilt
    layers: tuple[Layer, ...]
    size_mm: tuple[float, float, float]
    gaps: tuple[Between, ...]
    joint_mm2: float
    """Of all its joints together: where wood lies on wood."""

    @property
    def members(self) -> tuple[str, ...]:
        """The parts it is made of."""
        return tuple(name for layer in self.layers for name in layer.parts)

    def as_part(self, parts: Mapping[str, Worked]) -> Worked:
        """The body as a part of no weight of its own: its parts have it.

        What comes off it weighs as much as they do on the whole. Raises ShapeError or Refused
        where its finished sizes leave nothing of it.
        """
        plain = self.plain
        mine = [parts[name] for name in self.members]
        density = sum(w.mass_g for w in mine) / sum(w.volume_ml for w in mine)
        long, wide, high = self.size_mm
        outside = 2.0 * (long * wide + long * high + wide * high)
        hollows = tuple(_hollow(gap, single=len(self.filled) == 1) for gap in self.filled)
        face = max(long * wide, long * high, wide * high)
        return Worked(
            self.name,
            plain,
            volume_ml=0.0,
            outside_mm2=outside,
            largest_face_mm2=face,
            density_g_cm3=0.0,
            mass_g=0.0,
            u_g=0.0,
            hollows=hollows,
            built=self.members,
            joints_mm2=self.joint_mm2,
            off_g=off_ml(plain, None, 0.0) * density,
        )

    @property
    def plain(self) -> Part:
        """The block that it is from outside, and what is done to that."""
        size = " x ".join(f"{s:g}" for s in self.size_mm) + " mm"
        return Part(size=size).model_copy(
            update={
                "finished_size": self.spec.finished_size,
                "chamfer": self.spec.chamfer,
                "recesses": self.spec.recesses,
            }
        )

    @property
    def filled(self) -> tuple[Between, ...]:
        """The gaps that are filled with shot."""
        return tuple(gap for gap in self.gaps if gap.spec.void)


def _hollow(gap: Between, *, single: bool) -> Hollow:
    void = Void(wall=gap.spec.wall, cap="1 mm", reserve="0 %").model_copy(
        update={"cap": gap.spec.cap, "reserve": gap.spec.reserve}
    )
    mouth = max(gap.wide_mm, gap.narrow_mm) * gap.layer.thick_mm
    least = min(gap.narrow_mm, gap.layer.thick_mm)
    name = "" if single else gap.name
    return Hollow(name, void, gap.volume_ml, mouth, least, gap.deep_mm, "back")


def assemble(
    name: str, spec: FileBuilt, parts: Mapping[str, Worked], where: Where, faults: list[Fault]
) -> Assembled | None:
    """A body of these parts; what can't be made goes into `faults`, and the answer is None."""
    for number, row in enumerate(spec.of):
        for part in row:
            if part not in parts:
                wrong = f"there is no part “{part[:60]}”"
                faults.append(Fault((*where, "of", number), wrong, advice(part, parts)))
    if any(part not in parts for row in spec.of for part in row):
        return None
    try:
        return _assembled(name, spec, parts)
    except ShapeError as error:
        faults.append(Fault.said((*where, *error.key), error))
        return None


def _assembled(name: str, spec: FileBuilt, parts: Mapping[str, Worked]) -> Assembled:
    if len(spec.of) < 2:
        raise ShapeError('a built body has layers; write of = ["left cheek", "right cheek"]', "of")
    boxes = {n: extent_of(parts[n].spec) for row in spec.of for n in row}
    for part in boxes:
        if parts[part].spec.shape != "block":
            wrong = f"“{part}” is no block, and only blocks lie flat on each other"
            raise ShapeError(f"{wrong}; glue it on with a step of its own", "of")
    rows = [[boxes[n] for n in row] for row in spec.of]
    for place in (1, 2):
        _all_alike(spec, rows, place)
    size = (
        max(sum(box[0] for box in row) for row in rows),
        rows[0][0][1],
        sum(row[0][2] for row in rows),
    )
    layers, at = [], -size[2] / 2.0
    for number, (names, row) in enumerate(zip(spec.of, rows, strict=True)):
        thick, last = row[0][2], number == len(rows) - 1
        layers.append(_layer(names, [box[0] for box in row], size[0], thick, at, turned=last))
        at += thick
    gaps = _gaps(spec, layers, size)
    return Assembled(name, spec, tuple(layers), size, gaps, _joints(layers, size[1], parts))


def _all_alike(spec: FileBuilt, rows: list[list[tuple[float, float, float]]], place: int) -> None:
    """Widths are one all through, and heights one in each layer."""
    groups = [[b for row in rows for b in row]] if place == 1 else rows
    what = "width" if place == 1 else "height"
    for group in groups:
        sizes = sorted({box[place] for box in group})
        if len(sizes) > 1:
            said = " and ".join(show_length(s) for s in sizes[:2])
            raise ShapeError(
                f"its parts differ in {what}, {said}; give the parts that lie "
                f"{'in it' if place == 1 else 'side by side'} one {what}",
                "of",
            )


def _layer(
    names: tuple[str, ...],
    lengths: list[float],
    long: float,
    thick: float,
    at: float,
    *,
    turned: bool,
) -> Layer:
    """What the parts leave of the length is shared by the gaps between them."""
    gap = (long - sum(lengths)) / (len(lengths) - 1) if len(lengths) > 1 else 0.0
    starts = [sum(lengths[:n]) + n * gap for n in range(len(lengths))]
    return Layer(names, tuple(starts), tuple(lengths), thick, at, turned)


def _gaps(
    spec: FileBuilt, layers: list[Layer], size: tuple[float, float, float]
) -> tuple[Between, ...]:
    every = [
        (pair, layer, one[1], two[0] - one[1])
        for layer in layers
        for pair, (one, two) in zip(pairwise(layer.parts), pairwise(layer.spans), strict=True)
        if two[0] - one[1] > 1e-6
    ]
    found, rest = [], list(every)
    for name, gap in spec.gaps.items():
        mine = [g for g in rest if not gap.between or set(gap.between) == set(g[0])]
        if not every:
            wrong = f"its parts leave no gap, for each layer fills all {show_length(size[0])}"
            raise ShapeError(f"{wrong}; make the parts beside it shorter", "gaps", name)
        if len(mine) != 1:
            wrong = "its parts leave no such gap" if not mine else "its parts leave several gaps"
            raise ShapeError(f'{wrong}; write between = ["front middle", "back middle"]', "gaps")
        pair, layer, start, long = mine[0]
        rest.remove(mine[0])
        _check_gap(name, gap, pair, long)
        found.append(Between(name, gap, layer, start, long, size[1]))
    if rest:
        pair, _, _, long = rest[0]
        raise ShapeError(
            f"{' and '.join(pair)} leave {show_length(long)} between them, and nothing names it; "
            "write a heading [built.NAME.gaps.mortise]",
            "of",
        )
    return tuple(found)


def _check_gap(name: str, gap: Gap, pair: tuple[str, str], long: float) -> None:
    key = ("gaps", name)
    if gap.wide_end is not None and gap.wide_end < long:
        raise ShapeError(
            f"the wide end is {show_length(gap.wide_end)}, and the gap {show_length(long)}; "
            "make it wider, or the parts longer",
            *key,
            "wide_end",
        )
    if gap.slopes and gap.slopes not in pair:
        said = f"“{gap.slopes[:40]}” doesn't lie beside it; {advice(gap.slopes, pair)}"
        raise ShapeError(said, *key, "slopes")
    if side_named(gap.wide_on) not in ("front", "back"):
        raise ShapeError(
            'it runs through the width, from front to back; write wide_on = "back"', *key, "wide_on"
        )


def _joints(layers: list[Layer], wide: float, parts: Mapping[str, Worked]) -> float:
    """Where the parts of a layer lie on those of the next, less the mouths of their voids."""
    area = 0.0
    for below, above in pairwise(layers):
        area += sum(_shared(a, b) for a in below.spans for b in above.spans) * wide
        area -= sum(_mouths(parts[n], "top", below) for n in below.parts)
        area -= sum(_mouths(parts[n], "underside", above) for n in above.parts)
    return area


def _shared(one: Span, two: Span) -> float:
    return max(0.0, min(one[1], two[1]) - max(one[0], two[0]))


def _mouths(part: Worked, side: str, layer: Layer) -> float:
    """The mouths on a part's face that looks up (or down) as it lies in the body."""
    if layer.turned:
        side = "underside" if side == "top" else "top"
    return sum(h.mouth_mm2 for h in part.hollows if h.side == side)


def spots(body: Assembled) -> Iterator[tuple[str, Layer, float]]:
    """Each part of a body, its layer, and where it begins along the length."""
    for layer in body.layers:
        for name, start in zip(layer.parts, layer.starts_mm, strict=True):
            yield name, layer, start
