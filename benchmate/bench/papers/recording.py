"""What a report and the cards of finished pieces are made of, read from the shop."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.bench.history.logbook import entries
from benchmate.bench.history.records import ended_jobs, place_of
from benchmate.bench.papers.photos import photo_of
from benchmate.bench.service import Bench
from benchmate.job.looking_back.summary import final_weighing
from benchmate.job.state.shop import JOB
from benchmate.job.state.state import JobState
from benchmate.job.weights.verdicts import judge_weighing
from benchmate.job.words.event_text import change_lines
from benchmate.job.words.phrases import weighed_what
from benchmate.localtime import show_date, show_stamp
from benchmate.moment import Moment
from benchmate.papers.codes import code_of, shown
from benchmate.papers.handover import Piece
from benchmate.papers.report import Landed, Record, Weighed
from benchmate.papers.sheet import Photo
from benchmate.plan.plan import PiecePlan, Plan
from benchmate.quantities import show_percent, show_temperature

MOST_READINGS = 60


def record_of(bench: Bench, job: JobState) -> Record:
    """Everything that a job recorded."""
    plan = job.plan
    return Record(
        job=job.job,
        title=job.title,
        span=_span(bench, job),
        outcome=job.outcome,
        landed=list(_landed(job)),
        weighed=list(_weighings(bench, job)),
        acts=[
            (
                show_stamp(e.happened_s) if e.happened_s is not None else "",
                _text(e.text, e.taken_back),
            )
            for e in entries(bench, JOB + job.job)
        ],
        air=list(_air(bench, job)),
        materials=[
            (used.role, used.material, value.what, value.text, value.source)
            for used in (plan.materials if plan else ())
            for value in used.values
        ],
        changes=[text for change in job.changes for text in change_lines(change)],
        photos=[photo for photo in _photos(bench, job) if photo is not None],
    )


def _text(text: str, taken_back: bool) -> str:
    return f"{text} (undone)" if taken_back else text


def _span(bench: Bench, job: JobState) -> str:
    begun = show_date(_wall(bench, job.started))
    if job.ended is None:
        return f"begun {begun}, still open"
    return f"{begun} to {show_date(_wall(bench, job.ended))}"


def _wall(bench: Bench, moment: Moment) -> float:
    return place_of(bench)(moment)


def _landed(job: JobState) -> Iterator[Landed]:
    for piece in job.plan.pieces if job.plan else ():
        final = final_weighing(job, piece.name)
        if final is not None and piece.target_g is not None and piece.name not in job.spoiled:
            name = piece.label or piece.name
            yield Landed(name, final.net_g, piece.target_g, piece.tolerance_g or 0.0)


def _weighings(bench: Bench, job: JobState) -> Iterator[Weighed]:
    for weighing in job.weighings.values():
        step = job.steps.get(weighing.address)
        judged = judge_weighing(job, weighing, bench.shop.rules)
        yield Weighed(
            when=show_stamp(_wall(bench, weighing.happened)),
            what=weighed_what(job, weighing.address, weighing.what, weighing.piece),
            net_g=weighing.net_g,
            u_g=weighing.u_g,
            plan_g=step.weigh.plan_g if step is not None and step.weigh is not None else None,
            verdict=judged.said() if judged is not None else "",
        )


def _air(bench: Bench, job: JobState) -> Iterator[tuple[str, str, str]]:
    begun = bench.shop.timeline.at(job.started)
    ended = bench.shop.timeline.at(job.ended) if job.ended is not None else bench.now_s()
    readings = [r for r in bench.shop.air_of("shop").readings if begun <= r.t_s <= ended]
    for reading in readings[:: max(1, len(readings) // MOST_READINGS)]:
        humid = "" if reading.humidity_pct is None else show_percent(reading.humidity_pct)
        said = show_temperature(reading.temperature_c, bench.settings.units)
        yield show_stamp(bench.wall_at(reading.t_s)), said, humid


def _photos(bench: Bench, job: JobState) -> Iterator[Photo | None]:
    names = [n.event.photo for n in job.notes if n.event.photo]
    for name in dict.fromkeys([*names, *([job.photo] if job.photo else [])]):
        yield photo_of(bench.folders, name, f"Photo of {job.title}")


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
    photos = [photo for photo in _photos(bench, job) if photo is not None]
    return Piece(
        job=job.job,
        name=piece.label or piece.name,
        date=show_date(_wall(bench, job.ended)) if job.ended is not None else "",
        final_g=final.net_g if final is not None else None,
        target_g=piece.target_g,
        parts=[p for p in plan.parts if p.piece == piece.name],
        inside=", ".join(dict.fromkeys(f"{f.shot} in {resin}" for f in fills)),
        finish=f"Finished with {', '.join(finishes)}." if finishes else "",
        code=shown(code_of(f"{job.job}/{piece.name}")),
        photo=photos[-1] if photos else None,
    )
