"""Equivalent age: the time at the label's temperature that would have done as much.

t_e = integral of exp(-(Ea/R)(1/T - 1/T_label)) dt, T in kelvin. The mean temperature won't do in
its place: warm hours count for more than cold ones take away.

Sources: Arrhenius' law; the form of equivalent age is that of ASTM C1074, which was made for
concrete and is used here as a tool.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from benchmate.reckon.heat.kinetics import rate_ratio

Between = Literal["held", "linear"]
Points = Sequence[tuple[float, float]]

_LARGEST_STEP_C = 2.0
# Gauss and Legendre's three points and weights on 0..1: exact for the smooth rate to 1e-9 at this
# step.
_GAUSS = ((0.5 - math.sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + math.sqrt(0.15), 5 / 18))


@dataclass(frozen=True, slots=True)
class Cure:
    """Clock hours to the cure, the age reached at the log's end, and where it is done.

    `done_h` stands on the log's own clock. `held_on` says that the log ends before the cure does,
    so that its last temperature was taken on.
    """

    time_h: float
    equivalent_age_h: float
    done_h: float
    held_on: bool


def mean_rate(start_c: float, end_c: float, ref_c: float, activation_j_mol: float) -> float:
    """The mean of the relative rate while the temperature goes straight from one to the other."""
    steps = max(1, math.ceil(abs(end_c - start_c) / _LARGEST_STEP_C))
    total = 0.0
    for i in range(steps):
        for at, weight in _GAUSS:
            c = start_c + (end_c - start_c) * (i + at) / steps
            total += weight * rate_ratio(c, ref_c, activation_j_mol)
    return total / steps


def equivalent_age_h(
    points: Points, ref_c: float, activation_j_mol: float, between: Between = "held"
) -> float:
    """Hours at `ref_c` that the whole log is worth.

    "held": a value holds until the next reading; "linear": straight lines between readings.
    """
    return sum(
        (t1 - t0) * mean_rate(c0, _end(c0, c1, between), ref_c, activation_j_mol)
        for (t0, c0), (t1, c1) in pairwise(points)
    )


def cure_along(
    points: Points,
    label_time_h: float,
    ref_c: float,
    activation_j_mol: float,
    between: Between = "held",
) -> Cure:
    """When the cure that takes `label_time_h` at `ref_c` is done, begun at the log's first time."""
    left, done_h = label_time_h, None
    for (t0, c0), (t1, c1) in pairwise(points):
        end_c = _end(c0, c1, between)
        gain = (t1 - t0) * mean_rate(c0, end_c, ref_c, activation_j_mol)
        if gain >= left:
            done_h = t0 + _part(left, t1 - t0, c0, end_c, ref_c, activation_j_mol)
            break
        left -= gain
    held_on = done_h is None
    if done_h is None:
        last_t, last_c = points[-1]
        done_h = last_t + left / rate_ratio(last_c, ref_c, activation_j_mol)
    age = equivalent_age_h(points, ref_c, activation_j_mol, between)
    return Cure(done_h - points[0][0], age, done_h, held_on)


def cure_at(label_time_h: float, ref_c: float, shop_c: float, activation_j_mol: float) -> Cure:
    """The cure in a shop that stays at one temperature.

    Its `equivalent_age_h` is what `label_time_h` hours in this shop are worth.
    """
    rate = rate_ratio(shop_c, ref_c, activation_j_mol)
    time_h = label_time_h / rate
    return Cure(time_h, label_time_h * rate, time_h, held_on=False)


def _end(start_c: float, next_c: float, between: Between) -> float:
    return next_c if between == "linear" else start_c


def _part(
    left: float, length: float, start_c: float, end_c: float, ref_c: float, activation_j_mol: float
) -> float:
    """How far into a stretch of straight temperature the last `left` equivalent hours reach."""
    if start_c == end_c:
        return left / rate_ratio(start_c, ref_c, activation_j_mol)
    low, high = 0.0, 1.0
    for _ in range(60):
        share = (low + high) / 2.0
        so_far = (
            share
            * length
            * mean_rate(start_c, start_c + share * (end_c - start_c), ref_c, activation_j_mol)
        )
        low, high = (share, high) if so_far < left else (low, share)
    return high * length
