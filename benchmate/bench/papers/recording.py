"""What a report and the cards of finished pieces are made of, read from the shop."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchmate.air.readings import Reading
from benchmate.bench.history.records import ended_jobs, place_of
from benchmate.bench.papers.photos import photo_of
from benchmate.bench.service import Bench
from benchmate.bench.weights.scales import scales_of
from benchmate.job.deciding.taking_back import in_words
from benchmate.job.events import stored as ev
from benchmate.job.looking_back.summary import final_weighing
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.weights.verdicts import judge_weighing
from benchmate.job.windows.windows import WindowView, view
from benchmate.job.words.event_text import change_lines
from benchmate.job.words.phrases import weighed_what
from benchmate.localtime import show_day, show_stamp
from benchmate.moment import Moment
from benchmate.papers.codes import code_of
from benchmate.papers.figures import Figures, label_says
from benchmate.papers.handover import Piece
from benchmate.papers.report import AirSeen, Landed, Record, off_target
from benchmate.papers.sheet import Photo
from benchmate.plan.plan import PiecePlan, Plan
from benchmate.quantities import show_number
from benchmate.shelf.material import COMMON_PRACTICE

MOST_READINGS = 60


def record_of(bench: Bench, job: JobState, figures: Figures) -> Record:
    """Everything that a job recorded."""
    readings, span = _readings(bench, job)
    return Record(
        job=job.job,
        title=job.title,
        span=_span(bench, job),
        outcome=job.outcome,
        landed=list(_landed(job)),
        weighed=list(_weighings(bench, job, figures)),
        clocks=list(_clocks(bench, job, figures)),
        acts=[_act(record, job) for record in job.records],
        air=list(_air(bench, readings, figures)),
        air_seen=_air_seen(bench, job, readings, span),
        materials=[
            (used.role, used.material, value.what, value.text, _by(value.source))
            for used in (job.plan.materials if job.plan else ())
            for value in used.values
        ],
        changes=[
            "; ".join(change_lines(change)) + (f": {change.reason}" if change.reason else "")
            for change in job.changes
        ],
        photos=list(_photos(bench, job)),
    )


def _by(source: str) -> str:
    return "~" if source == COMMON_PRACTICE else source


def _act(record: Recorded, job: JobState) -> tuple[str, str]:
    event = record.event
    happened: Moment | None = getattr(event, "happened", None)
    said = f"note: {event.text}" if isinstance(event, ev.Noted) else in_words(event, job)
    undone = " (undone)" if record.version in job.void else ""
    return show_stamp(happened.wall_s) if happened is not None else "", f"{said}{undone}"


def _span(bench: Bench, job: JobState) -> str:
    begun = show_day(_wall(bench, job.started))
    if job.ended is None:
        return f"begun {begun}, still open"
    return f"{begun} to {show_day(_wall(bench, job.ended))}"


def _wall(bench: Bench, moment: Moment) -> float:
    return place_of(bench)(moment)


def _landed(job: JobState) -> Iterator[Landed]:
    for piece in job.plan.pieces if job.plan else ():
        final = final_weighing(job, piece.name)
        if final is not None and piece.target_g is not None and piece.name not in job.spoiled:
            name = piece.label or piece.name
            yield Landed(name, final.net_g, piece.target_g, piece.tolerance_g or 0.0)


def _weighings(bench: Bench, job: JobState, figures: Figures) -> Iterator[tuple[str, ...]]:
    scales = scales_of(bench)
    for weighing in job.weighings.values():
        step = job.steps.get(weighing.address)
        judged = judge_weighing(job, weighing, bench.shop.rules, scales)
        plan_g = step.weigh.plan_g if step is not None and step.weigh is not None else None
        yield (
            show_stamp(_wall(bench, weighing.happened)),
            weighed_what(job, weighing.address, weighing.what, weighing.piece),
            figures.bare(weighing.net_g),
            figures.bare(None if weighing.u_g is None else 2.0 * weighing.u_g),
            figures.bare(plan_g),
            off_target(weighing.net_g, plan_g, figures),
            judged.said() if judged is not None else "",
        )


def _clocks(bench: Bench, job: JobState, figures: Figures) -> Iterator[tuple[str, ...]]:
    """Every clock that began: its edges in the air there was, when the work that waited for it
    went on, and the air meanwhile."""
    line, now = bench.shop.timeline, bench.now_s()
    for window in job.windows.values():
        seen = view(job, window, bench.shop.around, now)
        if seen is None:
            continue
        went = [
            line.at(job.done[u].done) for u in job.users.get(window.address, ()) if u in job.done
        ]
        first = min(went, default=None)
        readings = bench.shop.around.air_of(window).between(seen.anchor, first or now)
        degrees = [reading.temperature_c for reading in readings]
        warmth = dict.fromkeys(map(figures.warm, (min(degrees), max(degrees)))) if degrees else ()
        places = (seen.anchor, *(e.at if e else None for e in (seen.opens, seen.closes)), first)
        label = label_says(window)
        yield (
            f"{window.label} ({label})" if label else window.label,
            *("" if at is None else show_stamp(bench.wall_at(at)) for at in places),
            job.answers.get(window.address) or _became(seen, first),
            " to ".join(warmth),
        )


def _became(seen: WindowView, went_on: float | None) -> str:
    if went_on is None:
        return "" if seen.state == "met" else seen.state
    if seen.opens is not None and went_on < seen.opens.earliest:
        return "early"
    return "late" if seen.closes is not None and went_on > seen.closes.latest else "in time"


def _readings(bench: Bench, job: JobState) -> tuple[list[Reading], tuple[float, float]]:
    """The shop's readings while a job ran, and from when to when that was."""
    begun = bench.shop.timeline.at(job.started)
    ended = bench.shop.timeline.at(job.ended) if job.ended is not None else bench.now_s()
    log = bench.shop.air_of("shop").readings
    return [r for r in log if begun <= r.t_s <= ended], (begun, ended)


def _air(
    bench: Bench, readings: Sequence[Reading], figures: Figures
) -> Iterator[tuple[str, str, str]]:
    for reading in readings[:: max(1, len(readings) // MOST_READINGS)]:
        humid = "" if reading.humidity_pct is None else show_number(reading.humidity_pct, 0)
        yield show_stamp(bench.wall_at(reading.t_s)), figures.warm(reading.temperature_c), humid


def _air_seen(
    bench: Bench, job: JobState, readings: Sequence[Reading], span: tuple[float, float]
) -> AirSeen:
    """The same to be drawn, with each material's limit while its clock ran."""
    line, (begun, ended), limits = bench.shop.timeline, span, []
    for window in job.windows.values():
        seen = view(job, window, bench.shop.around, bench.now_s())
        if seen is None or window.rule.lowest_c is None or window.place not in ("", "shop"):
            continue
        last = next((e.at for e in (seen.closes, seen.full, seen.opens) if e), seen.anchor)
        limits.append(
            (window.material or window.label, window.rule.lowest_c, seen.anchor, min(last, ended))
        )
    return AirSeen(
        [(r.t_s, r.temperature_c, r.humidity_pct) for r in readings],
        [line.at(record.done) for record in job.done.values()],
        limits,
        span,
        (show_stamp(bench.wall_at(begun)), show_stamp(bench.wall_at(ended))),
    )


def _photos(bench: Bench, job: JobState) -> Iterator[Photo]:
    names = [n.event.photo for n in job.notes if n.event.photo]
    for name in dict.fromkeys([*names, *([job.photo] if job.photo else [])]):
        photo = photo_of(bench.folders, name, f"Photo of {job.title}")
        if photo is not None:
            yield photo


def finished_pieces(bench: Bench, jobs: list[JobState] | None = None) -> list[Piece]:
    """The pieces of ended jobs, oldest first; of these jobs where they are given."""
    every = ended_jobs(bench) if jobs is None else jobs
    return [
        _piece(bench, job, job.plan, piece)
        for job in every
        if job.plan is not None
        for piece in job.plan.pieces
        if piece.name not in job.spoiled
    ]


def _piece(bench: Bench, job: JobState, plan: Plan, piece: PiecePlan) -> Piece:
    final = final_weighing(job, piece.name)
    fills = [f for f in plan.fills if f.piece == piece.name]
    materials = {used.role: used.material for used in plan.materials}
    resin = materials.get("resin", "resin")
    finishes = [materials[role] for role in ("oil", "finish", "wax") if role in materials]
    photos = list(_photos(bench, job))
    return Piece(
        job=job.job,
        name=piece.label or piece.name,
        date=show_day(_wall(bench, job.ended)) if job.ended is not None else "",
        final_g=final.net_g if final is not None else None,
        target_g=piece.target_g,
        parts=[p for p in plan.parts if p.piece == piece.name],
        inside=", ".join(dict.fromkeys(f"{f.shot} in {resin}" for f in fills)),
        finish=f"Finished with {', '.join(finishes)}." if finishes else "",
        code=code_of(f"{job.job}/{piece.name}"),
        photo=photos[-1] if photos else None,
    )
