"""Headings against outside arithmetic.

Checked here: the conjugate update against its closed form and against Bayes' rule integrated by a
general library (scipy quad); the whole chain of records against conditioning a joint normal
distribution at once (numpy), with the pour written down anew as a non-linear mass balance and
differentiated by differences; shot that may not go in against integration and against drawing
samples.
"""

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from benchmate.landing.adjusting.overfull import cut_off
from benchmate.landing.course import FillCourse, LayerCourse, Packing, PieceCourse, Weight
from benchmate.landing.follow import follow
from benchmate.landing.gauss import Gauss
from benchmate.landing.will_weigh import all_will_weigh, difference, will_weigh

Array = npt.NDArray[np.float64]
ML, STEEL, RESIN, PHI = 27.0, 7.8, 1.1, 0.6


@pytest.mark.parametrize(
    ("prior", "prior_u", "reading", "u"),
    [
        pytest.param(0.0, 4.0, -7.0, 3.0, id="nearly even"),
        pytest.param(0.0, 4.0, -7.0, 0.2, id="a sharp reading"),
        pytest.param(2.0, 0.5, 9.0, 6.0, id="a sharp prior"),
    ],
)
def test_one_reading_against_closed_form_and_integration(
    prior: float, prior_u: float, reading: float, u: float
) -> None:
    state = Gauss()
    state.add(prior, prior_u**2)
    state.observe({0: 1.0}, reading, u**2)
    certainty = 1.0 / prior_u**2 + 1.0 / u**2
    mean = (prior / prior_u**2 + reading / u**2) / certainty
    assert state.mean[0] == pytest.approx(mean, rel=1e-12)
    assert state.cov[0][0] == pytest.approx(1.0 / certainty, rel=1e-12)

    def weight(x: float) -> float:
        return float(norm.pdf(x, prior, prior_u) * norm.pdf(reading, x, u))

    low, high = mean - 12.0 / math.sqrt(certainty), mean + 12.0 / math.sqrt(certainty)
    mass = quad(weight, low, high, epsabs=0, epsrel=1e-10)[0]
    first = quad(lambda x: x * weight(x), low, high, epsabs=0, epsrel=1e-10)[0] / mass
    second = quad(lambda x: (x - first) ** 2 * weight(x), low, high, epsrel=1e-10)[0] / mass
    assert state.mean[0] == pytest.approx(first, rel=1e-7)
    assert state.cov[0][0] == pytest.approx(second, rel=1e-7)


def test_packing_learned_from_two_layers_against_the_closed_form() -> None:
    """With everything else exact, a gain is packing seen with an error: weighted means."""
    fill = FillCourse(Packing(PHI, 0.012, 0.0, 0.006), STEEL, RESIN, 0.0, 0.0, 0.0, 0.0)
    gains = (131.0, 134.5)
    layers = tuple(
        LayerCourse(f"layer {n}", fill, ML, 126.36, 11.88, gain=Weight(g, 0.8))
        for n, g in enumerate(gains)
    )
    per_packing = ML * (STEEL - RESIN)
    planned = ML * (PHI * STEEL + (1.0 - PHI) * RESIN)
    spread = 0.006**2 + (0.8 / per_packing) ** 2
    certainty = 1.0 / 0.012**2 + 2.0 / spread
    seen = sum((g - planned) / per_packing for g in gains)
    found = follow(PieceCourse("B", Weight(420.0, 0.5), layers)).packing()
    assert found is not None
    assert found.g == pytest.approx(PHI + seen / spread / certainty, rel=1e-10)
    assert found.u_g == pytest.approx(1.0 / math.sqrt(certainty), rel=1e-10)


def gains_of(x: Array, by: tuple[str, ...], shot_g: tuple[float, ...]) -> Array:
    """A fill as a mass balance, written for this test: [shot, fill, void, resin, lines, scatter].

    Returns shot and resin of each layer, one after the other.
    """
    count = len(by)
    shot, fill, void, resin = x[:4]
    lines, scatter = x[4 : 4 + count], x[4 + count :]
    out, below = [], 0.0
    for n in range(count):
        room = ML * (1.0 + void) + lines[n] - below
        below = lines[n]
        if by[n] == "line":
            metal = (PHI + shot + fill + scatter[n]) * room
        else:
            metal = (shot_g[n] + scatter[n]) / STEEL
        out += [metal * STEEL, (room - metal) * RESIN * (1.0 + resin)]
    return np.array(out)


def jacobian(by: tuple[str, ...], shot_g: tuple[float, ...]) -> tuple[Array, Array]:
    """Value at no departure, and slopes by central differences."""
    size = 4 + 2 * len(by)
    columns = []
    for i in range(size):
        step = np.zeros(size)
        step[i] = 1e-6
        columns.append((gains_of(step, by, shot_g) - gains_of(-step, by, shot_g)) / 2e-6)
    return gains_of(np.zeros(size), by, shot_g), np.array(columns).T


def prior_of(fill: FillCourse, by: tuple[str, ...]) -> Array:
    count = len(by)
    lines = [fill.line_u * ML] * (count - 1) + [fill.brim_u * ML]
    scatter = [fill.packing.layer_u if way == "line" else fill.pour_u_g for way in by]
    u = [fill.packing.shot_u, fill.packing.fill_u, fill.void_u, fill.resin_u, *lines, *scatter]
    return np.diag(np.square(np.array(u)))


def condition(
    mean: Array, cov: Array, seen: Array, values: Array, noise: Array
) -> tuple[Array, Array]:
    """Joint normal given readings of sums of it, all at once."""
    gain = np.linalg.solve(seen @ cov @ seen.T + np.diag(noise), seen @ cov).T
    return mean + gain @ (values - seen @ mean), cov - gain @ seen @ cov


FILL = FillCourse(Packing.split(PHI, 0.0105), STEEL, RESIN)
ALL_LINES = ("line", "line", "line", "line")
LAST_WEIGHED = ("line", "line", "line", "weight")
PLANNED = (126.36, 126.36, 126.36, 110.0)


def course_of(
    by: tuple[str, ...], readings: dict[int, float], u: float, *, split: float | None = None
) -> PieceCourse:
    layers = []
    for n, way in enumerate(by):
        shot_g = PLANNED[n]
        layers.append(
            LayerCourse(
                f"layer {n + 1}",
                FILL,
                ML,
                shot_g,
                RESIN * (ML - shot_g / STEEL),
                by=way,  # type: ignore[arg-type]
                poured=n <= max(readings, default=-1),
                at_brim=n == len(by) - 1,
                whole=Weight(readings[n], u) if n in readings else None,
                shot_in=Weight(split, 0.7) if split is not None and n == 0 else None,
            )
        )
    return PieceCourse("B", Weight(421.0, 0.6), tuple(layers))


@pytest.mark.parametrize(
    ("by", "readings", "split"),
    [
        pytest.param(ALL_LINES, {0: 553.0}, None, id="one layer"),
        pytest.param(ALL_LINES, {0: 553.0, 1: 697.0, 2: 830.0}, None, id="three layers"),
        pytest.param(ALL_LINES, {0: 553.0, 2: 830.0}, None, id="one not weighed"),
        pytest.param(ALL_LINES, {1: 690.0}, 119.0, id="shot weighed apart"),
        pytest.param(LAST_WEIGHED, {0: 553.0, 1: 697.0}, None, id="the last by weight"),
        pytest.param(LAST_WEIGHED, {0: 555.0, 1: 690.0, 2: 828.0, 3: 953.0}, None, id="all in"),
    ],
)
def test_a_heading_is_the_joint_distribution_conditioned_at_once(
    by: tuple[str, ...], readings: dict[int, float], split: float | None
) -> None:
    planned, slopes = jacobian(by, PLANNED)
    size = slopes.shape[1]
    # The blank is one more unknown, in the last place.
    mean = np.zeros(size + 1)
    mean[-1] = 421.0
    cov = np.zeros((size + 1, size + 1))
    cov[:size, :size] = prior_of(FILL, by)
    cov[-1, -1] = 0.6**2

    def standing(layers: int) -> tuple[Array, float]:
        weights = np.append(slopes[: 2 * layers].sum(axis=0), 1.0)
        return weights, float(planned[: 2 * layers].sum())

    seen, values, noise = [], [], []
    for n, reading in readings.items():
        weights, constant = standing(n + 1)
        seen.append(weights)
        values.append(reading - constant)
        noise.append(0.5**2)
    if split is not None:
        seen.append(np.append(slopes[0], 0.0))
        values.append(split - planned[0])
        noise.append(0.7**2)
    mean, cov = condition(mean, cov, np.array(seen), np.array(values), np.array(noise))
    weights, constant = standing(len(by))
    found = will_weigh(course_of(by, readings, 0.5, split=split))
    missing = sum(c.g for c in found.contributions if c.name == "shot that may not go in")
    assert abs(missing) < 0.05, "nothing left out to speak of, so that the comparison is fair"
    assert found.mass_g - missing == pytest.approx(float(weights @ mean) + constant, abs=1e-5)
    assert found.u_g == pytest.approx(math.sqrt(float(weights @ cov @ weights)), rel=2e-3)


def test_two_pieces_of_one_shot_against_the_joint_distribution() -> None:
    planned, slopes = jacobian(ALL_LINES, PLANNED)
    size = slopes.shape[1]
    # The shot's packing is shared: A's unknowns, then B's without it, then the two blanks.
    to_a = np.eye(2 * size + 1)[:size]
    to_b = np.vstack([to_a[0], np.eye(2 * size + 1)[size : 2 * size - 1]])
    prior = np.diag(prior_of(FILL, ALL_LINES))
    cov = np.diag(np.concatenate([prior, prior[1:], [0.6**2, 0.6**2]]))
    mean = np.zeros(2 * size + 1)
    mean[-2:] = 421.0
    whole = float(planned.sum())

    def standing(which: Array, blank: int, layers: int) -> Array:
        weights = slopes[: 2 * layers].sum(axis=0) @ which
        weights[blank] += 1.0
        return weights

    seen = np.array([standing(to_a, -2, n) for n in (1, 2, 3, 4)] + [standing(to_b, -1, 1)])
    read = np.array([554.0, 690.0, 826.0, 961.0, 560.0])
    constants = np.array([float(planned[: 2 * n].sum()) for n in (1, 2, 3, 4, 1)])
    mean, cov = condition(mean, cov, seen, read - constants, np.full(5, 0.25))
    a, b = standing(to_a, -2, 4), standing(to_b, -1, 4)
    made = [
        course_of(ALL_LINES, {0: 554.0, 1: 690.0, 2: 826.0, 3: 961.0}, 0.5),
        course_of(ALL_LINES, {0: 560.0}, 0.5),
    ]
    made = [replace(course, piece=name) for course, name in zip(made, "AB", strict=True)]
    one, other = all_will_weigh(made)
    for found, weights in ((one, a), (other, b)):
        assert found.mass_g == pytest.approx(float(weights @ mean) + whole, abs=1e-5)
        assert found.u_g == pytest.approx(math.sqrt(float(weights @ cov @ weights)), rel=1e-6)
    apart = difference(one, other)
    assert apart.g == pytest.approx(float((a - b) @ mean), abs=1e-5)
    assert apart.u_g == pytest.approx(math.sqrt(float((a - b) @ cov @ (a - b))), rel=1e-6)


@pytest.mark.parametrize(("mu", "sigma"), [(-3.0, 1.0), (-0.5, 2.0), (0.0, 1.0), (4.0, 1.5)])
def test_a_value_cut_off_at_zero_against_integration(mu: float, sigma: float) -> None:
    above, first, variance = cut_off(mu, sigma)
    top = mu + 14.0 * sigma
    scaled = norm(mu, sigma)
    assert above == pytest.approx(float(scaled.sf(0.0)), rel=1e-12)
    mean = quad(lambda x: x * scaled.pdf(x), 0.0, top, epsabs=1e-13, epsrel=1e-11)[0]
    square = quad(lambda x: x * x * scaled.pdf(x), 0.0, top, epsabs=1e-13, epsrel=1e-11)[0]
    assert first == pytest.approx(mean, rel=1e-8)
    assert variance == pytest.approx(square - mean**2, rel=1e-6)


@pytest.mark.parametrize("packing", [0.60, 0.615, 0.63])
def test_a_heading_with_shot_left_out_against_drawn_samples(packing: float) -> None:
    """One weighed layer that may be too full: mean and deviation of a hundred thousand pours."""
    shot_g = ML * packing * STEEL
    layer = LayerCourse("layer", FILL, ML, shot_g, RESIN * (ML - shot_g / STEEL), by="weight")
    found = will_weigh(PieceCourse("B", Weight(420.0, 0.5), (layer,)))
    draw = np.random.default_rng(7)
    n = 400_000
    packed = FILL.packing

    def normal(sd: float) -> Array:
        return draw.normal(0.0, sd, n)

    void, line, resin = normal(FILL.void_u), normal(FILL.line_u * ML), normal(FILL.resin_u)
    loose = PHI + normal(packed.shot_u) + normal(packed.fill_u) + normal(packed.layer_u)
    room = ML * (1.0 + void) + line
    metal = np.minimum((shot_g + normal(FILL.pour_u_g)) / STEEL, (loose + 0.025) * room)
    mass = 420.0 + normal(0.5) + metal * STEEL + (room - metal) * RESIN * (1.0 + resin)
    assert found.mass_g == pytest.approx(float(mass.mean()), abs=0.06)
    assert found.u_g == pytest.approx(float(mass.std()), rel=0.03)
