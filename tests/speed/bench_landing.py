"""What a heading and an adjustment cost after a record: 12 pieces of 8 layers, half of them poured.

Conditioning the same twelve pieces on the same readings by numpy, all at once and from ready
matrices, is timed in the same run and says how fast the machine is.
"""

import math
from collections.abc import Callable
from time import perf_counter

import numpy as np

from benchmate.landing.adjusting.matching import adjustment
from benchmate.landing.course import (
    CourseChange,
    FillCourse,
    LayerCourse,
    Packing,
    PieceCourse,
    Weight,
)
from benchmate.landing.will_weigh import all_will_weigh
from tests.speed.harness import Measure

PIECES, LAYERS = 12, 8
TARGET_MS = 20.0
LAYER_ML = 27.0


def pieces() -> list[PieceCourse]:
    """A set that must match, each piece a little apart from the next."""
    return [_piece(n) for n in range(PIECES)]


def _piece(number: int) -> PieceCourse:
    fill = FillCourse(Packing.split(0.6, 0.0105), 7.8, 1.1)
    layers = [_layer(fill, n, 420.0 + 0.3 * number, 136.0 + 0.2 * number) for n in range(LAYERS)]
    sanding = CourseChange("sanding", -6.0, math.sqrt(3.0), adjustable=True)
    return PieceCourse(
        piece=f"piece {number}",
        blank=Weight(420.0 + 0.3 * number, 0.5),
        stages=(*layers, sanding, CourseChange("wax", 2.0, 0.5, shared="wax")),
        target_g=1506.0,
        tolerance_g=15.0,
        moisture_u_pct=0.6,
        scale_u_g=0.5,
    )


def _layer(fill: FillCourse, n: int, blank_g: float, gain_g: float) -> LayerCourse:
    last = n == LAYERS - 1
    packing = 0.57 if last else 0.6
    return LayerCourse(
        name=f"layer {n + 1}",
        fill=fill,
        void_ml=LAYER_ML,
        shot_g=LAYER_ML * packing * 7.8,
        resin_g=LAYER_ML * (1.0 - packing) * 1.1,
        by="weight" if last else "line",
        at_brim=last,
        whole=Weight(blank_g + gain_g * (n + 1), 0.5) if n < LAYERS // 2 else None,
    )


def best_ms(act: Callable[[], object], rounds: int = 20) -> float:
    """The least time of `act` over some rounds."""
    least = math.inf
    for _ in range(rounds):
        start = perf_counter()
        act()
        least = min(least, perf_counter() - start)
    return least * 1e3


def bare() -> None:
    """Twelve normal vectors of the same size conditioned on four readings each."""
    size = 5 + 3 * LAYERS
    prior = np.eye(size)
    seen = np.ones((LAYERS // 2, size))
    for _ in range(PIECES):
        gain = np.linalg.solve(seen @ prior @ seen.T + np.eye(LAYERS // 2), seen @ prior).T
        prior - gain @ seen @ prior


def measure() -> list[Measure]:
    """Headings, adjustment, and both together against 20 ms."""
    made = pieces()
    bare_ms = best_ms(bare)

    def both() -> None:
        all_will_weigh(made)
        adjustment(made, 1.0, 5.0)

    return [
        _measured("headings", best_ms(lambda: all_will_weigh(made)), bare_ms),
        _measured("adjustment", best_ms(lambda: adjustment(made, 1.0, 5.0)), bare_ms),
        _measured("heading and adjustment", best_ms(both), bare_ms, target=TARGET_MS),
    ]


def _measured(what: str, cost_ms: float, bare_ms: float, target: float | None = None) -> Measure:
    return Measure(
        what=f"{what}, {PIECES} pieces of {LAYERS} layers",
        value=round(cost_ms, 1),
        unit="ms",
        against=f"the bare conditioning by numpy takes {bare_ms:.2f} ms",
        target=target,
        ok=None if target is None else cost_ms <= target,
    )
