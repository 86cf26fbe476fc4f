"""Where the pieces of a job are heading, and the adjustment that would land them, taken at will."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.weights.scales import scales_of
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.job.weights.adjustments import last_chances, no_offer, offer, take
from benchmate.job.weights.courses import courses, courses_at_start
from benchmate.job.words.event_text import amount_lines
from benchmate.landing.adjusting.adjustment import PieceChange
from benchmate.landing.adjusting.alternatives import DenserShot
from benchmate.landing.adjusting.matching import Adjustment, NotReachable
from benchmate.landing.course import PieceCourse
from benchmate.landing.outlook import CoursePlot, LastChance, course_plot, last_chance
from benchmate.landing.will_weigh import Contribution, WillWeigh, all_will_weigh
from benchmate.landing.words import Say, light_or_heavy, percent, plainly, say_in, step_for
from benchmate.plan.address import piece_address
from benchmate.refusal import Refused
from benchmate.shelf import filled

Offer = Adjustment | NotReachable
NAMED = 3
"""Contributions to the doubt that are named; the rest is small in every job tried."""


@dataclass(frozen=True)
class WeightAim:
    """One piece: its course, where it is heading, the last step that can change that, and its
    course as it was planned at the start."""

    course: PieceCourse
    will_weigh: WillWeigh
    last: LastChance | None
    first: PieceCourse | None = None

    @property
    def plot(self) -> CoursePlot:
        """Its weight over its stages."""
        return course_plot(self.course, self.first)


def aims(bench: Bench, state: JobState) -> tuple[WeightAim, ...]:
    """Every piece's aim; empty where the plan knows no weights."""
    made = courses(state, scales_of(bench))
    found = all_will_weigh(made) if made else ()
    first = {c.address: c for c in courses_at_start(state, scales_of(bench))}
    say = say_in(bench.settings.units)
    now = {c.address: c for c in last_chances(state, scales_of(bench), say)}
    return tuple(
        WeightAim(c, h, now.get(c.address) or last_chance(c), first.get(c.address))
        for c, h in zip(made, found, strict=True)
    )


def offer_of(bench: Bench, state: JobState) -> Offer | None:
    """The adjustment worth offering now, with the shelf's denser shot as a last way out."""
    return offer(state, scales_of(bench), say_in(bench.settings.units), _shot_on_shelf(bench))


def _shot_on_shelf(bench: Bench) -> list[DenserShot]:
    kinds = ((material.name, filled(material)) for material in materials_of(bench).values())
    return [
        DenserShot(name, material.density_g_cm3)
        for name, material in kinds
        if material.kind == "shot" and material.density_g_cm3
    ]


NO_OFFER = "No adjustment to offer: the pieces are on course, or nothing left to pour could help."


def why_no_offer(bench: Bench, state: JobState) -> str:
    """Where no adjustment is offered: which pieces are off by less than their doubt, or that."""
    return no_offer(state, scales_of(bench), say_in(bench.settings.units)) or NO_OFFER


def take_offer(bench: Bench, job: str) -> tuple[str, ...]:
    """Take the adjustment on offer into the plan; the difference in words, old and new.

    Of one that can't land the pieces, the best there is. Raises Refused where there is none.
    """
    state = bench.job(job)
    found = offer_of(bench, state) if state is not None else None
    if state is None or found is None or not any(p.changes for p in found.pieces):
        raise Refused(NO_OFFER if state is None else why_no_offer(bench, state))
    plan, amounts = take(state, found.pieces)
    bench.do(job, cmd.ChangePlan(plan=plan, amounts=amounts, reason="adjustment"))
    return amount_lines(amounts)


# In words ------------------------------------------------------------------------------------


def will_weigh_text(aim: WeightAim, say: Say) -> str:
    """ "bookend A: will weigh 838 g ± 6 g (want 850 g ± 8 g): 12 g light; 40 % sure …"."""
    found, course = aim.will_weigh, aim.course
    step = step_for(found.u_g)
    text = f"{found.piece}: will weigh {say(found.mass_g, step)} ± {say(found.expanded_g, step)}"
    if course.target_g is None:
        return text
    want = plainly(course.target_g, say)
    off = light_or_heavy(found.mass_g - course.target_g, step, say)
    if course.tolerance_g is None:
        return f"{text} (want {want}): {off}"
    text += f" (want {want} ± {plainly(course.tolerance_g, say)}): {off}"
    return f"{text}; {percent(inside(aim))} sure of tolerance"


def inside(aim: WeightAim) -> float:
    """Probability that the finished piece lies inside its tolerance, as things stand."""
    from benchmate.reckon.weight.conformity import probability_inside

    course, found = aim.course, aim.will_weigh
    if course.target_g is None or course.tolerance_g is None:
        return 1.0
    off = found.mass_g - course.target_g
    if found.u_g == 0.0:
        return 1.0 if abs(off) <= course.tolerance_g else 0.0
    return probability_inside(off, found.u_g, -course.tolerance_g, course.tolerance_g)


def doubts(found: WillWeigh) -> list[tuple[str, float]]:
    """What the heading's doubt comes from, largest share first; steps of one name together."""
    shares: dict[str, float] = {}
    for part in found.contributions:
        shares[part.name] = shares.get(part.name, 0.0) + part.share
    return sorted(shares.items(), key=lambda item: -item[1])


def doubt_text(found: WillWeigh) -> str:
    """ "the doubt: layer 4 38 %, moisture 20 %, outside 12 %"."""
    named = [f"{name} {percent(share)}" for name, share in doubts(found)[:NAMED] if share > 0]
    return f"least sure of: {', '.join(named)}" if named else ""


def offer_texts(found: Offer) -> Iterator[str]:
    """The offer with its reason, and what else would do where it can't be reached."""
    word = "Adjustment" if isinstance(found, Adjustment) else "Out of reach"
    yield f"{word}: {found.sentence}"
    if isinstance(found, NotReachable):
        yield from (other.sentence for other in found.alternatives)


def after_weighing(bench: Bench, state: JobState, piece: str) -> Iterator[str]:
    """After a weight of a piece: its heading, the last chance where it is next, the adjustment."""
    mine = piece_address(state.job, piece)
    say = say_in(bench.settings.units)
    for aim in aims(bench, state):
        if aim.course.address != mine or aim.course.target_g is None:
            continue
        yield f"{will_weigh_text(aim, say)}."
        if aim.last is not None and aim.last.is_next:
            yield aim.last.sentence
    found = offer_of(bench, state)
    if found is not None:
        yield from offer_texts(found)
        if any(p.changes for p in found.pieces):
            yield "To accept it: `benchmate weights --accept`"


# As data -------------------------------------------------------------------------------------


def aim_data(aim: WeightAim) -> dict[str, object]:
    """An aim for other programs; weights in g."""
    found, course, last = aim.will_weigh, aim.course, aim.last
    return {
        "piece": found.piece,
        "heading_g": found.mass_g,
        "u_g": found.u_g,
        "low_g": found.low_g,
        "high_g": found.high_g,
        "target_g": course.target_g,
        "tolerance_g": course.tolerance_g,
        "probability_inside": inside(aim) if course.tolerance_g is not None else None,
        "contributions": [_contribution(part) for part in found.contributions],
        "last_chance": None
        if last is None
        else {"stage": last.stage, "next": last.is_next, "takes_only": last.takes_only},
    }


def _contribution(part: Contribution) -> dict[str, object]:
    return {"name": part.name, "g": part.g, "u_g": part.u_g, "share": part.share}


def offer_data(found: Offer | None) -> dict[str, object] | None:
    """An offer for other programs."""
    if found is None:
        return None
    data: dict[str, object] = {
        "reachable": isinstance(found, Adjustment),
        "aim_g": found.aim_g,
        "reason": found.reason,
        "sentence": found.sentence,
        "pieces": [_piece_data(p) for p in found.pieces],
    }
    if isinstance(found, NotReachable):
        data["short_g"] = list(found.short_g)
        data["alternatives"] = [other.sentence for other in found.alternatives]
    return data


def _piece_data(piece: PieceChange) -> dict[str, object]:
    return {
        "piece": piece.piece,
        "would_weigh_g": piece.would_weigh_g,
        "lands_g": piece.lands.g,
        "lands_u_g": piece.lands.u_g,
        "layers": [
            {
                "layer": c.name,
                "shot_g": [c.old_shot_g, c.new_shot_g],
                "resin_g": [c.old_resin_g, c.new_resin_g],
                "tapped": c.tapped,
            }
            for c in piece.changes
        ],
    }
