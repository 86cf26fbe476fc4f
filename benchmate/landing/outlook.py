"""Looking ahead over a piece's stages: the last chance to change its weight, and its curve."""

import math
from dataclasses import dataclass
from typing import Literal

from benchmate.landing.ahead import STANDING, terms, total
from benchmate.landing.course import CourseChange, LayerCourse, Linear, PieceCourse, Weight
from benchmate.landing.follow import KnownWeight, follow
from benchmate.reckon.weight.student import normal_quantile


@dataclass(frozen=True, slots=True)
class LastChance:
    """The last stage still to come that can change a piece's weight.

    `is_next`: nothing that can change it lies between now and then, so now is the time to say so.
    `takes_only`: from then on wood can be taken off but nothing more be put in.
    """

    piece: str
    stage: str
    place: int
    is_next: bool
    takes_only: bool
    sentence: str
    address: str = ""
    """The piece's."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What the next weighing of a stage should read: the layer's gain and the piece as a whole."""

    gain: Weight
    whole: Weight


@dataclass(frozen=True, slots=True)
class CoursePlot:
    """A piece's weight over its stages, ready to draw; all lists are as long as `labels`, in g.

    `plan` is the plan from the planned blank on; `low`, `middle` and `high` are what the piece
    weighed or will weigh (95 %); `records` are the readings, None where none was taken; `kind` is
    "done" or "to come".
    """

    labels: tuple[str, ...]
    plan: tuple[float, ...]
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    records: tuple[float | None, ...]
    kind: tuple[Literal["done", "to come"], ...]
    target_g: float | None
    tolerance_g: float | None


def last_chance(course: PieceCourse) -> LastChance | None:
    """The last stage that can still add weight; after those, the last that can take it.

    None when nothing still to come can set the weight right.
    """
    open_ = [i for i, stage in enumerate(course.stages) if not stage.done and _can_change(stage)]
    if not open_:
        return None
    adding = [i for i in open_ if course.stages[i].planned_g >= 0.0]
    place = (adding or open_)[-1]
    name = course.stages[place].name
    end = "only loses" if any(i > place for i in open_) else "stays as it is"
    sentence = (
        f"{course.piece}, {name}: the last chance to add weight; then it {end}."
        if adding
        else f"{course.piece}, {name}: the last chance to change the weight, by taking off."
    )
    is_next = place == open_[0]
    return LastChance(course.piece, name, place, is_next, not adding, sentence, course.address)


def expected(course: PieceCourse, place: int) -> Expected:
    """What weighing the stage at `place`, still to come, should show, if all before it is done.

    `whole` is the piece standing on the scale after it; `gain` what that stage alone adds. Raises
    ValueError when the stage has already passed.
    """
    known = follow(course)
    if course.stages[place].done:
        raise ValueError(f"{course.stages[place].name} is done; what it weighed is known.")
    sums = terms(known)
    upto = [term for i, term in sums if i <= place]
    own = next(term for i, term in sums if i == place)
    return Expected(_weight(known, own), _weight(known, total([STANDING, *upto])))


def course_plot(course: PieceCourse, first: PieceCourse | None = None) -> CoursePlot:
    """The piece's weight from blank to finish: plan, band and records.

    `first` is the piece as it was planned at the start: where its stages are still the same, the
    plan is drawn from it, so that an adjustment shows as what it makes up for.
    """
    known = follow(course)
    points = _points(course, known)
    reach = normal_quantile(0.975)
    return CoursePlot(
        labels=("blank", *(stage.name for stage in course.stages)),
        plan=_plan(first if first is not None and _alike(first, course) else course),
        low=tuple(w.g - reach * w.u_g for w in points),
        middle=tuple(w.g for w in points),
        high=tuple(w.g + reach * w.u_g for w in points),
        records=(course.blank.g, *(s.whole.g if s.whole else None for s in course.stages)),
        kind=("done", *("done" if s.done else "to come" for s in course.stages)),
        target_g=course.target_g,
        tolerance_g=course.tolerance_g,
    )


def _can_change(stage: LayerCourse | CourseChange) -> bool:
    return isinstance(stage, LayerCourse) or stage.adjustable


def _points(course: PieceCourse, known: KnownWeight) -> list[Weight]:
    """The weight after each stage, in the order of the stages: as known, then as expected."""
    after = {passed.place: passed.after for passed in known.passed}
    sums: list[Linear] = [STANDING]
    for place, term in terms(known):
        sums.append(term)
        after[place] = _weight(known, total(sums))
    return [course.blank, *(after[place] for place in range(len(course.stages)))]


def _alike(first: PieceCourse, course: PieceCourse) -> bool:
    return [s.name for s in first.stages] == [s.name for s in course.stages]


def _plan(course: PieceCourse) -> tuple[float, ...]:
    start = course.blank.g if course.blank_plan_g is None else course.blank_plan_g
    plan = [start]
    for stage in course.stages:
        plan.append(plan[-1] + stage.planned_g)
    return tuple(plan)


def _weight(known: KnownWeight, term: Linear) -> Weight:
    scatter = sum(weight * weight for weight in term.fresh.values())
    variance = known.gauss.variance(term.known) + scatter
    return Weight(known.gauss.expect(term.known) + term.constant, math.sqrt(variance))
