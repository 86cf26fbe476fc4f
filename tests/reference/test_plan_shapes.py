"""What a plan reckons of its parts' shapes, against general libraries."""

import math
from itertools import pairwise, product

import pytest
import scipy
from scipy.integrate import quad
from scipy.spatial import ConvexHull

from benchmate.procedure.bodies.finishing import off_ml
from benchmate.procedure.file.part_schema import Part
from tests.reference.outside import check
from tests.unit.language_help import plan_of

SCIPY = f"scipy {scipy.__version__}"


@pytest.mark.parametrize(
    ("size", "chamfer"), [((100, 60, 40), 2), ((84, 36, 38), 5), ((30, 20, 10), 4.5)]
)
def test_chamfers_of_a_block(size: tuple[float, float, float], chamfer: float) -> None:
    """A chamfered block is the convex hull of its corners: each of the eight becomes three."""
    corners = []
    for signs in product((-1, 1), repeat=3):
        # Each of a corner's three faces keeps a corner; the three chamfers meet c/2 in.
        ins = [[0.0 if i == keep else chamfer for i in range(3)] for keep in range(3)]
        for inward in (*ins, [chamfer / 2] * 3):
            edges = zip(signs, size, inward, strict=True)
            corners.append([sign * (whole / 2 - less) for sign, whole, less in edges])
    left = ConvexHull(corners).volume / 1000.0
    text = " x ".join(f"{s} mm" for s in size)
    got = off_ml(Part(size=text, chamfer=f"{chamfer} mm"), None, 0.0)
    want = size[0] * size[1] * size[2] / 1000.0 - left
    check("chamfered block", got, want, rel=1e-9, source=f"{SCIPY} ConvexHull")


def test_a_handle_by_stations() -> None:
    stations = [(0.0, 34.0, 22.0), (60.0, 28.0, 20.0), (150.0, 38.0, 26.0), (180.0, 30.0, 30.0)]
    listed = ", ".join(f'"{x} x {w} x {h} mm"' for x, w, h in stations)
    text = f"""
name = "Handle"
[parts.handle]
density  = "1 g/cm³"
shape    = "shaped"
stations = [{listed}]
bend     = "15 mm"
[[steps]]
do = "Look at it."
"""

    def area(x: float) -> float:
        for (x0, w0, h0), (x1, w1, h1) in pairwise(stations):
            if x <= x1:
                t = (x - x0) / (x1 - x0)
                return math.pi / 4 * (w0 + t * (w1 - w0)) * (h0 + t * (h1 - h0))
        return 0.0

    want = quad(area, 0.0, 180.0, points=[60.0, 150.0])[0] / 1000.0
    check("shaped handle", plan_of(text).parts[0].volume_ml, want, rel=2e-4, source=SCIPY)
