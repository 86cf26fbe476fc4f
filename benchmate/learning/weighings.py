"""Plan values that are only seen through weighings, learned together.

Between two weighings of a piece several things happen: it is scraped, glued, sanded, oiled, and the
wood takes up or gives off water. The scale sees their sum. So each stretch from one weighing to the
next is one linear equation in what its acts take and add, and all equations of all jobs are solved
at once, from the plan's values as the prior: what is only seen together is moved together, each by
its share of the doubt, and never one at the other's cost.

Source: the linear Gaussian update (Kalman's, for a state that stands still); checked against a
general numerical library. A prior that the jobs clearly contradict is widened to the
contradiction, as empirical Bayes does, so that a wrong plan doesn't hold what is learned back.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from benchmate.charts.summary import mean
from benchmate.learning.settle import FEWEST, SURE, Settled, Told, settle
from benchmate.reckon.weight.student import normal_quantile, student_quantile

SURELY = 0.97
"""How sure a change must be before it is offered: it is looked at again after every job."""
PLANS_DOF = 2
"""Jobs that the plan's own scatter is worth in guessing the scatter from job to job."""
PLANS_PIECES = 4
"""Pieces that it is worth in guessing the scatter from piece to piece."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """What an act takes or adds, in g: the file's `value`, `u` (how far the shop's mean may be off
    it) and `scatter` (from piece to piece), both as standard deviations. `now` is in use."""

    key: str
    value: float
    u: float
    scatter: float
    now: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """From one weighing of a piece to the next: `g` is what it gained beside all that was weighed
    in, `u_g` the scale's doubt of that, `of` how often each unknown counts (below zero: taken)."""

    name: str
    job: str
    piece: str
    g: float
    u_g: float
    of: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Taught:
    """A value as the jobs teach it: `u` of the value, `scatter` of one more such act; `together`
    are all keys that moved with it; `settled` is what the stretch itself said (off the file)."""

    key: str
    value: float
    u: float
    scatter: float
    together: tuple[str, ...]
    settled: Settled


@dataclass(frozen=True, slots=True)
class _Row:
    """A stretch over all jobs: mean coefficients, and how far it is off the file's values."""

    of: Mapping[str, float]
    settled: Settled
    u: float
    planned_sd: float
    pieces_sd: float
    is_sure: bool


def teach(unknowns: Sequence[Unknown], stretches: Sequence[Stretch]) -> list[Taught]:
    """What the stretches, oldest job first, teach of the unknowns; only where they are sure.

    Stretches over acts that the plan doesn't know any more are passed over.
    """
    known = {one.key: one for one in unknowns}
    rows = [row for name in _names(stretches) if (row := _row(name, known, stretches)) is not None]
    values, spread = _solve(known, rows)
    taught: dict[str, Taught] = {}
    for row in rows:
        for key in row.of if row.is_sure else ():
            at = list(known).index(key)
            wider = known[key].scatter * row.pieces_sd / row.planned_sd
            u = sqrt(max(0.0, spread[at][at]))
            taught[key] = Taught(
                key, known[key].value + values[at], u, wider, tuple(row.of), row.settled
            )
    return list(taught.values())


def _names(stretches: Iterable[Stretch]) -> list[str]:
    return list(dict.fromkeys(one.name for one in stretches))


def _row(name: str, known: Mapping[str, Unknown], every: Sequence[Stretch]) -> _Row | None:
    mine = [s for s in every if s.name == name and s.of and set(s.of) <= set(known)]
    if not mine:
        return None
    of = {key: mean([s.of.get(key, 0.0) for s in mine]) for key in mine[-1].of}
    planned = hypot(*(a * known[key].scatter for key, a in of.items()), mine[-1].u_g)
    off = {(s.job, s.piece): s.g - sum(a * known[k].value for k, a in s.of.items()) for s in mine}
    told = [
        Told(job, mean([g for (of_job, _), g in off.items() if of_job == job]))
        for job in dict.fromkeys(s.job for s in mine)
    ]
    settled = settle(told, planned)
    if settled.n < FEWEST or settled.spread is None or planned == 0.0:
        return None
    jobs = _counted(told, settled)
    pieces = [g for (job, _), g in off.items() if job in jobs]
    squares = sum((g - settled.value) ** 2 for g in pieces) + PLANS_PIECES * planned**2
    now = sum(a * (known[key].now - known[key].value) for key, a in of.items())
    return _Row(
        of,
        settled,
        _doubt(settled),
        planned,
        sqrt(squares / (len(pieces) - 1 + PLANS_PIECES)),
        abs(settled.value - now) > _reach(settled, planned),
    )


def _counted(told: Sequence[Told], settled: Settled) -> set[str]:
    odd = {one.job for one in settled.odd}
    names = [one.job for one in told]
    return {name for name in names[len(names) - settled.n - len(odd) :] if name not in odd}


def _doubt(settled: Settled) -> float:
    """Standard uncertainty of a row, widened for a spread that few jobs guess badly."""
    assert settled.u is not None
    t = student_quantile((1.0 + SURE) / 2.0, settled.n - 1 + PLANS_DOF)
    return settled.u * t / normal_quantile((1.0 + SURE) / 2.0)


def _reach(settled: Settled, planned: float) -> float:
    """How far a row must be from what is in use to be a change and not luck."""
    assert settled.spread is not None
    dof = settled.n - 1 + PLANS_DOF
    pooled = ((settled.n - 1) * settled.spread**2 + PLANS_DOF * planned**2) / dof
    return student_quantile((1.0 + SURELY) / 2.0, dof) * sqrt(pooled / settled.n)


def _solve(
    known: Mapping[str, Unknown], rows: Sequence[_Row]
) -> tuple[list[float], list[list[float]]]:
    """Shift of each unknown from the file's value, and the covariance of the shifts."""
    keys = list(known)
    shift = [0.0] * len(keys)
    cov = [[known[a].u ** 2 if a == b else 0.0 for b in keys] for a in keys]
    for row in rows:
        a = [row.of.get(key, 0.0) for key in keys]
        _widen(cov, a, row.settled.value - _dot(a, shift), row.u)
        to_row = [_dot(line, a) for line in cov]
        total = _dot(a, to_row) + row.u**2
        if total <= 0.0:
            continue
        surprise = row.settled.value - _dot(a, shift)
        gain = [c / total for c in to_row]
        shift = [s + g * surprise for s, g in zip(shift, gain, strict=True)]
        cov = [[c - gain[i] * to_row[j] for j, c in enumerate(line)] for i, line in enumerate(cov)]
    return shift, cov


def _widen(cov: list[list[float]], a: Sequence[float], surprise: float, u: float) -> None:
    """Widen the doubt about a row's unknowns where the jobs contradict it."""
    doubt = _dot(a, [_dot(line, a) for line in cov])
    beyond = surprise**2 - u**2
    if doubt <= 0.0 or beyond <= doubt:
        return
    grow = sqrt(beyond / doubt)
    for i, line in enumerate(cov):
        for j in range(len(line)):
            line[j] *= (grow if a[i] else 1.0) * (grow if a[j] else 1.0)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(one, other, strict=True))
