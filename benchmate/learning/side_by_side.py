"""The last five jobs of a procedure, side by side: the plainest way to see what changes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from benchmate.quantities import Units, show_duration, show_mass, show_number

LAST = 5
UNKNOWN = "–"


@dataclass(frozen=True, slots=True)
class PieceSummary:
    """How one piece came out; None is what wasn't recorded, or wasn't asked for."""

    name: str
    final_g: float | None = None
    target_g: float | None = None
    tolerance_g: float | None = None
    packing: float | None = None


@dataclass(frozen=True, slots=True)
class JobSummary:
    """What a finished (or stopped) job leaves behind for comparing; times are Unix seconds.

    `steps_s` holds how long each step took by its name, in the order of the plan.
    """

    job: str
    procedure: str
    started_s: float | None = None
    finished_s: float | None = None
    pieces: tuple[PieceSummary, ...] = ()
    resin_used_g: float | None = None
    left_in_cup_g: float | None = None
    steps_s: Mapping[str, float] = field(default_factory=dict)
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: its name, and a cell for each job.

    `of` is what it tells, for those who want the same over all jobs: "weights", "packing", "loss",
    "hands" or "" for the rest.
    """

    name: str
    cells: tuple[str, ...]
    of: str = ""


@dataclass(frozen=True, slots=True)
class JobsTable:
    """Jobs as columns, oldest first; `rows` are shown in this order."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]


def side_by_side(
    jobs: Sequence[JobSummary], show_date: Callable[[float], str], units: Units = "metric"
) -> JobsTable:
    """The last five of the given jobs as text, oldest first; lines nobody recorded are left out.

    Jobs whose start isn't known are taken for the oldest. `show_date` turns Unix seconds into a
    local date, since this module knows no time zone.
    """
    kept = sorted(jobs, key=_began)[-LAST:]

    def show_g(mass_g: float) -> str:
        return show_mass(mass_g, units)

    rows = [
        _row("started", kept, lambda job: _known(job.started_s, show_date)),
        _row("took", kept, lambda job: _known(_took_s(job), show_duration)),
        *_piece_rows(kept, units),
        _row("resin used", kept, lambda job: _known(job.resin_used_g, show_g)),
        _row("left in the cup", kept, lambda job: _known(job.left_in_cup_g, show_g), "loss"),
        _row("how it turned out", kept, lambda job: job.outcome or UNKNOWN),
        *_step_rows(kept),
    ]
    filled = tuple(row for row in rows if any(cell != UNKNOWN for cell in row.cells))
    return JobsTable(tuple(job.job for job in kept), filled)


def _began(job: JobSummary) -> float:
    return float("-inf") if job.started_s is None else job.started_s


def _row(
    name: str, jobs: Sequence[JobSummary], cell: Callable[[JobSummary], str], of: str = ""
) -> Row:
    return Row(name, tuple(map(cell, jobs)), of)


def _known(value: float | None, show: Callable[[float], str]) -> str:
    return UNKNOWN if value is None else show(value)


def _took_s(job: JobSummary) -> float | None:
    if job.started_s is None or job.finished_s is None:
        return None
    return job.finished_s - job.started_s


def _piece_rows(jobs: Sequence[JobSummary], units: Units) -> list[Row]:
    rows = []
    for name in _in_order([[piece.name for piece in job.pieces] for job in jobs]):
        found = [_piece(job, name) for job in jobs]
        rows.append(Row(f"{name}, weight", tuple(_weight(p, units) for p in found), "weights"))
        rows.append(Row(f"{name}, packing", tuple(map(_packing, found)), "packing"))
    return rows


def _step_rows(jobs: Sequence[JobSummary]) -> list[Row]:
    names = _in_order([list(job.steps_s) for job in jobs])
    return [
        Row(name, tuple(_known(job.steps_s.get(name), show_duration) for job in jobs), "hands")
        for name in names
    ]


def _in_order(lists: Sequence[Sequence[str]]) -> list[str]:
    """Every name once, the newest job's in its own order first, then what only older ones had."""
    return list(dict.fromkeys(name for names in reversed(lists) for name in names))


def _piece(job: JobSummary, name: str) -> PieceSummary | None:
    return next((piece for piece in job.pieces if piece.name == name), None)


def _weight(piece: PieceSummary | None, units: Units) -> str:
    """The final weight and how far it is from its target: "852.1 g (+2.1 g)"."""
    if piece is None or piece.final_g is None:
        return UNKNOWN
    weight = show_mass(piece.final_g, units)
    if piece.target_g is None:
        return weight
    return f"{weight} ({show_mass(piece.final_g - piece.target_g, units, sign=True)})"


def _packing(piece: PieceSummary | None) -> str:
    if piece is None or piece.packing is None:
        return UNKNOWN
    return show_number(piece.packing, 3)
