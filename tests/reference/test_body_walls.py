"""Walls in glued-up bodies, every way, against clouds of points and scipy's nearest-neighbour tree.

The body is put together here anew from what the file says: layers, mouths, a turned-over cheek,
a sloped mortise, half of what comes off from each side. Nothing of the project's placing is used.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import combinations, pairwise, product

import numpy as np
import numpy.typing as npt
import pytest
import scipy
from scipy.spatial import cKDTree

from benchmate.procedure.expanding.expand import expanded
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import library
from benchmate.shelf import FAMILIES
from tests.reference.outside import check

SCIPY = f"scipy {scipy.__version__} cKDTree over surface points {{}} mm apart"
STEP_MM = 0.5
Points = npt.NDArray[np.float64]
FACES = {"first end": (0, -1), "other end": (0, 1), "front": (1, -1), "back": (1, 1)}
FACES |= {"underside": (2, -1), "top": (2, 1)}
HEAD = """
name = "Body"
[parts.cheek]
called  = ["left cheek", "right cheek"]
density = "0.7 g/cm³"
size    = "{long} x {wide} x {cheek} mm"
[parts.cheek.voids.pocket]
called  = ["front pocket", "back pocket"]
shape   = "block"
size    = "{a} x {b} x {c} mm"
from    = "{mouth}"
at      = [
  "{near} mm from the front end, {aside} mm behind the middle", "{far} mm from the back end",
]
[parts.middle]
called  = ["front middle", "back middle"]
density = "0.6 g/cm³"
size    = "{middle} x {wide} x {thick} mm"
[built.head]
of      = ["left cheek", ["front middle", "back middle"], "right cheek"]
chamfer = "{chamfer} mm"
finished_size = "{left_long} x {left_wide} x {left_high} mm"
[built.head.recesses.face]
shape = "block"
size  = "{r} x {r} x {deep} mm"
from  = "{recess}"
[built.head.gaps.mortise]
wide_end = "{wide_end} mm"
slopes   = "back middle"
[[steps]]
do = "Look at it."
"""


@dataclass(frozen=True)
class Prism:
    """A hollow with flat faces: the corners of its section at both ends."""

    one: Points
    other: Points

    def surface(self) -> Points:
        """Points on all its faces."""
        near, far = self.one, self.other
        sides = [
            _between(near[i], near[j], far[i], far[j]) for i, j in pairwise([*range(len(near)), 0])
        ]
        ends = [_between(e[0], e[1], e[3], e[2]) for e in (near, far)]
        return np.concatenate([*sides, *ends])


def _between(a: Points, b: Points, c: Points, d: Points) -> Points:
    """A grid over the face whose edges run from a to b and from c to d."""
    n, m = (max(2, round(float(np.linalg.norm(v)) / STEP_MM) + 1) for v in (b - a, c - a))
    u, v = np.meshgrid(np.linspace(0, 1, n), np.linspace(0, 1, m))
    u, v = u.reshape(-1, 1), v.reshape(-1, 1)
    grid: Points = a * (1 - u) * (1 - v) + b * u * (1 - v) + c * (1 - u) * v + d * u * v
    return grid


def box(low: tuple[float, ...], high: tuple[float, ...]) -> Prism:
    (x0, y0, z0), (x1, y1, z1) = low, high
    ends = [np.array([[x, y0, z0], [x, y1, z0], [x, y1, z1], [x, y0, z1]]) for x in (x0, x1)]
    return Prism(ends[0], ends[1])


def drawn(seed: int) -> dict[str, float | str]:
    """Sizes of a body that may well be wrong: all that is asked is how thick its walls are."""
    rng = random.Random(seed)

    def pick(low: int, high: int) -> float:
        return float(rng.randint(low, high))

    long, wide, cheek, thick = pick(100, 130), pick(50, 70), pick(22, 30), pick(16, 24)
    size = {"long": long, "wide": wide, "cheek": cheek, "thick": thick, "middle": pick(34, 40)}
    size |= {"a": pick(18, 26), "b": pick(16, 26), "c": pick(10, 15), "near": pick(5, 10)}
    size |= {"far": pick(5, 10), "aside": pick(0, 5), "chamfer": pick(1, 5), "r": 20.0}
    size |= {"deep": pick(1, 3), "left_long": long - pick(0, 4), "left_wide": wide - pick(0, 6)}
    size["left_high"] = 2 * cheek + thick - pick(0, 8)
    size["wide_end"] = long - 2 * size["middle"] + pick(2, 6)
    words = {"mouth": rng.choice(["top", "underside"])}
    return {**size, **words, "recess": rng.choice(list(FACES))}


def hollows(s: dict[str, float | str]) -> dict[str, Prism]:
    """All hollows as the file says them: x from the first end, y and z from the middle."""
    n = {k: v for k, v in s.items() if isinstance(v, float)}
    high, half = 2 * n["cheek"] + n["thick"], n["long"] / 2
    found = {}
    for cheek, over in (("left cheek", 1.0), ("right cheek", -1.0)):
        # The left cheek lies below with its top inside; the right one is turned over above it.
        inside, outside = -over * n["thick"] / 2, -over * high / 2
        mouth, inwards = (inside, -over) if s["mouth"] == "top" else (outside, over)
        zs = sorted((mouth, mouth + inwards * n["c"]))
        starts = {"front pocket": n["near"], "back pocket": n["long"] - n["far"] - n["a"]}
        for pocket, x in starts.items():
            y = over * n["aside"] if pocket == "front pocket" else 0.0
            low, end = (x, y - n["b"] / 2, zs[0]), (x + n["a"], y + n["b"] / 2, zs[1])
            found[f"{pocket} of the {cheek}"] = box(low, end)
    x0, x1, y, z = n["middle"], n["long"] - n["middle"], n["wide"] / 2, n["thick"] / 2
    sloped = x0 + n["wide_end"]
    ends = [np.array([[x0, -y, k], [x1, -y, k], [sloped, y, k], [x0, y, k]]) for k in (-z, z)]
    found["mortise"] = Prism(ends[0], ends[1])
    axis, way = FACES[str(s["recess"])]
    finished = (n["left_long"], n["left_wide"], n["left_high"])
    r = n["r"] / 2
    low, top = [half - r, -r, -r], [half + r, r, r]
    face = (half if axis == 0 else 0.0) + way * finished[axis] / 2
    low[axis], top[axis] = sorted((face, face - way * n["deep"]))
    found["face"] = box(tuple(low), tuple(top))
    return found


@pytest.mark.parametrize("seed", range(16))
def test_walls_in_a_body_every_way(seed: int) -> None:
    said = drawn(seed)
    document = load(HEAD.format(**said), "body.toml", library())
    found = expanded(document, [], job_id="j", materials={}, families=FAMILIES)
    assert found is not None
    (body,) = found.made.bodies.values()
    got = found.made.walls_in("A", body)
    size = np.array(body.size_mm)
    finished = np.array([said["left_long"], said["left_wide"], said["left_high"]], dtype=float)
    lying = hollows(said)
    clouds = {name: solid.surface() for name, solid in lying.items()}
    middle = np.array([size[0] / 2, 0.0, 0.0])
    source = SCIPY.format(STEP_MM)
    for name in (n for n in lying if "pocket" in n):
        void, _, part = name.partition(" of the ")
        opens = {"left cheek": "underside", "right cheek": "top"}[part]
        opens = opens if said["mouth"] == "underside" else ""
        least = [
            float(cKDTree(cloud).query(clouds[name])[0].min())
            for other, cloud in clouds.items()
            if other != name and not (other == "face" and said["recess"] == opens)
        ]
        off = clouds[name] - middle
        for side, (axis, way) in FACES.items():
            if side != opens:
                least.append(float(size[axis] / 2 - (way * off[:, axis]).max()))
        # Two clouds miss each other's nearest points by half a step along a face at the most.
        want = min(least)
        near = 0.01 if want in least[-6:] else STEP_MM / 2
        check("body walls", got.least[(part, void)].mm, want, abs=near, source=source)
    pockets = {n: c - middle for n, c in clouds.items() if "pocket" in n}
    for side, (axis, way) in FACES.items():
        outwards = "left cheek" if way < 0 else "right cheek"
        over = {} if axis == 1 else {"mortise": clouds["mortise"] - middle}
        for name, cloud in pockets.items():
            # A hollow has no wall where it opens; the mortise opens in front and at the back.
            if said["mouth"] == "top" or axis != 2 or not name.endswith(outwards):
                over[name] = cloud
        want = min(float(finished[axis] / 2 - (way * c[:, axis]).max()) for c in over.values())
        left = min(w.left.mm for w in got.outer if w.left.side == side)
        check("walls under a body's faces", left, want, abs=1e-6, source=source)
    if said["mouth"] == "top":
        every = np.concatenate(list(pockets.values()))
        chamfers = [
            (finished[a] + finished[b]) / 2 - said["chamfer"] - v * every[:, a] - w * every[:, b]
            for (a, b), v, w in product(combinations(range(3), 2), (-1, 1), (-1, 1))
        ]
        want = float(np.min(chamfers)) / 2**0.5
        left = min(w.left.mm for w in got.outer if w.left.side is None)
        check("walls under a body's chamfers", left, want, abs=1e-6, source=source)
