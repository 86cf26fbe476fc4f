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

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt

from benchmate.charts.summary import mean
from benchmate.learning.settle import SURE, Settled, Told, settle
from benchmate.reckon.weight.student import normal_quantile, student_quantile

SURELY = 0.97
"""How sure a change must be before it is offered: it is looked at again after every job."""
SURELY_AFTER_BREAK = 0.99
"""As above for the jobs after a break: they were picked out for being far from those before."""
PLANS_DOF = 2
"""Jobs that the plan's own scatter is worth in guessing the scatter from job to job."""
PLANS_PIECES = 10
"""Pieces that it is worth in guessing how far one more piece may be off."""
HARDLY_DRAWN = 25.0
"""The plan's doubt of a sum of acts counts as no less than so many times that of the jobs (as
variances): the jobs' mean is shared out among the acts, and hardly drawn back to the plan."""


@dataclass(frozen=True, slots=True)
class UnknownValue:
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
    in, `u_g` the scale's doubt of that, `of` how often each unknown counts (below zero: taken).
    `drift_g`: how far the wood's moisture may move it, where no unknown of this stretch says so."""

    name: str
    job: str
    piece: str
    g: float
    u_g: float
    of: Mapping[str, float]
    drift_g: float = 0.0


@dataclass(frozen=True, slots=True)
class Taught:
    """A value as the jobs teach it: `u` of the value, `scatter` of one more such act with what the
    value itself may be off; `together` are all keys that moved with it; `settled` is what the
    stretch itself said (off the file)."""

    key: str
    value: float
    u: float
    scatter: float
    together: tuple[str, ...]
    settled: Settled


@dataclass(frozen=True, slots=True)
class _Off:
    """A stretch over all jobs: mean coefficients, how far each piece was off what is expected, and
    how far the plan lets it be. `scale_g` is the scale's part in that."""

    of: Mapping[str, float]
    pieces: Mapping[tuple[str, str], float]
    planned: float
    scale_g: float

    def told(self) -> list[Told]:
        """The mean over each job's pieces."""
        jobs: dict[str, list[float]] = {}
        for (job, _), g in self.pieces.items():
            jobs.setdefault(job, []).append(g)
        return [Told(job, mean(values)) for job, values in jobs.items()]


@dataclass(frozen=True, slots=True)
class _Row:
    """A stretch as an equation: the jobs' mean, off the file, with its doubt."""

    of: Mapping[str, float]
    settled: Settled
    u: float
    is_sure: bool


def teach(
    unknowns: Sequence[UnknownValue], stretches: Sequence[Stretch], changed: Collection[str] = ()
) -> list[Taught]:
    """What the stretches, oldest job first, teach of the unknowns; only where they are sure.

    Stretches over acts that the plan doesn't know any more are passed over. `changed`: the jobs
    from which on something else in the shop is known to have changed.
    """
    known = {one.key: one for one in unknowns}
    offs = _offs(known, stretches)
    rows = [row for off in offs if (row := _row(off, known, changed)) is not None]
    values, spread = _solve(known, rows)
    wider = _scatter(_whole(offs, known))
    taught: dict[str, Taught] = {}
    for row in rows:
        one_more = wider * sqrt(1.0 + 1.0 / row.settled.n)
        for key in row.of if row.is_sure else ():
            at = list(known).index(key)
            value, u = known[key].value + values[at], sqrt(max(0.0, spread[at][at]))
            scatter = known[key].scatter * one_more
            taught[key] = Taught(key, value, u, scatter, tuple(row.of), row.settled)
    return list(taught.values())


def breaks(unknowns: Sequence[UnknownValue], stretches: Sequence[Stretch]) -> set[str]:
    """The jobs from which on a stretch came out otherwise than before."""
    offs = _offs({one.key: one for one in unknowns}, stretches)
    return {since for off in offs if (since := settle(off.told(), off.planned).since)}


def missed_g(
    unknowns: Sequence[UnknownValue], stretches: Sequence[Stretch], changed: Collection[str] = ()
) -> float:
    """How far whole pieces surely came out from what the values in use let expect, in g; 0 where
    that may be luck."""
    known = {one.key: replace(one, value=one.now) for one in unknowns}
    whole = _whole(_offs(known, stretches), known)
    if whole is None:
        return 0.0
    settled = settle(whole.told(), whole.planned, changed)
    if settled.spread is None:
        return 0.0
    return settled.value if abs(settled.value) > reach(settled, whole.planned) else 0.0


def _offs(known: Mapping[str, UnknownValue], every: Sequence[Stretch]) -> list[_Off]:
    names: dict[str, list[Stretch]] = {}
    for stretch in every:
        if stretch.of and set(stretch.of) <= set(known):
            names.setdefault(stretch.name, []).append(stretch)
    return [_off(mine, known) for mine in names.values()]


def _off(mine: Sequence[Stretch], known: Mapping[str, UnknownValue]) -> _Off:
    of = {key: mean([s.of.get(key, 0.0) for s in mine]) for key in mine[-1].of}
    acts = hypot(*(a * known[key].scatter for key, a in of.items()))
    pieces = {
        (s.job, s.piece): s.g - sum(a * known[k].value for k, a in s.of.items()) for s in mine
    }
    return _Off(of, pieces, hypot(acts, mine[-1].u_g, mine[-1].drift_g), mine[-1].u_g)


def _whole(offs: Sequence[_Off], known: Mapping[str, UnknownValue]) -> _Off | None:
    """All stretches of a piece in one, of the pieces that were weighed at all their ends; repeated
    acts scatter each for itself."""
    if not offs:
        return None
    of: dict[str, float] = {}
    for off in offs:
        for key, a in off.of.items():
            of[key] = of.get(key, 0.0) + a
    ends = [set(off.pieces) for off in offs]
    both = set.intersection(*ends)
    pieces = {at: sum(off.pieces[at] for off in offs) for at in offs[0].pieces if at in both}
    scale_g = hypot(*(off.scale_g for off in offs))
    acts = sum(abs(a) * known[key].scatter ** 2 for key, a in of.items())
    return _Off(of, pieces, hypot(sqrt(acts), scale_g), scale_g) if pieces else None


def _scatter(whole: _Off | None) -> float:
    """How much wider than planned pieces scatter, each about its own times: as a factor."""
    if whole is None or whole.planned == 0.0:
        return 1.0
    told = whole.told()
    settled = settle(told, whole.planned)
    counted = _counted(told, settled)
    pieces = [g for (job, _), g in whole.pieces.items() if job in counted]
    squares = sum((g - settled.value) ** 2 for g in pieces) + PLANS_PIECES * whole.planned**2
    return sqrt(squares / (len(pieces) - 1 + PLANS_PIECES)) / whole.planned


def _counted(told: Sequence[Told], settled: Settled) -> set[str]:
    odd = {one.job for one in settled.odd}
    names = [one.job for one in told]
    return {name for name in names[len(names) - settled.n - len(odd) :] if name not in odd}


def _row(off: _Off, known: Mapping[str, UnknownValue], changed: Collection[str]) -> _Row | None:
    settled = settle(off.told(), off.planned, changed)
    if settled.spread is None or off.planned == 0.0:
        return None
    now = sum(a * (known[key].now - known[key].value) for key, a in off.of.items())
    is_sure = is_offered(settled, now, off.planned)
    return _Row(off.of, settled, doubt(settled), is_sure)


def doubt(settled: Settled) -> float:
    """Standard uncertainty of the jobs' mean, as wide as Student's t is wider than the normal."""
    assert settled.u is not None
    t = student_quantile((1.0 + SURE) / 2.0, settled.n - 1)
    return settled.u * t / normal_quantile((1.0 + SURE) / 2.0)


def reach(settled: Settled, planned: float, sure: float = SURELY) -> float:
    """How far a row must be from what is in use to be a change and not luck."""
    assert settled.spread is not None
    dof = settled.n - 1 + PLANS_DOF
    pooled = ((settled.n - 1) * settled.spread**2 + PLANS_DOF * planned**2) / dof
    return student_quantile((1.0 + sure) / 2.0, dof) * sqrt(pooled / settled.n)


def is_offered(settled: Settled, now: float, planned: float) -> bool:
    """Whether a row is a change worth offering: by the jobs' own scatter alone too, since the plan
    may guess it too narrow."""
    if settled.u is None:
        return False
    own = student_quantile((1.0 + SURELY) / 2.0, settled.n - 1) * settled.u
    sure = SURELY_AFTER_BREAK if settled.since else SURELY
    return abs(settled.value - now) > max(own, reach(settled, planned, sure))


def _solve(
    known: Mapping[str, UnknownValue], rows: Sequence[_Row]
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
    """Widen the doubt about a row's unknowns where the jobs contradict it, or know far better."""
    variance = _dot(a, [_dot(line, a) for line in cov])
    beyond = max(surprise**2 - u**2, HARDLY_DRAWN * u**2)
    if variance <= 0.0 or beyond <= variance:
        return
    grow = sqrt(beyond / variance)
    for i, line in enumerate(cov):
        for j in range(len(line)):
            line[j] *= (grow if a[i] else 1.0) * (grow if a[j] else 1.0)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(one, other, strict=True))
